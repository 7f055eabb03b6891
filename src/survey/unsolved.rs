//! Why a condition was not solved.

use crate::circuit;

/// Why a condition was not solved.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum NotSolved {
    /// The circuit has no solution.
    Circuit(circuit::Unsolved),
    /// At one instant no set of device states is consistent.
    Inconsistent {
        /// The branch of a device that has none, where it is known.
        branch: Option<usize>,
    },
    /// The energies do not balance.
    Unbalanced {
        /// Residual over the sum of the volt-amperes.
        residual: f64,
    },
    /// The time allowed was used up before.
    OutOfTime,
    /// There are more conditions than are tried.
    TooManyConditions {
        /// Tried at most.
        most: usize,
        /// Of the jig.
        of: usize,
    },
    /// There are too many corners of the tolerances for all of them.
    CornersLeftOut {
        /// Solved.
        solved: usize,
        /// Left out.
        left_out: usize,
    },
}

impl From<circuit::Unsolved> for NotSolved {
    fn from(why: circuit::Unsolved) -> NotSolved {
        if why == circuit::Unsolved::OutOfTime { NotSolved::OutOfTime } else { NotSolved::Circuit(why) }
    }
}

/// A transient in which every device has a state of its own at every instant.
///
/// # Errors
/// [`NotSolved::Inconsistent`] where one was held in a state that is none.
pub(super) fn consistent(t: circuit::Transient) -> Result<circuit::Transient, NotSolved> {
    if t.forced { Err(NotSolved::Inconsistent { branch: t.held }) } else { Ok(t) }
}
