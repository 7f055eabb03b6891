//! What a check has to say, and its forms.

use crate::finding::{Judgement, Mending, Signal};
use crate::report::{self, Look};

/// A checked jig.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// What was found in the jig as it is, with the tables of worst values. SI base units everywhere.
    pub judgement: Judgement,
    /// What was changed and what is left, where a mended file was asked for.
    pub mending: Option<Mending>,
    /// Text of the mended jig, where one was asked for and something was changed in it.
    pub mended_text: Option<String>,
}

impl Report {
    /// Exit status of the program: 3 where the check is not complete, else 1 with a DANGER or a WARNING, else 0. A
    /// mended file changes nothing about it.
    pub fn exit_status(&self) -> u8 {
        self.judgement.exit_status()
    }

    /// The gravest finding that stops, in words; nothing where none does.
    pub(crate) fn worst_that_stops(&self) -> Option<String> {
        let stops = self.judgement.findings.iter().filter(|f| f.signal <= Signal::Warning);
        stops.min_by_key(|f| f.signal).map(|f| format!("{} ({}, {})", f.message, f.check, f.signal.word()))
    }

    /// The stable JSON of `deadfront check --format json`, with a line end behind it. The order of its keys is kept;
    /// `schema_version` rises when one changes its meaning.
    pub fn to_json(&self) -> String {
        report::check_json_with(&self.judgement, self.mending.as_ref())
    }

    /// What `deadfront check` prints.
    pub fn to_text(&self, look: Look) -> String {
        report::brief_text(&self.judgement, self.mending.as_ref(), look)
    }

    /// What `deadfront check --all` prints: every finding in full, and every table.
    pub fn to_full_text(&self, look: Look) -> String {
        report::check_text(&self.judgement, self.mending.as_ref(), look)
    }
}
