//! Stops: a "known bad" that was heard while its shop was trusted. Each is kept in words of this home, so that it holds
//! when the shop is taken from the list or its trust lapses: only a later record of the same key, or a person of this shop,
//! lifts it. Must not know whether the plugin is installed.

use super::disk::write_private;
use super::evaluate::VerifiedRecord;
use super::vet::VetResult;
use super::{Day, Home, SharingError, sha256};
use serde::{Deserialize, Serialize};

/// One stop.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(crate) struct Stop {
    pub(super) format: u32,
    /// Id of the plugin, as the record calls it.
    pub plugin: String,
    /// Its version.
    pub version: String,
    /// sha256 of the archive that is stopped.
    pub sha256: String,
    /// Name of the shop that said so, as it stood in the list.
    pub shop: String,
    /// Its key.
    pub key: String,
    /// Number of its record.
    pub number: u64,
    /// Day of its record.
    pub date: Day,
    /// Why, in the shop's words.
    pub note: String,
    /// sha256 of its record.
    pub record: String,
}

impl Stop {
    /// The stop that a "known bad" record is; None for any other record.
    pub(super) fn of(verified: &VerifiedRecord) -> Option<Stop> {
        let VerifiedRecord { record, shop, key, signed, void } = verified;
        (record.result == VetResult::KnownBad && void.is_none()).then(|| Stop {
            format: 1,
            plugin: record.plugin.clone(),
            version: record.version.to_string(),
            sha256: record.sha256.clone(),
            shop: shop.name.clone(),
            key: key.text(),
            number: record.number,
            date: record.date,
            note: record.note.clone(),
            record: sha256(&signed.bytes),
        })
    }

    /// Keeps it, for as long as nobody lifts it.
    ///
    /// # Errors
    /// The machine did not do it.
    pub(super) fn keep(&self, home: &Home) -> Result<(), SharingError> {
        let place = home.stops_of(&self.sha256).join(format!("{}.toml", self.record));
        if place.symlink_metadata().is_ok() {
            return Ok(());
        }
        // Texts and numbers always become TOML.
        let body = toml::to_string(self).unwrap_or_default();
        let head =
            "# Written by `deadfront plugin add`: a known-bad record that was heard while its shop was trusted.\n";
        write_private(&place, format!("{head}{body}").as_bytes())
    }

    /// `Saltmarsh Bench says since 2026-11-20 that these bytes are bad: misses an open bleeder`.
    pub(super) fn words(&self) -> String {
        let note = if self.note.is_empty() { String::new() } else { format!(": {}", self.note) };
        format!("{} says since {} that these bytes are bad{note}", self.shop, self.date)
    }
}

/// The stops kept about these bytes.
///
/// # Errors
/// One of them cannot be read: nobody knows then what it stops.
pub(super) fn kept(home: &Home, about: &str) -> Result<Vec<Stop>, SharingError> {
    let folder = home.stops_of(about);
    let one = |name: &String| {
        let place = folder.join(name);
        let help = "it is not what this program wrote: put it back from a copy of the home";
        let text = home.read_text(&place)?.unwrap_or_default();
        let stop: Stop = toml::from_str(&text).map_err(|e| SharingError::toml(&place, &text, &e, help))?;
        let named = name.strip_suffix(".toml").is_some_and(|record| record == stop.record);
        if stop.format != 1 || stop.sha256 != about || !named {
            return Err(SharingError::wrong(&place, "is not what this program wrote", help));
        }
        Ok(stop)
    };
    home.names(&folder)?.iter().map(one).collect()
}

/// Every stop in the home, those of one archive together.
///
/// # Errors
/// As [`kept`].
pub(super) fn all(home: &Home) -> Result<Vec<Stop>, SharingError> {
    let mut stops = vec![];
    for about in home.names(&home.stops())? {
        stops.extend(kept(home, &about)?);
    }
    Ok(stops)
}
