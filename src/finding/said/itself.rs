//! Facts of what the check says of itself: unsolved-condition and acceptance.

use std::time::Duration;

/// Conditions that could not be solved, for one reason.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnsolvedCondition {
    /// How many.
    pub count: usize,
    /// The solver's reason.
    pub why: String,
    /// The bound of the check that was reached, where it was none of the circuit's.
    pub bound: Option<Bound>,
}

/// A bound of a check.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// Of time.
    Time {
        /// What was allowed.
        allowed: Duration,
    },
    /// Of the conditions of one jig.
    Conditions {
        /// That are tried at most.
        most: usize,
        /// That the jig has.
        of: usize,
    },
}

/// An acceptance that does not hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Acceptance {
    /// It matches no finding.
    MatchesNothing {
        /// The check it names.
        check: String,
    },
    /// Its day has passed.
    Lapsed {
        /// The check it names.
        check: String,
        /// Its last day.
        until: String,
    },
}
