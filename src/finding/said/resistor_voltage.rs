//! Facts of resistor-voltage.

use super::Amount;
use crate::finding::Under;

/// Volts across the element of a resistor.
#[derive(Debug, Clone, PartialEq)]
pub struct ResistorVoltage {
    /// The resistor.
    pub part: String,
    /// Normal use or a fault.
    pub under: Under,
    /// The volts.
    pub volts: Amount,
    /// What the element is made for.
    pub limit: Amount,
    /// Whether it stands them for a few seconds only.
    pub brief: bool,
    /// What cures it.
    pub cure: ElementCure,
}

/// More element volts.
#[derive(Debug, Clone, PartialEq)]
pub struct ElementCure {
    /// A size for so many volts, where there is one.
    pub size: Option<Amount>,
    /// So many in series in its place.
    pub count: usize,
    /// Ohms of each.
    pub each: Amount,
}
