//! Facts → sentences. Knows what is to be said; must not judge, nor know where it is printed. One file a check, and what
//! several share.

use crate::jig::Jig;
use crate::survey::Survey;

mod acceptance;
mod box_temperature;
mod bypassed;
mod capacitor_class;
mod capacitor_voltage;
pub(crate) mod charge;
mod class_conflict;
pub(crate) mod condition;
mod contact;
mod cord_cores;
mod cord_rating;
mod cord_relief;
mod dead_short;
pub(crate) mod deadtest;
pub(crate) mod device;
mod diode_current;
mod diode_reverse;
mod diode_surge;
mod distance;
mod earth_broken_by_part;
mod earth_not_bonded;
mod earth_open;
mod earth_return;
pub(crate) mod finding;
mod flash_rate;
mod fuse_after_switch_or_part;
mod fuse_breaking;
mod fuse_in_neutral;
mod fuse_inrush;
mod fuse_rating;
mod fuse_voltage;
mod heat;
mod hot_surface;
mod insulation;
mod insulation_missing;
mod insulation_too_weak;
pub(crate) mod join;
mod kept_live;
mod lamp_current;
mod lamp_in_neutral;
mod lamp_life;
mod lamp_strike;
mod lamp_voltage;
mod led_current;
mod led_reverse;
pub(crate) mod left_out;
pub(crate) mod left_over;
mod live_pins;
mod loose_end;
mod no_fuse;
mod no_limiting;
pub(crate) mod not_tried;
mod off_not_dead;
mod one_pole_fuse;
mod opens_by_hand;
mod opens_in_use;
mod outlet_shock;
mod overcurrent;
mod part_temperature;
mod plug_fuse;
mod plug_rating;
mod psu_rating;
mod rating_missing;
mod rcd_standing_leakage;
mod rcd_type;
mod resistor_power;
mod resistor_voltage;
mod smoulder;
mod stored_charge;
mod touch_current;
mod touch_voltage;
pub(crate) mod touching;
mod transformer_rating;
mod unsolved_condition;
mod unused_part;
mod varistor_rating;
pub(crate) mod way;
mod wire_colour;
mod wire_protection;

/// What the words of a finding are taken from beside its facts: names stand in the jig, conditions in its survey.
#[derive(Clone, Copy)]
pub(crate) struct Known<'a> {
    /// The jig.
    pub jig: &'a Jig,
    /// Its survey.
    pub survey: &'a Survey,
}
