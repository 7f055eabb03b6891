//! The one error of the room.

use std::time::Instant;

/// Why there is no solution.
#[derive(Debug, Clone, PartialEq)]
pub enum Unsolved {
    /// Ideal sources in a loop.
    SourceLoop {
        /// Index of the source branch that closes the loop.
        branch: usize,
    },
    /// A branch whose values make no circuit.
    BadValue {
        /// Index of the branch.
        branch: usize,
        /// What is wrong with it.
        what: &'static str,
    },
    /// A filament lamp whose resistance and power never come to agree.
    Unsettled {
        /// Index of its branch.
        branch: usize,
    },
    /// No mode was found in which every device is where its voltage and current put it, or numbers left the finite range.
    Lost {
        /// What happened.
        what: &'static str,
    },
    /// The time that was given has passed.
    OutOfTime,
}

/// Nothing, as long as there is time left.
///
/// # Errors
/// [`Unsolved::OutOfTime`].
pub(super) fn in_time(until: Option<Instant>) -> Result<(), Unsolved> {
    if until.is_some_and(|until| Instant::now() >= until) { Err(Unsolved::OutOfTime) } else { Ok(()) }
}

impl std::fmt::Display for Unsolved {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Unsolved::SourceLoop { branch } => write!(f, "sources are joined directly (branch {branch})"),
            Unsolved::BadValue { branch, what } => write!(f, "branch {branch}: {what}"),
            Unsolved::Unsettled { branch } => {
                write!(f, "a filament lamp's resistance did not settle (branch {branch})")
            }
            Unsolved::Lost { what } => f.write_str(what),
            Unsolved::OutOfTime => f.write_str("the time allowed was used up"),
        }
    }
}

impl std::error::Error for Unsolved {}
