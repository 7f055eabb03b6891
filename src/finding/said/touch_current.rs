//! Facts of touch-current.

use super::{Amount, Touching};
use crate::finding::Compared;

/// Current through a hand on something touchable.
#[derive(Debug, Clone, PartialEq)]
pub struct TouchCurrent {
    /// What is touched.
    pub touching: Touching,
    /// Volts r.m.s. that stand on it.
    pub volts: Amount,
    /// How the current is measured.
    pub quantity: Compared,
    /// The current.
    pub current: Amount,
    /// What it may be.
    pub limit: Amount,
    /// What cures it.
    pub cure: TouchCurrentCure,
}

/// What keeps a hand from a current.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TouchCurrentCure {
    /// A solid path to earth, or quicker fuses.
    BondOrFuse,
    /// A solid path to earth, or insulation.
    BondOrInsulate,
    /// Insulation, or resistors that limit the current.
    InsulateOrLimit,
}
