//! Facts of outlet-shock.

use super::Amount;
use crate::finding::Situation;

/// A hand, or two, on an isolated outlet.
#[derive(Debug, Clone, PartialEq)]
pub enum OutletShock {
    /// One hand on a terminal, one on earth.
    FirstTouch {
        /// The outlet.
        outlet: String,
        /// Whether something has failed.
        kind: Situation,
        /// Current through the body.
        current: Amount,
        /// What it may be.
        limit: Amount,
    },
    /// Hands on both terminals.
    SecondTouch {
        /// The outlet.
        outlet: String,
        /// Volts between its terminals.
        volts: Amount,
    },
}

impl OutletShock {
    /// The outlet.
    pub fn outlet(&self) -> &str {
        let (OutletShock::FirstTouch { outlet, .. } | OutletShock::SecondTouch { outlet, .. }) = self;
        outlet
    }
}
