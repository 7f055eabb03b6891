//! Ratings of a part against what it is stressed by, each with the check that judges it. Must not compare.

use crate::finding::{CheckId, Quantity};

/// A rating against one of the six quantities, in the sense the trade gives it: rated volts of fuses, switches, wires and X/Y
/// capacitors are r.m.s. of a sine; a diode's, an electrolytic's are peak; a resistor's element voltage r.m.s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rating {
    /// What it is compared with.
    pub quantity: Quantity,
    /// Its value, SI base units, where the file or a published row gives one.
    pub value: Option<f64>,
    /// Whether it falls with the temperature of the air in the box.
    pub derates: bool,
    /// The check that judges it.
    pub judge: CheckId,
}

/// A rating of this value.
pub(super) fn rated(quantity: Quantity, value: impl Into<Option<f64>>, judge: CheckId) -> Rating {
    Rating { quantity, value: value.into(), derates: false, judge }
}
