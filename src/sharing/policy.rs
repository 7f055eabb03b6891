//! This shop's policy: what a plugin needs before it is let in, and each time it is loaded. Must not apply it.

use super::disk::write_private;
use super::vet::Did;
use super::{Home, SharingError};
use serde::Deserialize;
use std::path::Path;

/// The policy with every default written out, as it is put into a new home.
pub(crate) const DEFAULT: &str = include_str!("policy.toml");

/// What a plugin needs.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(crate) struct Policy {
    /// Different shops whose vets must count.
    pub vets_needed: usize,
    /// Whether the shop that signed the archive is one of them.
    pub author_counts: bool,
    /// What each of them must have done.
    pub must_have: Vec<Did>,
    /// Shops that must be among them.
    pub must_include: Vec<String>,
    /// Days after which a vet no longer counts.
    pub vet_days: u32,
    /// Longest time in days for which a key may be trusted.
    pub trust_days: u32,
    /// What becomes of what a key signed before it was called back. Homes of an older program do not say it.
    #[serde(default)]
    pub before_revocation: BeforeRevocation,
    /// Bounds of an archive.
    pub archive: ArchiveLimits,
}

/// What becomes of what was here before its key was called back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum BeforeRevocation {
    /// It counts on.
    #[default]
    Stays,
    /// It counts no more.
    Stops,
}

impl BeforeRevocation {
    pub(super) fn stays(self) -> bool {
        self == BeforeRevocation::Stays
    }
}

/// What an archive may hold at most.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(crate) struct ArchiveLimits {
    /// Files.
    pub files: usize,
    /// Bytes of one file.
    pub file_bytes: u64,
    /// Bytes of all files together.
    pub all_bytes: u64,
    /// Folders below the plugin's own.
    pub depth: usize,
}

impl ArchiveLimits {
    /// Longest archive: its files, each with a header and filling, the end of the tar and the frame of gzip.
    pub(super) fn archive_bytes(&self) -> u64 {
        self.all_bytes.saturating_add((self.files as u64).saturating_mul(1024)).saturating_add(64 * 1024)
    }
}

impl Policy {
    /// The policy of a home; the default where it has none.
    ///
    /// # Errors
    /// The file cannot be read, a setting is unknown, missing or makes no sense.
    pub(crate) fn load(home: &Home) -> Result<Policy, SharingError> {
        let place = home.policy();
        match home.read_text(&place)? {
            Some(text) => Policy::read(&text, &place),
            None => Policy::read(DEFAULT, &place),
        }
    }

    /// Writes the commented policy into a home that has none yet, so that every setting can be seen.
    ///
    /// # Errors
    /// The machine did not do it.
    pub(crate) fn write_once(home: &Home) -> Result<(), SharingError> {
        let place = home.policy();
        if place.symlink_metadata().is_ok() { Ok(()) } else { write_private(&place, DEFAULT.as_bytes()) }
    }

    /// Reads the text of a policy.
    ///
    /// # Errors
    /// A setting is unknown, missing or makes no sense.
    pub(crate) fn read(text: &str, place: &Path) -> Result<Policy, SharingError> {
        let help = "every setting is in the file that `deadfront plugin shops` writes when there is none";
        let policy: Policy = toml::from_str(text).map_err(|e| SharingError::toml(place, text, &e, help))?;
        if policy.vets_needed == 0 {
            return Err(SharingError::wrong(
                place,
                "vets-needed is 0",
                "a plugin nobody vetted never runs; write 1 or more",
            ));
        }
        Ok(policy)
    }
}
