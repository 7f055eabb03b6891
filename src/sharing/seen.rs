//! On which day this home first took in each archive and record: the only day that a thief of a key cannot choose. Must not
//! decide what follows from it.

use super::disk::write_private;
use super::{Day, Home, SharingError};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// First days by sha256.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Seen {
    #[serde(default)]
    first: BTreeMap<String, Day>,
}

impl Seen {
    /// Those of a home.
    ///
    /// # Errors
    /// The file does not read.
    pub(super) fn load(home: &Home) -> Result<Seen, SharingError> {
        let place = home.seen();
        let help = "it holds the day on which each file was first taken in: put it back from a copy of the home";
        let Some(text) = home.read_text(&place)? else { return Ok(Seen::default()) };
        toml::from_str(&text).map_err(|e| SharingError::toml(&place, &text, &e, help))
    }

    /// Whether these bytes were here before that day.
    pub(super) fn before(&self, sha256: &str, day: Day) -> bool {
        self.first.get(sha256).is_some_and(|first| *first < day)
    }

    /// Notes what is new today, and writes when something is.
    ///
    /// # Errors
    /// The machine did not do it.
    pub(super) fn note<'a>(
        home: &Home,
        today: Day,
        all: impl IntoIterator<Item = &'a String>,
    ) -> Result<(), SharingError> {
        let mut seen = Seen::load(home)?;
        let before = seen.first.len();
        for sha256 in all {
            seen.first.entry(sha256.clone()).or_insert(today);
        }
        if seen.first.len() == before {
            return Ok(());
        }
        seen.write(home)
    }

    /// Puts the memory back as it was when it was loaded, if it is another now.
    ///
    /// # Errors
    /// The machine did not do it.
    pub(super) fn keep(&self, home: &Home) -> Result<(), SharingError> {
        match (Seen::load(home)?.first == self.first, self.first.is_empty()) {
            (true, _) => Ok(()),
            (false, true) => std::fs::remove_file(home.seen())
                .map_err(|e| SharingError::machine(&home.seen(), "could not be removed", &e)),
            (false, false) => self.write(home),
        }
    }

    fn write(&self, home: &Home) -> Result<(), SharingError> {
        // Texts and days always become TOML.
        let body = toml::to_string(self).unwrap_or_default();
        write_private(&home.seen(), format!("# Written by `deadfront plugin add`.\n{body}").as_bytes())
    }
}
