//! The vet record: what one shop says about exact bytes, in a text a person can read. It is signed as it stands, byte
//! for byte. A record with a word this program does not know holds nothing: the word may be a caveat. Must not know
//! whether the shop is trusted.

use super::{Day, SharingError, names};
use crate::plugin::identity::{Identity, is_kebab};
use semver::Version;
use serde::{Deserialize, Serialize};
use std::fmt::Write as _;
use std::path::Path;

pub(crate) use super::names::RECORD_ENDING as ENDING;

/// Longest record that is read.
pub(super) const LONGEST: u64 = 16 * 1024;

/// What a shop did with a plugin.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub(crate) enum Did {
    ReadTheSource,
    RanItsCases,
    TriedOnABenchUnit,
    Measured,
}

impl Did {
    /// All of them.
    pub(crate) const ALL: [Did; 4] = [Did::ReadTheSource, Did::RanItsCases, Did::TriedOnABenchUnit, Did::Measured];

    /// As it is written.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Did::ReadTheSource => "read-the-source",
            Did::RanItsCases => "ran-its-cases",
            Did::TriedOnABenchUnit => "tried-on-a-bench-unit",
            Did::Measured => "measured",
        }
    }
}

/// What came of it. Of records of one key and one number the gravest holds: sorted ascending.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum VetResult {
    /// Nothing was found against it.
    Good,
    /// An earlier record of this shop about these bytes no longer holds.
    Withdrawn,
    /// It must not be used.
    KnownBad,
}

impl VetResult {
    /// As it is written.
    pub(crate) fn word(self) -> &'static str {
        match self {
            VetResult::Good => "good",
            VetResult::Withdrawn => "withdrawn",
            VetResult::KnownBad => "known-bad",
        }
    }
}

/// One record.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Record {
    /// Form of the record: 1 (without number, program and cases) or 2.
    pub format: u32,
    /// Number of the record within its key, which only rises; 0 in the first form.
    #[serde(default)]
    pub number: u64,
    /// Id of the plugin.
    pub plugin: String,
    /// Its version.
    pub version: Version,
    /// sha256 of its archive.
    pub sha256: String,
    /// Name of the shop whose record it is.
    pub shop: String,
    /// Day on which it was vetted.
    pub date: Day,
    /// What was done.
    pub did: Vec<Did>,
    /// Version of the program that wrote the record; empty in the first form.
    #[serde(default)]
    pub program: String,
    /// How many of its cases that program itself saw come out as expected.
    #[serde(default)]
    pub cases: usize,
    /// What came of it.
    pub result: VetResult,
    /// Anything else worth saying.
    pub note: String,
}

/// The newest form of a record.
pub(super) const FORMAT: u32 = 2;

impl Record {
    /// Reads the bytes of a record.
    ///
    /// # Errors
    /// A key is unknown, missing or not of its kind: the record is then void as a whole.
    pub(crate) fn read(bytes: &[u8], place: &Path) -> Result<Record, SharingError> {
        let help = "a record that is not understood in full holds nothing: update deadfront, or ask the shop";
        let text = std::str::from_utf8(bytes).map_err(|_| SharingError::wrong(place, "is not UTF-8", help))?;
        let record: Record = toml::from_str(text).map_err(|e| SharingError::toml(place, text, &e, help))?;
        record.error().map_or(Ok(record), |error| Err(SharingError::wrong(place, error, help)))
    }

    fn error(&self) -> Option<String> {
        let hex = |b: u8| b.is_ascii_digit() || (b'a'..=b'f').contains(&b);
        match self.format {
            1 if self.number != 0 || !self.program.is_empty() || self.cases != 0 => {
                return Some("has format 1, in which there is neither number nor program nor cases".into());
            }
            1 => {}
            FORMAT if self.number == 0 || self.program.is_empty() => {
                return Some("has format 2, and says neither its number nor the program that wrote it".into());
            }
            FORMAT if self.did.contains(&Did::RanItsCases) && self.cases == 0 => {
                return Some("says that the cases were run, and the program saw none run".into());
            }
            FORMAT => {}
            other => return Some(format!("has format {other}, this program knows formats 1 and {FORMAT}")),
        }
        if !is_kebab(&self.plugin) || !self.version.build.is_empty() {
            return Some(format!("\"{}\" {} can be no plugin", self.plugin, self.version));
        }
        if self.sha256.len() != 64 || !self.sha256.bytes().all(hex) {
            return Some("sha256 is not 64 lower-case hexadecimal digits".into());
        }
        if let Some(error) = names::error_in_shop(&self.shop) {
            return Some(format!("the shop's name {error}"));
        }
        if self.result == VetResult::Good && self.did.is_empty() {
            return Some("says \"good\" and does not say what was done".into());
        }
        None
    }

    /// The text of the record.
    pub(crate) fn text(&self) -> String {
        let quoted = |text: &str| toml::Value::String(text.to_string()).to_string();
        let did: Vec<String> = self.did.iter().map(|d| quoted(d.word())).collect();
        let mut text = String::from(
            "# Vet record: what a shop says about exactly these bytes of a plugin. It counts for a shop that trusts the\n\
             # key of the signature beside it, and for nobody else.\n",
        );
        let (mut number, mut ran) = (String::new(), String::new());
        if self.format > 1 {
            number = format!("number = {}\n", self.number);
            ran = format!("program = {}\ncases = {}\n", quoted(&self.program), self.cases);
        }
        // Writing to a text does not fail.
        let _ = write!(
            text,
            "format = {}\n{number}plugin = {}\nversion = {}\nsha256 = {}\nshop = {}\ndate = {}\ndid = [{}]\n{ran}\
             result = {}\nnote = {}\n",
            self.format,
            quoted(&self.plugin),
            quoted(&self.version.to_string()),
            quoted(&self.sha256),
            quoted(&self.shop),
            quoted(&self.date.to_string()),
            did.join(", "),
            quoted(self.result.word()),
            quoted(&self.note),
        );
        text
    }

    /// Name of its file.
    pub(crate) fn file_name(&self) -> String {
        let (shop, result) = (names::slug(&self.shop), self.result.word());
        let number = if self.format > 1 { format!("{:06}.", self.number) } else { String::new() };
        format!("{}-{}.{shop}.{}.{number}{result}{ENDING}", self.plugin, self.version, self.date)
    }

    /// The one line that the signature carries.
    pub(crate) fn comment(&self) -> String {
        let number = if self.format > 1 { format!(" {}", self.number) } else { String::new() };
        format!("deadfront vet {} {} {} {}{number}", self.plugin, self.version, self.result.word(), self.date)
    }

    /// Whether it is about this plugin, by every one of its names for it.
    pub(crate) fn is_about(&self, identity: &Identity, sha256: &str) -> bool {
        self.sha256 == sha256 && self.plugin == identity.id && self.version == identity.version
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn record() -> Record {
        Record {
            format: 2,
            number: 7,
            program: "0.1.0".into(),
            cases: 3,
            plugin: "probe-bleeder".into(),
            version: Version::new(1, 2, 3),
            sha256: "0123456789abcdef".repeat(4),
            shop: "Quillgate \"Repair\" Co-op".into(),
            date: "2026-11-25".parse().unwrap(),
            did: Did::ALL.to_vec(),
            result: VetResult::Good,
            note: "two lines\nand a \\ and a '''".into(),
        }
    }

    #[test]
    fn what_is_written_reads_back() {
        let first = Record { format: 1, number: 0, program: String::new(), cases: 0, ..record() };
        for record in [record(), first] {
            assert_eq!(Record::read(record.text().as_bytes(), Path::new("x.vet")).unwrap(), record);
        }
    }

    #[test]
    fn what_is_not_understood_voids_the_record() {
        let text = record().text();
        for (from, to) in [
            ("note =", "caveat = \"only below 100 V\"\nnote ="),
            ("format = 2", "format = 3"),
            ("format = 2", "format = 1"),
            ("number = 7\n", ""),
            ("number = 7", "number = 0"),
            ("number = 7", "number = -7"),
            ("program = \"0.1.0\"\n", ""),
            ("cases = 3", "cases = 0"),
            ("\"measured\"", "\"licked\""),
            ("result = \"good\"", "result = \"fairly-good\""),
            ("result = \"good\"\n", ""),
            ("date = \"2026-11-25\"", "date = 2026-11-25"),
            ("sha256 = \"0", "sha256 = \"A"),
            ("did = [\"read-the-source\", \"ran-its-cases\", \"tried-on-a-bench-unit\", \"measured\"]", "did = []"),
            ("1.2.3", "1.2"),
            ("shop = '", "shop = ' "),
        ] {
            let changed = text.replacen(from, to, 1);
            assert_ne!(changed, text, "{from}");
            assert!(Record::read(changed.as_bytes(), Path::new("x.vet")).is_err(), "{to}");
        }
    }
}
