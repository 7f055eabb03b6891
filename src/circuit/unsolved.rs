//! The one error of the room.

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
        }
    }
}

impl std::error::Error for Unsolved {}
