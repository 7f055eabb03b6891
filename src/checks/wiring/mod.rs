//! Checks from the wiring itself: a jig read as a graph, one file a close family. None of them solves a circuit.

use super::Check;

mod colour;
mod earth;
mod flash;
mod fuse;
mod graph;
mod insulation;
mod live;
mod plug;
mod ratings;
mod slips;
mod switch;

/// The list.
pub const LIST: &[&Check] = &[
    &fuse::CHECK,
    &switch::CHECK,
    &earth::EARTH,
    &earth::CLASS,
    &insulation::CHECK,
    &live::CHECK,
    &plug::CHECK,
    &plug::BOX,
    &colour::CHECK,
    &slips::CHECK,
    &ratings::CHECK,
    &flash::CHECK,
];
