//! Jig files that a command writes: whole, and never over a file that is there. Must not know what stands in them.

use crate::files::{self, Existing, Readers};
use crate::jig::InputError;
use std::io::ErrorKind;
use std::path::Path;

/// Whether a file can be written there later: nothing is there yet.
///
/// # Errors
/// Something is there.
pub(super) fn free(path: &Path) -> Result<(), InputError> {
    if path.symlink_metadata().is_ok() { Err(there_already(path)) } else { Ok(()) }
}

/// Writes it.
///
/// # Errors
/// Something is there, or the machine did not do it; nothing was written then.
pub(super) fn write(path: &Path, text: &str) -> Result<(), InputError> {
    files::write(path, text.as_bytes(), Existing::Kept, Readers::Anyone).map_err(|e| match e.kind() {
        ErrorKind::AlreadyExists => there_already(path),
        _ => {
            let message = format!("could not be written: {}", files::reason(&e));
            InputError::of_file(path.display().to_string(), message, "name a file in a folder you may write to")
        }
    })
}

fn there_already(path: &Path) -> InputError {
    let help = "name a file that does not exist yet";
    InputError::of_file(path.display().to_string(), "is there already; nothing was written", help)
}
