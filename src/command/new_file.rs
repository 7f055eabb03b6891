//! Jig files that a command writes: whole, and never over a file that is there. Must not know what stands in them.

pub(super) use crate::files::Existing;
use crate::files::{self, Readers};
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

/// As [`free`], for a command that can be told to replace what is there.
///
/// # Errors
/// Something is there.
pub(super) fn free_or_replace(path: &Path) -> Result<(), InputError> {
    if path.symlink_metadata().is_ok() { Err(to_replace(path)) } else { Ok(()) }
}

/// Writes it.
///
/// # Errors
/// Something is there, or the machine did not do it; nothing was written then.
pub(super) fn write(path: &Path, text: &str) -> Result<(), InputError> {
    written(path, text, Existing::Kept).map_err(|e| failed(path, &e, there_already))
}

/// Writes it, over what is there where that is wished.
///
/// # Errors
/// As [`write`].
pub(super) fn write_existing(path: &Path, text: &str, existing: Existing) -> Result<(), InputError> {
    written(path, text, existing).map_err(|e| failed(path, &e, to_replace))
}

fn written(path: &Path, text: &str, existing: Existing) -> std::io::Result<()> {
    files::write(path, text.as_bytes(), existing, Readers::Anyone)
}

fn failed(path: &Path, error: &std::io::Error, there: fn(&Path) -> InputError) -> InputError {
    if error.kind() == ErrorKind::AlreadyExists {
        return there(path);
    }
    let message = format!("could not be written: {}", files::reason(error));
    InputError::of_file(path.display().to_string(), message, "name a file in a folder you may write to")
}

fn there_already(path: &Path) -> InputError {
    let help = "name a file that does not exist yet";
    InputError::of_file(path.display().to_string(), "is there already; nothing was written", help)
}

fn to_replace(path: &Path) -> InputError {
    let help = "name a file that does not exist yet, or add --replace";
    InputError::of_file(path.display().to_string(), "is there already; nothing was written", help)
}
