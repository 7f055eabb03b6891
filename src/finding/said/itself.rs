//! Facts of what the check says of itself: unsolved-condition and acceptance.

/// Conditions that could not be solved, for one reason.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnsolvedCondition {
    /// How many.
    pub count: usize,
    /// The solver's reason.
    pub why: String,
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
