//! Residual-current devices: what a type sees of a current, and how quickly it trips. Knows no circuit.

use super::protection::{RcdType, rcd, rcd_shape, rcd_type};
use super::row::{Limit, Row, find};

/// Type of a residual-current device, by what it sees.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum RcdKind {
    /// Sine only.
    Ac,
    /// Sine, and pulses that come back to zero.
    A,
    /// These and smooth direct current.
    B,
}

impl RcdKind {
    /// Every type and its letters.
    pub(crate) const WORDS: [&'static str; 3] = ["AC", "A", "B"];

    /// The type of these letters.
    pub(crate) fn from_word(word: &str) -> Option<RcdKind> {
        [RcdKind::Ac, RcdKind::A, RcdKind::B].into_iter().find(|k| k.word() == word)
    }

    /// Its letters.
    pub(crate) fn word(self) -> &'static str {
        match self {
            RcdKind::Ac => "AC",
            RcdKind::A => "A",
            RcdKind::B => "B",
        }
    }

    fn row(self) -> &'static RcdType {
        rcd_type().iter().find(|r| r.kind == self.word()).expect("supplies.toml: rcd_type is tested")
    }
}

/// A residual current over one cycle, amperes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Residual {
    /// Its r.m.s. value.
    pub rms: f64,
    /// Its mean.
    pub mean: f64,
    /// Its highest and lowest instant.
    pub range: [f64; 2],
}

/// What a residual current looks like to a device.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Shape {
    Sine,
    Pulse,
    Smooth,
}

fn shape_number(id: &str, key: &str) -> Limit {
    let row = find(rcd_shape(), id).expect("supplies.toml: rcd_shape is tested");
    row.limit(key).expect("supplies.toml: rcd_shape is tested")
}

impl Residual {
    fn shape(&self) -> Shape {
        if self.mean.abs() <= shape_number("sine_direct_part", "fraction").value * self.rms {
            return Shape::Sine;
        }
        // What never falls below so much, either way, is smooth.
        let [high, low] = self.range;
        let always = low.max(-high).max(0.0);
        if always <= shape_number("smooth_part", "direct_ma").value { Shape::Pulse } else { Shape::Smooth }
    }
}

/// Longest time in seconds a general-type residual-current device of `rated` amperes takes; `None` where it is not sure
/// to trip: below its gate, or where its type does not see such a current.
pub(crate) fn rcd_clears(kind: RcdKind, rated: f64, residual: &Residual) -> Option<Limit> {
    let row = kind.row();
    let small = rated <= shape_number("small_rating", "rated_to_ma").value;
    let sees = match residual.shape() {
        Shape::Sine => Some(row.sine_multiple),
        Shape::Pulse if small => row.pulse_small_multiple,
        Shape::Pulse => row.pulse_multiple,
        Shape::Smooth => row.smooth_multiple,
    }?;
    ["general_5x", "general_2x", "general_1x"].iter().find_map(|id| {
        let gate = find(rcd(), id)?;
        (residual.rms >= gate.number("multiple")? * sees * rated).then(|| gate.limit("trip_max_ms")).flatten()
    })
}

/// Largest share of its rated residual current at which a residual-current device must not trip.
pub(crate) fn rcd_holds() -> Limit {
    let row = find(rcd(), "general_half").expect("rcd.general_half is tested");
    row.value(row.number("multiple").unwrap_or_default(), "")
}
