//! A strobe lamp in use, and its forms.

use super::Report;
use crate::finding::Signal;
use crate::finding::strobe::{CheckOfStrobe, SignalCount, Strobe};
use crate::report::{self, Look};

/// A strobe lamp in use: what it shows, and the check of its jig.
#[derive(Debug, Clone, PartialEq)]
pub struct Strobing {
    /// What it shows. Turns a minute, seconds, per cent.
    pub strobe: Strobe,
    /// The check of its jig, where there is one.
    pub report: Option<Report>,
    /// A ring to print, where one was asked for and there is one: the text of its file.
    pub drawing: Option<String>,
}

impl Strobing {
    pub(crate) fn new(mut strobe: Strobe, report: Option<Report>, drawing: Option<String>) -> Strobing {
        strobe.check = report.as_ref().map(|r| {
            let of = |signal| r.judgement.findings.iter().filter(|f| f.signal == signal).count();
            let counts = Signal::ALL.into_iter().map(|signal| SignalCount { signal, count: of(signal) });
            let (verdict, complete) = (r.judgement.verdict(), r.judgement.complete());
            CheckOfStrobe { verdict, complete, findings: counts.filter(|c| c.count > 0).collect() }
        });
        Strobing { strobe, report, drawing }
    }

    /// Exit status of the program: 3 where the lamp or the check of its jig could not be finished, else 1 where the jig is not
    /// to be plugged in, or the lamp does not flash or flashes where it harms, else 0.
    pub fn exit_status(&self) -> u8 {
        self.strobe.exit_status()
    }

    /// The stable JSON of `deadfront strobe --format json`, with a line end behind it.
    pub fn to_json(&self) -> String {
        report::strobe_json(&self.strobe)
    }

    /// What `deadfront strobe` prints.
    pub fn to_text(&self, look: Look) -> String {
        report::strobe_text(&self.strobe, self.report.as_ref().map(|r| &r.judgement), look)
    }
}
