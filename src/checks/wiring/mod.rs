//! Checks from the wiring itself: a jig read as a graph, one file a check. None of them solves a circuit.

use super::Check;

mod barrier;
mod bonding;
mod bypassed;
mod class_conflict;
mod clearance;
mod cord_cores;
mod cord_relief;
mod creepage;
mod dead_short;
mod distances;
mod earth_broken_by_part;
mod earth_not_bonded;
mod earth_open;
mod flash_rate;
mod fuse_after_switch_or_part;
mod fuse_in_neutral;
mod hazard;
mod insulation_missing;
mod insulation_too_weak;
mod lamp_in_neutral;
mod live_pins;
mod loose_end;
mod names;
mod no_fuse;
mod opens_by_hand;
mod plug_fuse;
mod poles;
mod rating_missing;
mod single_pole_fuse;
mod single_pole_switch;
mod switch_in_neutral;
mod switched;
mod unused_part;
mod wire_colour;

/// The list.
pub(crate) const LIST: &[&Check] = &[
    &no_fuse::CHECK,
    &single_pole_fuse::CHECK,
    &fuse_in_neutral::CHECK,
    &lamp_in_neutral::CHECK,
    &fuse_after_switch_or_part::CHECK,
    &switch_in_neutral::CHECK,
    &single_pole_switch::CHECK,
    &earth_open::CHECK,
    &earth_broken_by_part::CHECK,
    &earth_not_bonded::CHECK,
    &class_conflict::CHECK,
    &insulation_missing::CHECK,
    &insulation_too_weak::CHECK,
    &clearance::CHECK,
    &creepage::CHECK,
    &live_pins::CHECK,
    &plug_fuse::CHECK,
    &cord_relief::CHECK,
    &cord_cores::CHECK,
    &opens_by_hand::CHECK,
    &wire_colour::CHECK,
    &dead_short::CHECK,
    &bypassed::CHECK,
    &loose_end::CHECK,
    &unused_part::CHECK,
    &rating_missing::CHECK,
    &flash_rate::CHECK,
];
