//! Files laid down in the home: taken back when a step fails, swept away when no plugin has them any more. Must not
//! decide what comes in.

use super::archive::{self, Package};
use super::disk::write_private;
use super::installed::{State, records};
use super::sign::ENDING;
use super::vet::{Opinion, Record};
use super::weigh::{Signed, Voice, signature_place};
use super::{Home, SharingError, sha256, vet};
use crate::files::UNFINISHED;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// Keeps a record about these bytes.
pub(super) fn keep(home: &Home, signed: &Signed, about: &str) -> Result<(), SharingError> {
    let mut laid = Laid::default();
    let result = laid.record(home, signed, about);
    if result.is_err() {
        laid.take_back();
    }
    result
}

/// Files that this run laid down where there was none.
#[derive(Default)]
pub(super) struct Laid(Vec<PathBuf>);

impl Laid {
    pub(super) fn all(
        &mut self,
        home: &Home,
        package: &Package,
        signed: &Signed,
        voices: &[Voice],
    ) -> Result<(), SharingError> {
        self.lay(&home.archive(&package.sha256), signed)?;
        voices.iter().try_for_each(|voice| self.record(home, &voice.signed, &package.sha256))
    }

    fn record(&mut self, home: &Home, signed: &Signed, about: &str) -> Result<(), SharingError> {
        let name = format!("{}{}", sha256(&signed.bytes), vet::ENDING);
        self.lay(&home.vets_of(about).join(name), signed)
    }

    /// A file and its signature, the signature first: what is there without one would be a fault.
    fn lay(&mut self, place: &Path, signed: &Signed) -> Result<(), SharingError> {
        if let Some(signature) = &signed.signature {
            self.put(&signature_place(place), signature)?;
        }
        self.put(place, &signed.bytes)
    }

    pub(super) fn put(&mut self, place: &Path, bytes: &[u8]) -> Result<(), SharingError> {
        match std::fs::read(place) {
            Ok(there) if there == bytes => Ok(()),
            Ok(_) => write_private(place, bytes),
            Err(_) => write_private(place, bytes).map(|()| self.0.push(place.to_path_buf())),
        }
    }

    /// Takes away what was laid down, last first, and folders that are empty then. What will not go is swept away by a
    /// later run.
    pub(super) fn take_back(self) {
        for place in self.0.iter().rev() {
            let _ = std::fs::remove_file(place);
            let _ = place.parent().map(std::fs::remove_dir);
        }
    }
}

/// Removes archives that no plugin has and files that were never finished. What cannot be removed stays: it is not
/// installed, and the next run tries again.
pub(super) fn sweep(home: &Home) {
    let mut used = BTreeSet::new();
    for name in home.names(&home.plugins()).unwrap_or_default() {
        let Some(id) = name.strip_suffix(".toml") else { continue };
        match State::load(home, id) {
            Ok(Some(state)) if state.installed => {
                used.insert(state.sha256);
            }
            Ok(_) => {}
            // Which archive it has is not known: better to keep all.
            Err(_) => return,
        }
    }
    for name in home.names(&home.store()).unwrap_or_default() {
        let sha256 = name.trim_end_matches(ENDING).trim_end_matches(archive::ENDING);
        if !used.contains(sha256) {
            let _ = std::fs::remove_file(home.store().join(&name));
        }
    }
    let vets = home.names(&home.vets()).unwrap_or_default();
    for about in vets.iter().filter(|about| !used.contains(*about)) {
        let good = |signed: &Signed| {
            Record::read(&signed.bytes, &signed.place).is_ok_and(|record| record.result == Opinion::Good)
        };
        // Warnings outlive the plugin they are about; praise does not.
        if records(home, about).is_ok_and(|all| all.iter().all(good)) {
            let _ = std::fs::remove_dir_all(home.vets_of(about));
        }
    }
    let folders = vets.iter().map(|name| home.vets_of(name));
    for folder in folders.chain([home.root().to_path_buf(), home.plugins(), home.store()]) {
        for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
            if entry.file_name().to_string_lossy().starts_with(UNFINISHED) {
                let _ = std::fs::remove_file(entry.path());
            }
        }
    }
}
