//! Facts of box-temperature and hot-surface.

use super::Amount;

/// The air inside the box.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxTemperature {
    /// Watts in the box.
    pub watts: Amount,
    /// °C inside.
    pub inside: f64,
    /// °C that it may be for long.
    pub limit: f64,
    /// The most watts for this box.
    pub cure: Amount,
}

/// The outside of the box.
#[derive(Debug, Clone, PartialEq)]
pub struct HotSurface {
    /// Watts in the box.
    pub watts: Amount,
    /// °C outside.
    pub surface: f64,
    /// °C that it may be.
    pub limit: f64,
    /// What it does to a hand.
    pub burn: Burn,
    /// The most watts for this box.
    pub cure: Amount,
}

/// What a hot box does to a hand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Burn {
    /// It burns it.
    Burns,
    /// It is too hot to hold, though nobody holds it.
    TooHotToHold,
}
