//! Facts of the checks of lamps: lamp-current, lamp-strike, lamp-life, lamp-voltage, led-current, led-reverse and no-limiting.

use super::{Amount, Percent};
use crate::finding::{Compared, Under};

/// Current of a glow lamp.
#[derive(Debug, Clone, PartialEq)]
pub struct LampCurrent {
    /// The lamp.
    pub part: String,
    /// The current.
    pub current: Amount,
    /// What it stands.
    pub limit: Amount,
    /// By how much the series resistance is to be raised.
    pub cure: Percent,
}

/// Too many volts on a filament lamp in normal use.
#[derive(Debug, Clone, PartialEq)]
pub struct LampVoltage {
    /// The lamp.
    pub part: String,
    /// Normal use or a fault.
    pub under: Under,
    /// Whether it is a lamp, not a heater or another load.
    pub lamp: bool,
    /// The volts.
    pub volts: Amount,
    /// What it is made for.
    pub limit: Amount,
    /// The watts it takes there, over its own.
    pub watts: f64,
    /// Whether that overheats it, beside shortening its life.
    pub hot: bool,
}

/// Whether a glow lamp strikes.
#[derive(Debug, Clone, PartialEq)]
pub struct LampStrike {
    /// The lamp.
    pub part: String,
    /// Crest of the lowest mains over the volts its worst specimen strikes at.
    pub margin: f64,
    /// What that is to be.
    pub wanted: f64,
}

/// Life of a glow lamp.
#[derive(Debug, Clone, PartialEq)]
pub struct LampLife {
    /// The lamp.
    pub part: String,
    /// What is left of its rated life.
    pub left: Percent,
    /// Hours it lasts and hours it is rated for, where its type says.
    pub hours: Option<[f64; 2]>,
    /// Its current.
    pub current: Amount,
    /// What it is made for.
    pub design: Amount,
    /// Whether it burns on d.c.
    pub one_way: bool,
    /// What cures it.
    pub cure: LampLifeCure,
}

/// What makes a glow lamp last.
#[derive(Debug, Clone, PartialEq)]
pub enum LampLifeCure {
    /// More series resistance.
    Raise(Percent),
    /// Alternating current.
    Alternate,
}

/// Current of an LED.
#[derive(Debug, Clone, PartialEq)]
pub struct LedCurrent {
    /// The LED.
    pub part: String,
    /// How the current is measured.
    pub quantity: Compared,
    /// The current.
    pub current: Amount,
    /// What it is made for.
    pub limit: Amount,
    /// By how much the series impedance is to be raised.
    pub cure: Percent,
}

/// Volts backwards across an LED.
#[derive(Debug, Clone, PartialEq)]
pub struct LedReverse {
    /// The LED, or string of them.
    pub part: String,
    /// The volts across one.
    pub volts: Amount,
    /// What one stands.
    pub limit: Amount,
    /// When.
    pub when: Backwards,
}

/// When volts stand backwards.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Backwards {
    /// In every other half cycle.
    HalfCycles,
    /// While something charged empties.
    Emptying,
}

/// A lamp whose current nothing limits.
#[derive(Debug, Clone, PartialEq)]
pub enum NoLimiting {
    /// As it is built.
    AsBuilt {
        /// The lamp.
        part: String,
        /// Why.
        why: Unlimited,
        /// The current, where it was solved.
        current: Option<Amount>,
        /// Ohms of each of two resistors that would limit it, where that can be told.
        cure: Option<Amount>,
    },
    /// With the one part shorted that limits it.
    OnOnePart {
        /// The lamp.
        part: String,
        /// The part.
        limiter: String,
        /// Whether nothing else limits the lamp; else what is left limits next to nothing.
        alone: bool,
        /// The current then.
        current: Amount,
        /// Whether the lamp is fed with extra-low volts: it dies where it would burst on the mains.
        extra_low: bool,
    },
}

/// Why nothing limits a lamp.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unlimited {
    /// There is nothing but the fuse and the wiring.
    Nothing,
    /// What is there lets far too much through.
    NextToNothing,
}

impl NoLimiting {
    pub(super) fn same_cure(&self, other: &NoLimiting) -> bool {
        match (self, other) {
            (NoLimiting::AsBuilt { cure: a, .. }, NoLimiting::AsBuilt { cure: b, .. }) => a == b,
            (NoLimiting::OnOnePart { limiter: a, .. }, NoLimiting::OnOnePart { limiter: b, .. }) => a == b,
            _ => false,
        }
    }
}
