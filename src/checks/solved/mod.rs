//! Checks from the solved circuit: what the survey found against what parts and people stand. Reads no wiring that the
//! checks of the other room judge.

mod capacitor;
mod carrying;
mod charge;
mod diode;
mod fuse;
mod heat;
mod lamp;
mod outlet;
mod paths;
pub(super) mod propose;
mod protection;
mod resistor;
mod smoulder;
mod touch;
mod words;

use super::{Case, Check};

/// The list.
pub const LIST: &[&Check] = &[
    &touch::CHECK,
    &charge::CHECK,
    &outlet::CHECK,
    &resistor::CHECK,
    &smoulder::CHECK,
    &lamp::CHECK,
    &diode::CHECK,
    &capacitor::CHECK,
    &fuse::CHECK,
    &carrying::CHECK,
    &protection::CHECK,
    &heat::CHECK,
];

/// Watts that heat the box in normal use.
pub(super) fn box_watts(case: &Case) -> f64 {
    heat::watts(case)
}

/// What these checks leave out on this jig, in words.
pub(super) fn left_out(case: &Case) -> Vec<String> {
    heat::left_out(case)
}
