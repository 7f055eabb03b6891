//! Archives and records kept in the home: undone when a step fails, removed when no plugin has them any more. Must not
//! decide what comes in.

use super::archive::Package;
use super::disk::write_private;
use super::evaluate::{VerifiedRecord, verify};
use super::installation::Installation;
use super::names::{ARCHIVE_ENDING, RECORD_ENDING, SIGNATURE_ENDING};
use super::shops::Shops;
use super::signed::{Signed, signature_place};
use super::stop::Stop;
use super::vet::{self, Record, VetResult};
use super::{Home, SharingError, sha256};
use crate::files::UNFINISHED;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

/// The records kept about these bytes.
pub(super) fn records(home: &Home, sha256: &str) -> Result<Vec<Signed>, SharingError> {
    let folder = home.vets_of(sha256);
    let names = home.names(&folder)?;
    let records = names.iter().filter(|name| name.ends_with(RECORD_ENDING));
    records.map(|name| Signed::read(&folder.join(name), vet::LONGEST)).collect()
}

/// Keeps a record about these bytes.
pub(super) fn keep_record(home: &Home, signed: &Signed, about: &str) -> Result<(), SharingError> {
    let mut new = NewFiles::default();
    let result = new.record(home, signed, about);
    if result.is_err() {
        new.remove();
    }
    result
}

/// Makes stops of the "known bad" records that lie here and count today: before a shop is taken out of the list, and for
/// homes that an older program filled.
pub(super) fn keep_stops(home: &Home, shops: &Shops) -> Result<(), SharingError> {
    for about in home.names(&home.vets())? {
        // A record that does not read, or is changed, stops what it is about by itself.
        let verified = records(home, &about).map(|kept| verify(kept, shops)).unwrap_or_default();
        for bad in verified.records.iter().filter(|v| v.void.is_none() && v.shop.counts_for(&v.record.plugin)) {
            Stop::of(bad).filter(|stop| stop.sha256 == about).map_or(Ok(()), |stop| stop.keep(home))?;
        }
    }
    Ok(())
}

/// Files that this run wrote where there was none.
#[derive(Default)]
pub(super) struct NewFiles(Vec<PathBuf>);

impl NewFiles {
    /// Writes an archive and the records about it, with their signatures.
    pub(super) fn plugin(
        &mut self,
        home: &Home,
        package: &Package,
        signed: &Signed,
        records: &[VerifiedRecord],
    ) -> Result<(), SharingError> {
        self.signed(&home.archive(&package.sha256), signed)?;
        records.iter().try_for_each(|r| self.record(home, &r.signed, &package.sha256))
    }

    fn record(&mut self, home: &Home, signed: &Signed, about: &str) -> Result<(), SharingError> {
        let name = format!("{}{RECORD_ENDING}", sha256(&signed.bytes));
        self.signed(&home.vets_of(about).join(name), signed)
    }

    /// A file and its signature, the signature first: what is there without one would be an error.
    pub(super) fn signed(&mut self, place: &Path, signed: &Signed) -> Result<(), SharingError> {
        if let Some(signature) = &signed.signature {
            self.file(&signature_place(place), signature)?;
        }
        self.file(place, &signed.bytes)
    }

    /// Writes a file, over another of that name.
    pub(super) fn file(&mut self, place: &Path, bytes: &[u8]) -> Result<(), SharingError> {
        match std::fs::read(place) {
            Ok(there) if there == bytes => Ok(()),
            Ok(_) => write_private(place, bytes),
            Err(_) => write_private(place, bytes).map(|()| self.0.push(place.to_path_buf())),
        }
    }

    /// Removes them again, last first, and folders that are empty then. What cannot be removed is left to the cleaning up
    /// of a later run.
    pub(super) fn remove(self) {
        for place in self.0.iter().rev() {
            let _ = std::fs::remove_file(place);
            let _ = place.parent().map(std::fs::remove_dir);
        }
    }
}

/// Removes archives that no plugin has and files that were never finished. What cannot be removed stays: it is not
/// installed, and the next run tries again.
pub(super) fn clean_up(home: &Home) {
    let mut used = BTreeSet::new();
    for name in home.names(&home.plugins()).unwrap_or_default() {
        let Some(id) = name.strip_suffix(".toml") else { continue };
        match Installation::load(home, id) {
            Ok(Some(it)) if it.installed => {
                used.insert(it.sha256);
                used.extend(it.kept.into_iter().map(|k| k.sha256));
            }
            Ok(_) => {}
            // Which archive it has is not known: better to keep all.
            Err(_) => return,
        }
    }
    for name in home.names(&home.store()).unwrap_or_default() {
        let sha256 = name.trim_end_matches(SIGNATURE_ENDING).trim_end_matches(ARCHIVE_ENDING);
        if !used.contains(sha256) {
            let _ = std::fs::remove_file(home.store().join(&name));
        }
    }
    let vets = home.names(&home.vets()).unwrap_or_default();
    for about in vets.iter().filter(|about| !used.contains(*about)) {
        let good = |signed: &Signed| {
            Record::read(&signed.bytes, &signed.place).is_ok_and(|record| record.result == VetResult::Good)
        };
        // Warnings outlive the plugin they are about; good vets do not.
        if records(home, about).is_ok_and(|all| all.iter().all(good)) {
            let _ = std::fs::remove_dir_all(home.vets_of(about));
        }
    }
    let folders = vets.iter().map(|name| home.vets_of(name));
    for folder in folders.chain([home.root().to_path_buf(), home.plugins(), home.store(), home.stops(), home.lifts()]) {
        for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
            if entry.file_name().to_string_lossy().starts_with(UNFINISHED) {
                let _ = std::fs::remove_file(entry.path());
            }
        }
    }
}
