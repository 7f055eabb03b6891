//! The folder in which this shop's keys, trust and plugins live, and the one way files get there: whole or not at
//! all. Must not know what the files mean.
//!
//! ```text
//! policy.toml  shops.toml
//! key/shop.key key/shop.pub             this shop's own key, encrypted
//! plugins/ID.toml                       which archive of a plugin holds: writing this file is installing
//! store/SHA256.tar.gz (+ .minisig)      the archives
//! vets/SHA256/NAME.vet (+ .minisig)     what shops said about those bytes
//! stops/SHA256/RECORD.toml              what was stopped while its shop was trusted; outlives the trust
//! lifts/RECORD.lift (+ .minisig)        stops that a person of this shop took back, with the reason
//! key-records/RECORD.keyrec (+ .minisig) who follows which key, which key was called back
//! seen.toml                             on which day each archive and record first came in
//! shelves/SHOP.SHELF.toml               the newest index of each shelf that was read
//! ```

use super::SharingError;
use super::disk::read_bounded;
use super::names::ARCHIVE_ENDING;
use crate::files::UNFINISHED;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// Environment variable that names the folder.
pub(crate) const VARIABLE: &str = "DEADFRONT_HOME";

/// Longest of this shop's own lists that is read.
const LONGEST: u64 = 1 << 20;

/// A home folder. It may not exist yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Home {
    root: PathBuf,
    /// Whether the user named it, so that it ought to be there.
    named: bool,
}

impl Home {
    /// The home in this folder.
    pub fn at(root: impl Into<PathBuf>) -> Home {
        Home { root: root.into(), named: false }
    }

    /// The home of this user: what DEADFRONT_HOME names, else where the system keeps a program's data.
    ///
    /// # Errors
    /// The system knows no home folder of the user.
    pub fn find() -> Result<Home, SharingError> {
        if let Some(root) = std::env::var_os(VARIABLE).filter(|v| !v.is_empty()) {
            return Ok(Home { named: true, ..Home::at(root) });
        }
        let folders = directories::ProjectDirs::from("", "", "deadfront");
        let none =
            || SharingError::wrong(Path::new("~"), "there is no home folder", format!("set {VARIABLE} to a folder"));
        folders.map(|f| Home::at(f.data_dir())).ok_or_else(none)
    }

    /// The folder itself.
    pub fn root(&self) -> &Path {
        &self.root
    }

    pub(super) fn is_named(&self) -> bool {
        self.named
    }

    /// This shop's policy.
    pub fn policy(&self) -> PathBuf {
        self.root.join("policy.toml")
    }

    /// The shops this shop trusts.
    pub fn shops(&self) -> PathBuf {
        self.root.join("shops.toml")
    }

    /// This shop's own secret key.
    pub fn secret_key(&self) -> PathBuf {
        self.key_folder().join("shop.key")
    }

    /// This shop's own public key, to be given to others.
    pub fn public_key(&self) -> PathBuf {
        self.key_folder().join("shop.pub")
    }

    pub(super) fn key_folder(&self) -> PathBuf {
        self.root.join("key")
    }

    /// The number of the last record this shop's key signed.
    pub(super) fn counter(&self) -> PathBuf {
        self.key_folder().join("last-number")
    }

    pub(super) fn plugins(&self) -> PathBuf {
        self.root.join("plugins")
    }

    pub(super) fn plugin(&self, id: &str) -> PathBuf {
        self.plugins().join(format!("{id}.toml"))
    }

    pub(super) fn store(&self) -> PathBuf {
        self.root.join("store")
    }

    pub(super) fn archive(&self, sha256: &str) -> PathBuf {
        self.store().join(format!("{sha256}{ARCHIVE_ENDING}"))
    }

    pub(super) fn vets(&self) -> PathBuf {
        self.root.join("vets")
    }

    pub(super) fn vets_of(&self, sha256: &str) -> PathBuf {
        self.vets().join(sha256)
    }

    pub(super) fn stops(&self) -> PathBuf {
        self.root.join("stops")
    }

    pub(super) fn stops_of(&self, sha256: &str) -> PathBuf {
        self.stops().join(sha256)
    }

    pub(super) fn key_records(&self) -> PathBuf {
        self.root.join("key-records")
    }

    pub(super) fn seen(&self) -> PathBuf {
        self.root.join("seen.toml")
    }

    pub(super) fn shelves(&self) -> PathBuf {
        self.root.join("shelves")
    }

    pub(super) fn lifts(&self) -> PathBuf {
        self.root.join("lifts")
    }

    /// The text of a file of the home; None where there is none.
    pub(super) fn read_text(&self, place: &Path) -> Result<Option<String>, SharingError> {
        if matches!(std::fs::symlink_metadata(place), Err(e) if e.kind() == ErrorKind::NotFound) {
            return Ok(None);
        }
        let bytes = read_bounded(place, LONGEST)?;
        String::from_utf8(bytes).map(Some).map_err(|_| SharingError::wrong(place, "is not UTF-8", ""))
    }

    /// The names in a folder of the home, sorted, without unfinished files; none where there is no folder.
    pub(super) fn names(&self, folder: &Path) -> Result<Vec<String>, SharingError> {
        let failed = |e: std::io::Error| SharingError::machine(folder, "the folder could not be read", &e);
        let entries = match std::fs::read_dir(folder) {
            Ok(entries) => entries,
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(vec![]),
            Err(error) => return Err(failed(error)),
        };
        let mut names = vec![];
        for entry in entries {
            names.push(entry.map_err(failed)?.file_name().to_string_lossy().into_owned());
        }
        names.retain(|n| !n.starts_with(UNFINISHED));
        names.sort();
        Ok(names)
    }
}
