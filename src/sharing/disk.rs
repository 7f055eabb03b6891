//! Files of the home and of parcels: read within bounds, written whole or not at all. Must not know what stands in them.

use super::SharingError;
use crate::files::{self, Existing, Readers};
use std::io::Read as _;
use std::path::Path;

/// Reads a regular file of at most `most` bytes.
///
/// # Errors
/// It cannot be read, is no regular file or is longer.
pub(super) fn read_bounded(place: &Path, most: u64) -> Result<Vec<u8>, SharingError> {
    let failed = |error: std::io::Error| SharingError::machine(place, "could not be read", &error);
    // Before it is opened: opening a pipe would wait for a writer.
    if !std::fs::metadata(place).map_err(failed)?.is_file() {
        return Err(SharingError::wrong(place, "is no regular file", "name a file"));
    }
    let mut bytes = vec![];
    let file = std::fs::File::open(place).map_err(failed)?;
    file.take(most.saturating_add(1)).read_to_end(&mut bytes).map_err(failed)?;
    if bytes.len() as u64 > most {
        return Err(SharingError::wrong(place, format!("is larger than {most} bytes"), "policy.toml holds the limit"));
    }
    Ok(bytes)
}

/// Writes a file that is for this user only, over what is there; folders above it are made.
///
/// # Errors
/// The machine did not do it: what was at `place` is as it was.
pub(super) fn write_private(place: &Path, bytes: &[u8]) -> Result<(), SharingError> {
    write(place, bytes, Readers::Owner)
}

/// As [`write_private`], for others to read.
pub(super) fn write_public(place: &Path, bytes: &[u8]) -> Result<(), SharingError> {
    write(place, bytes, Readers::Anyone)
}

/// Writes a file for others to read. One that is there already stays, and is no error when it holds the same bytes.
///
/// # Errors
/// Another file is there, or the machine did not do it.
pub(super) fn write_new(place: &Path, bytes: &[u8]) -> Result<(), SharingError> {
    match std::fs::read(place) {
        Ok(there) if there == bytes => Ok(()),
        Ok(_) => Err(SharingError::wrong(place, "is there already, with other bytes", "move it out of the way")),
        Err(_) => write_public(place, bytes),
    }
}

fn write(place: &Path, bytes: &[u8], readers: Readers) -> Result<(), SharingError> {
    let folder = place.parent().map_or(Ok(()), std::fs::create_dir_all);
    folder
        .and_then(|()| files::write(place, bytes, Existing::Replaced, readers))
        .map_err(|e| SharingError::machine(place, "could not be written; nothing was changed", &e))
}
