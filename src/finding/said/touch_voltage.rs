//! Facts of touch-voltage.

use super::{Amount, Touching};
use crate::finding::Compared;

/// Extra-low volts on something touchable.
#[derive(Debug, Clone, PartialEq)]
pub struct TouchVoltage {
    /// What is touched.
    pub touching: Touching,
    /// How the volts are measured.
    pub quantity: Compared,
    /// The volts.
    pub volts: Amount,
    /// What they may be.
    pub limit: Amount,
    /// Current through a hand.
    pub draws: Amount,
}
