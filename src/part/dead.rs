//! What a part is to a meter while the tool is unplugged: at volts far below those it works at. Every value is an interval over
//! its tolerance. Knows no meter.

use crate::format::Ends;
use crate::standard::meter;

/// What stands between two nets at a meter's few volts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Dead {
    /// A resistance, ohms from least to most. What nobody can foresee is from none to without bound.
    Ohms([f64; 2]),
    /// A capacitance, farads from least to most.
    Farads([f64; 2]),
    /// A junction that conducts from the first net to the second: volts at a meter's current from least to most.
    Junction([f64; 2]),
    /// Nothing, as long as the volts are few: a glow lamp, a varistor.
    Dark,
}

/// One thing between two nets.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct DeadBranch {
    /// The two nets.
    pub ends: Ends,
    /// What stands between them.
    pub dead: Dead,
    /// Whether it is there in each position of its switch; `None` for what is always there.
    pub closed: Option<Vec<bool>>,
}

/// What every value lies in whose tolerance is a fraction either way.
pub(super) fn about(value: f64, tolerance: f64) -> [f64; 2] {
    [value * (1.0 - tolerance), value * (1.0 + tolerance)]
}

/// A share of a value, from least to most, as its row of `meter.toml` says.
pub(super) fn share(value: f64, row: &str) -> [f64; 2] {
    meter::share(row).map(|share| share * value)
}

/// What nobody can foresee.
pub(super) const UNFORESEEN: Dead = Dead::Ohms([0.0, f64::INFINITY]);

/// A joint in good order, or a wire of so many ohms.
pub(crate) fn joint(ohms: f64) -> Dead {
    Dead::Ohms([0.0, meter::joint().max(ohms + ohms)])
}

/// A part of one branch.
pub(super) fn one(ends: Ends, dead: Dead) -> Vec<DeadBranch> {
    vec![DeadBranch { ends, dead, closed: None }]
}
