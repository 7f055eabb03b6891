//! Key records: what is said of a key itself, signed and sent about as vets are. A key names its successor, another shop
//! says that it compared the two, a key is called back. The record names the key that signs it in full, so that it can be
//! verified whoever is in the list. Must not know whom this shop trusts.

use super::names::{self, SIGNATURE_ENDING};
use super::sign::{PublicKey, Signature};
use super::signed::{Signed, signature_place};
use super::{Day, SharingError};
use serde::{Deserialize, Serialize};
use std::path::Path;

pub(crate) use super::names::KEY_RECORD_ENDING as ENDING;

/// Longest key record that is read.
pub(super) const LONGEST: u64 = 16 * 1024;

/// What is said of a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum KeyWord {
    /// The key names the one that follows it; both sign.
    Succession,
    /// Another shop compared old and new with the shop itself.
    Confirmation,
    /// It is not to be relied on since a day.
    Revocation,
}

impl KeyWord {
    /// As it is written.
    pub(crate) fn word(self) -> &'static str {
        match self {
            KeyWord::Succession => "succession",
            KeyWord::Confirmation => "confirmation",
            KeyWord::Revocation => "revocation",
        }
    }
}

/// One key record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(crate) struct KeyRecord {
    pub(super) format: u32,
    /// What is said.
    pub says: KeyWord,
    /// Number of the record within the key that signs it.
    pub number: u64,
    /// Name of the shop whose key it is about.
    pub shop: String,
    /// The key it is about.
    pub key: String,
    /// The key that signs the record.
    pub signed_by: String,
    /// The key that follows.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub new_key: String,
    /// The new key's signature over [`statement`]: whoever names it holds it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub proof: String,
    /// First day on which the key is not to be relied on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub since: Option<Day>,
    /// Day of the record.
    pub date: Day,
    /// Why.
    pub reason: String,
}

/// What the new key signs to be named as successor.
pub(super) fn statement(key: &PublicKey, new: &PublicKey) -> String {
    format!("deadfront: the key {} follows the key {}\n", new.text(), key.text())
}

impl KeyRecord {
    /// Reads a record and verifies it with the key that it says has signed it.
    ///
    /// # Errors
    /// It is not understood in full, or not what that key signed.
    pub(super) fn verified(signed: &Signed) -> Result<KeyRecord, SharingError> {
        let place = &signed.place;
        let help = "a record that is not understood in full holds nothing: update deadfront, or ask the shop";
        let text = std::str::from_utf8(&signed.bytes).map_err(|_| SharingError::wrong(place, "is not UTF-8", help))?;
        let record: KeyRecord = toml::from_str(text).map_err(|e| SharingError::toml(place, text, &e, help))?;
        if let Some(error) = record.error() {
            return Err(SharingError::wrong(place, error, help));
        }
        let beside = signature_place(place);
        let bytes = signed.signature.as_deref().ok_or_else(|| {
            let name = beside.file_name().unwrap_or_default().to_string_lossy().into_owned();
            SharingError::wrong(place, "has no signature", format!("put {name} beside it"))
        })?;
        let key = PublicKey::from_text(&record.signed_by).map_err(|m| SharingError::wrong(place, m, help))?;
        if Signature::read(bytes, &beside)?.is_of(&key, &signed.bytes) {
            Ok(record)
        } else {
            let message = "is not what the key it names signed";
            let help = "record or signature were changed, or belong to different files: ask for both again";
            Err(SharingError::wrong(place, message, help))
        }
    }

    fn error(&self) -> Option<String> {
        if self.format != 1 {
            return Some(format!("has format {}, this program knows format 1", self.format));
        }
        if self.number == 0 {
            return Some("has no number".into());
        }
        if let Some(error) = names::error_in_shop(&self.shop) {
            return Some(format!("the shop's name {error}"));
        }
        let Ok(key) = PublicKey::from_text(&self.key) else { return Some("names no key".into()) };
        let new = PublicKey::from_text(&self.new_key).ok();
        match (self.says, new, self.since) {
            (KeyWord::Revocation, None, Some(_)) if self.new_key.is_empty() && self.proof.is_empty() => None,
            (KeyWord::Revocation, ..) => Some("calls a key back, and says not since when, or more than that".into()),
            (_, None, _) => Some("names no new key".into()),
            (_, _, Some(_)) => Some("has a day that only a revocation has".into()),
            (_, Some(new), _) if new == key => Some("names the same key as its successor".into()),
            (KeyWord::Succession, Some(new), None) => self.error_in_succession(&key, &new),
            (KeyWord::Confirmation, ..) if self.signed_by == self.key || self.signed_by == self.new_key => {
                Some("confirms itself".into())
            }
            (KeyWord::Confirmation, ..) if !self.proof.is_empty() => Some("confirms, and has a proof".into()),
            (KeyWord::Confirmation, ..) => None,
        }
    }

    fn error_in_succession(&self, key: &PublicKey, new: &PublicKey) -> Option<String> {
        if self.signed_by != self.key {
            return Some("names a successor for the key of another".into());
        }
        let proof = Signature::read(self.proof.as_bytes(), Path::new("proof"));
        match proof {
            Ok(proof) if proof.is_of(new, statement(key, new).as_bytes()) => None,
            _ => Some("has no proof that the new key was at hand".into()),
        }
    }

    /// Its text.
    pub(super) fn text(&self) -> String {
        // Texts, numbers and days always become TOML.
        let body = toml::to_string(self).unwrap_or_default();
        format!(
            "# Key record: what is said of a shop's key. It counts for a shop that lists the key, and for nobody else.\n\
             {body}"
        )
    }

    /// Name of its file.
    pub(crate) fn file_name(&self) -> String {
        let KeyRecord { shop, date, number, says, .. } = self;
        format!("{}.{date}.{number:06}.{}{ENDING}", names::slug(shop), says.word())
    }

    /// Name of its signature's file.
    pub(crate) fn signature_name(&self) -> String {
        format!("{}{SIGNATURE_ENDING}", self.file_name())
    }

    /// The one line that the signature carries.
    pub(super) fn comment(&self) -> String {
        format!("deadfront key {} {} {}", self.says.word(), self.number, self.date)
    }

    /// The new key; None for a revocation.
    pub(crate) fn new_key(&self) -> Option<PublicKey> {
        PublicKey::from_text(&self.new_key).ok()
    }
}
