//! Numbers the conditions of one job and files what is found in them.

use super::condition::Condition;
use super::gravest::Ordinal;
use super::ledger::{Ledger, Outcome, Tried};
use super::unsolved::NotSolved;

/// Where one job's results go.
pub(crate) struct Recorder<'a> {
    /// What has been found.
    pub ledger: &'a mut Ledger,
    job: u32,
    next: u32,
}

impl<'a> Recorder<'a> {
    /// For a job, by its number.
    pub(crate) fn new(ledger: &'a mut Ledger, job: u32) -> Recorder<'a> {
        Recorder { ledger, job, next: 0 }
    }

    /// The number that the next condition gets.
    pub(crate) fn next(&self) -> Ordinal {
        (self.job, self.next)
    }

    /// Notes a condition and gives its number.
    pub(crate) fn tried(&mut self, condition: Condition, outcome: Outcome) -> Ordinal {
        let ordinal = (self.job, self.next);
        self.next += 1;
        self.ledger.tried.push(Tried { ordinal, condition, outcome, strained: None });
        ordinal
    }

    /// Notes a condition that was not solved: the check is then incomplete, and says why.
    pub(crate) fn unsolved(&mut self, condition: Condition, why: NotSolved) {
        self.tried(condition, Outcome::Unsolved(why));
    }

    /// Notes a fuse that the condition noted last strains without opening it for sure: (protector, amperes).
    pub(crate) fn strained(&mut self, fuse: Option<(usize, f64)>) {
        if let Some(t) = self.ledger.tried.last_mut() {
            t.strained = fuse;
        }
    }
}
