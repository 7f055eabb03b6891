//! Checks from the solved circuit: what the survey found against what parts and people stand. Reads no wiring that the
//! checks of the other room judge.

mod across_contact;
mod box_temperature;
mod capacitor_class;
mod capacitor_voltage;
mod coils;
mod contacts;
mod cord_rating;
mod diode_current;
mod diode_reverse;
mod diode_surge;
mod earth_return;
mod fuse_breaking;
mod fuse_inrush;
mod fuse_rating;
mod fuse_voltage;
mod heat;
mod hot_surface;
mod intake;
mod lamp_current;
mod lamp_life;
mod lamp_strike;
mod lamp_voltage;
mod led_current;
mod led_reverse;
mod limiting;
mod lookup;
mod no_limiting;
mod off_not_dead;
mod opens_in_use;
mod outlet_shock;
mod overload;
mod part_temperature;
mod plug_rating;
pub(super) mod propose;
mod psu_rating;
mod rcd_standing_leakage;
mod rcd_type;
mod rectifiers;
mod resistor_power;
mod resistor_voltage;
mod slowly;
mod smoulder;
mod stored_charge;
mod switch_rating;
mod touch_current;
mod touch_voltage;
mod touched;
mod transformer_rating;
mod varistor_rating;
mod winding_rating;
mod wire_protection;
mod wire_rating;

use super::Check;

/// The list.
pub(crate) const LIST: &[&Check] = &[
    &touch_voltage::CHECK,
    &touch_current::CHECK,
    &stored_charge::CHECK,
    &outlet_shock::CHECK,
    &off_not_dead::CHECK,
    &earth_return::CHECK,
    &rcd_standing_leakage::CHECK,
    &rcd_type::CHECK,
    &resistor_power::CHECK,
    &resistor_voltage::CHECK,
    &smoulder::CHECK,
    &transformer_rating::CHECK,
    &psu_rating::CHECK,
    &winding_rating::CHECK,
    &varistor_rating::CHECK,
    &lamp_current::CHECK,
    &lamp_strike::CHECK,
    &lamp_life::CHECK,
    &lamp_voltage::CHECK,
    &led_current::CHECK,
    &led_reverse::CHECK,
    &no_limiting::CHECK,
    &diode_reverse::CHECK,
    &diode_current::CHECK,
    &diode_surge::CHECK,
    &capacitor_voltage::CHECK,
    &capacitor_class::CHECK,
    &opens_in_use::CHECK,
    &fuse_rating::CHECK,
    &fuse_breaking::CHECK,
    &fuse_voltage::CHECK,
    &fuse_inrush::CHECK,
    &switch_rating::CHECK,
    &wire_rating::CHECK,
    &cord_rating::CHECK,
    &plug_rating::CHECK,
    &wire_protection::CHECK,
    &box_temperature::CHECK,
    &hot_surface::CHECK,
    &part_temperature::CHECK,
];
