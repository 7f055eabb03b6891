//! A finding in words: its condition, what it means, what to change.

use super::{
    Known, acceptance, box_temperature, bypassed, capacitor_class, capacitor_voltage, class_conflict, condition,
    contact, cord_cores, cord_rating, cord_relief, dead_short, diode_current, diode_reverse, diode_surge, distance,
    earth_broken_by_part, earth_not_bonded, earth_open, earth_return, flash_rate, fuse_after_switch_or_part,
    fuse_breaking, fuse_in_neutral, fuse_inrush, fuse_rating, fuse_voltage, hot_surface, insulation_missing,
    insulation_too_weak, join, kept_live, lamp_current, lamp_in_neutral, lamp_life, lamp_strike, lamp_voltage,
    led_current, led_reverse, live_pins, loose_end, no_fuse, no_limiting, off_not_dead, one_pole_fuse, opens_by_hand,
    opens_in_use, outlet_shock, overcurrent, part_temperature, plug_fuse, plug_rating, psu_rating, rating_missing,
    rcd_standing_leakage, rcd_type, resistor_power, resistor_voltage, smoulder, stored_charge, touch_current,
    touch_voltage, transformer_rating, unsolved_condition, unused_part, varistor_rating, way, wire_colour,
    wire_protection,
};
use crate::finding::said::Amount;
use crate::finding::{CheckId, Finding, Ordinal, Said, Under, When};

/// What is said of a part that did what it was made for.
pub(super) const NONE_NEEDED: &str = "none needed; look for the fault before it is replaced";

/// Puts the facts of a finding into words.
pub(crate) fn put(known: &Known, finding: &mut Finding) {
    finding.condition = worst_in(known, &finding.when);
    (finding.message, finding.remedy) = message_and_remedy(known, &finding.said);
    if let Some(cure) = &finding.cure {
        finding.remedy = way::cure(cure);
    }
}

/// Tells of a finding that the same is found in further parts.
pub(crate) fn likewise(finding: &mut Finding, parts: &[String]) {
    finding.message.push_str(&format!("; likewise {}", join::all(parts)));
}

fn message_and_remedy(known: &Known, said: &Said) -> (String, String) {
    match said {
        Said::Acceptance(s) => acceptance::words(s),
        Said::BoxTemperature(s) => box_temperature::words(known, s),
        Said::Bypassed(s) => bypassed::words(s),
        Said::CapacitorClass(s) => capacitor_class::words(s),
        Said::CapacitorVoltage(s) => capacitor_voltage::words(known, s),
        Said::ClassConflict(s) => class_conflict::words(s),
        Said::Clearance(s) => distance::words(CheckId::Clearance, s),
        Said::CordCores(s) => cord_cores::words(*s),
        Said::CordRating(s) => cord_rating::words(s),
        Said::CordRelief(s) => cord_relief::words(*s),
        Said::Creepage(s) => distance::words(CheckId::Creepage, s),
        Said::DeadShort(s) => dead_short::words(s),
        Said::DiodeCurrent(s) => diode_current::words(s),
        Said::DiodeReverse(s) => diode_reverse::words(known, s),
        Said::DiodeSurge(s) => diode_surge::words(s),
        Said::EarthBrokenByPart(s) => earth_broken_by_part::words(s),
        Said::EarthNotBonded(s) => earth_not_bonded::words(s),
        Said::EarthOpen(s) => earth_open::words(*s),
        Said::EarthReturn(s) => earth_return::words(s),
        Said::FlashRate(s) => flash_rate::words(s),
        Said::FuseAfterSwitchOrPart(s) => fuse_after_switch_or_part::words(s),
        Said::FuseBreaking(s) => fuse_breaking::words(known, s),
        Said::FuseInNeutral(s) => fuse_in_neutral::words(s),
        Said::FuseInrush(s) => fuse_inrush::words(s),
        Said::FuseRating(s) => fuse_rating::words(s),
        Said::FuseVoltage(s) => fuse_voltage::words(s),
        Said::HotSurface(s) => hot_surface::words(known, s),
        Said::InsulationMissing(s) => insulation_missing::words(s),
        Said::InsulationTooWeak(s) => insulation_too_weak::words(s),
        Said::LampCurrent(s) => lamp_current::words(s),
        Said::LampInNeutral(s) => lamp_in_neutral::words(s),
        Said::LampLife(s) => lamp_life::words(s),
        Said::LampStrike(s) => lamp_strike::words(s),
        Said::LampVoltage(s) => lamp_voltage::words(known, s),
        Said::LedCurrent(s) => led_current::words(s),
        Said::LedReverse(s) => led_reverse::words(s),
        Said::LivePins(s) => live_pins::words(s),
        Said::LooseEnd(s) => loose_end::words(s),
        Said::NoFuse(s) => no_fuse::words(s),
        Said::NoLimiting(s) => no_limiting::words(s),
        Said::OffNotDead(s) => off_not_dead::words(s),
        Said::OpensByHand => opens_by_hand::words(),
        Said::OpensInUse(s) => opens_in_use::words(s),
        Said::OutletShock(s) => outlet_shock::words(s),
        Said::PartTemperature(s) => part_temperature::words(known, s),
        Said::PlugFuse(s) => plug_fuse::words(s),
        Said::PlugRating(s) => plug_rating::words(s),
        Said::PsuRating(s) => psu_rating::words(known, s),
        Said::WindingRating(s) => overcurrent::words(s),
        Said::RatingMissing(s) => rating_missing::words(s),
        Said::RcdStandingLeakage(s) => rcd_standing_leakage::words(s),
        Said::RcdType(s) => rcd_type::words(known, s),
        Said::ResistorPower(s) => resistor_power::words(known, s),
        Said::ResistorVoltage(s) => resistor_voltage::words(known, s),
        Said::SinglePoleFuse(s) => one_pole_fuse::words(s),
        Said::SinglePoleSwitch(s) | Said::SwitchInNeutral(s) => kept_live::words(s),
        Said::Smoulder(s) => smoulder::words(known, s),
        Said::StoredCharge(s) => stored_charge::words(s),
        Said::SwitchRating(s) | Said::WireRating(s) => contact::words(s),
        Said::TouchCurrent(s) => touch_current::words(known, s),
        Said::TouchVoltage(s) => touch_voltage::words(known, s),
        Said::TransformerRating(s) => transformer_rating::words(s),
        Said::UnsolvedCondition(s) => unsolved_condition::words(s),
        Said::UnusedPart(s) => unused_part::words(s),
        Said::VaristorRating(s) => varistor_rating::words(s),
        Said::WireColour(s) => wire_colour::words(s),
        Said::WireProtection(s) => wire_protection::words(s),
        Said::Written { message, remedy } => (message.clone(), remedy.clone()),
    }
}

/// The condition in which a finding is worst.
fn worst_in(known: &Known, when: &When) -> String {
    match when {
        When::Always => String::new(),
        When::Tried(at) => condition::at(known.jig, known.survey, *at),
        When::NominalSupply => "mains nominal".into(),
        When::FuseOpen => "mains nominal, the fuse open".into(),
        When::BothTerminals => "mains nominal, both terminals touched".into(),
        When::Ambient(celsius) => format!("normal use, {celsius:.0} °C around the box"),
        When::PlugReversed => "plug reversed".into(),
        When::SwitchOff { switch, reversed: false } => format!("{switch} off"),
        When::SwitchOff { switch, reversed: true } => format!("plug reversed, {switch} off"),
        When::Switches(positions) => condition::positions(known.jig, positions),
        When::Written(words) => words.clone(),
    }
}

/// Small numbers as words.
pub(super) fn count(n: usize) -> String {
    let word = ["no", "one", "two", "three", "four"].get(n);
    word.map_or_else(|| n.to_string(), |w| (*w).to_string())
}

/// A time in the words of every day: whole minutes from two of them on.
pub(super) fn minutes(time: &Amount) -> String {
    const OF_A_MINUTE: f64 = 60.0;
    if time.value < 2.0 * OF_A_MINUTE { time.to_string() } else { format!("{:.0} min", time.value / OF_A_MINUTE) }
}

impl Known<'_> {
    /// The beginning of a sentence about a condition.
    pub(super) fn under(&self, under: Under) -> String {
        match under {
            Under::NormalUse => "In normal use".into(),
            Under::OneFault(at) => format!("With one fault ({})", self.fault(at)),
        }
    }

    /// The fault of a condition; without one, what else is to be said of it first.
    pub(super) fn fault(&self, at: Ordinal) -> String {
        condition::first(self.jig, self.survey, at)
    }

    /// A protective device within a sentence: "F1", "the branch breaker".
    pub(super) fn device(&self, protector: usize) -> String {
        super::device::in_a_sentence(&self.survey.model, protector)
    }
}
