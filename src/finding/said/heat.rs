//! Facts of box-temperature and hot-surface.

use super::Amount;
use crate::finding::Ordinal;

/// What the file leaves open of the heat of the box.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum HeatAsks {
    /// Whether a lamp stands inside the box.
    Place(String),
    /// Whether the metal is painted.
    Finish,
}

/// The air inside the box.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxTemperature {
    /// Watts in the box.
    pub watts: Amount,
    /// °C inside.
    pub inside: f64,
    /// °C that it may be for long.
    pub limit: f64,
    /// The fault; `None` for normal use.
    pub at: Option<Ordinal>,
    /// What the file leaves open, and was taken at its worst.
    pub asks: Vec<HeatAsks>,
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
    /// The part that stands outside and is that hot; `None`: the box.
    pub part: Option<String>,
    /// The fault; `None` for normal use.
    pub at: Option<Ordinal>,
    /// What the file leaves open, and was taken at its worst.
    pub asks: Vec<HeatAsks>,
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

/// A part in air that is too warm for it.
#[derive(Debug, Clone, PartialEq)]
pub struct PartTemperature {
    /// The part.
    pub part: String,
    /// °C it comes to in normal use.
    pub celsius: f64,
    /// °C it is made for.
    pub limit: f64,
    /// What then.
    pub fate: TooWarm,
    /// What it sits on, where it does.
    pub on: Option<String>,
}

/// What becomes of a part in air that is too warm for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TooWarm {
    /// A thermal fuse opens for ever.
    Opens,
    /// A thermal fuse is not sure to hold.
    MayOpen,
    /// Insulation ages.
    Ages,
    /// Insulation ages with the fault of a condition.
    AgesAfter(Ordinal),
}
