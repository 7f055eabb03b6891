//! Checks from the wiring itself.

use super::Check;

mod earth;
mod fuse;
mod graph;
mod insulation;
mod plug;
mod switch;

/// The list.
pub const LIST: &[&Check] =
    &[&fuse::CHECK, &switch::CHECK, &earth::EARTH, &earth::CLASS, &insulation::CHECK, &plug::CHECK, &plug::BOX];
