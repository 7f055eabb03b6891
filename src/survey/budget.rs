//! How much time a check may take, and how many conditions it may try. Past either bound it is incomplete and says which.

use std::time::{Duration, Instant};

/// Most conditions of one jig that are tried: settings × orientations of the plug × faults. The largest tool that was met has
/// a tenth of them.
pub(crate) const MOST_CONDITIONS: usize = 100_000;

/// The time allowed, and when it ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Budget {
    /// The whole of it.
    pub allowed: Duration,
    /// The instant from which on nothing more is tried.
    pub until: Instant,
}

impl Budget {
    /// From now on; `None` where it is so long that no clock reaches its end.
    pub(crate) fn from_now(allowed: Duration) -> Option<Budget> {
        Instant::now().checked_add(allowed).map(|until| Budget { allowed, until })
    }

    /// Whether nothing more may be tried.
    pub(crate) fn is_spent(self) -> bool {
        Instant::now() >= self.until
    }
}
