//! Facts of resistor-power.

use super::Amount;
use crate::finding::Under;

/// Watts, or a pulse, in a resistor.
#[derive(Debug, Clone, PartialEq)]
pub struct ResistorPower {
    /// The resistor.
    pub part: String,
    /// What it has to take.
    pub load: ResistorLoad,
    /// What cures it.
    pub cure: ResistorCure,
}

/// What a resistor has to take.
#[derive(Debug, Clone, PartialEq)]
pub enum ResistorLoad {
    /// Watts above its rating.
    Over {
        /// Normal use or a fault.
        under: Under,
        /// The watts.
        watts: Amount,
        /// What ends them.
        ends: Ending,
        /// What it may take in this box, and how often that goes into the watts; `None`: nothing at all.
        allowed: Option<(Amount, f64)>,
        /// What becomes of it.
        fate: ResistorFate,
    },
    /// One pulse.
    Pulse {
        /// Its energy.
        energy: Amount,
        /// Rated watts.
        rated: Amount,
        /// The energy such a part stands.
        allowed: Amount,
    },
    /// Watts in normal use above half of what it may take.
    OverHalf {
        /// The watts.
        watts: Amount,
        /// What it may take in this box.
        allowed: Amount,
    },
}

/// What ends an overload.
#[derive(Debug, Clone, PartialEq)]
pub enum Ending {
    /// Nothing.
    Never,
    /// The part itself opens.
    Itself(Amount),
    /// A device, by its index in the model, opens within so long.
    Device(usize, Amount),
}

/// What becomes of a resistor above its rating.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ResistorFate {
    /// It opens, as it was made to.
    OpensAsMade,
    /// It glows.
    Glows,
    /// It fails, but cold.
    FailsCold,
    /// It is not overloaded enough to fail, and stays too hot.
    StaysHot,
    /// It chars.
    Chars,
}

/// What a resistor that is overloaded asks for.
#[derive(Debug, Clone, PartialEq)]
pub enum ResistorCure {
    /// Nothing: it did what it was made for.
    NoneNeeded,
    /// Less heat in the box.
    CoolerBox,
    /// A part of so many watts that stands pulses.
    ForPulses(Amount),
    /// A larger size, or several in series.
    Sizes(ResistorSizes),
}

/// Sizes that would do.
#[derive(Debug, Clone, PartialEq)]
pub struct ResistorSizes {
    /// One part.
    pub one: Option<ResistorSize>,
    /// So many in series, of so many ohms each.
    pub series: Option<(usize, Amount, ResistorSize)>,
    /// Whether a part that fails cold would do too.
    pub flameproof: bool,
}

/// A size of the table.
#[derive(Debug, Clone, PartialEq)]
pub struct ResistorSize {
    /// Rated watts.
    pub watts: Amount,
    /// Limiting volts, where the table has them.
    pub volts: Option<Amount>,
}
