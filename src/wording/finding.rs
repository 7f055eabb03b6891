//! A finding in words: its condition, what it means, what to change.

use super::{
    Known, acceptance, box_temperature, capacitor_class, capacitor_voltage, condition, contact, cord_rating,
    diode_current, diode_reverse, diode_surge, fuse_breaking, fuse_inrush, fuse_rating, fuse_voltage, hot_surface,
    join, lamp_current, lamp_life, lamp_strike, led_current, led_reverse, no_limiting, outlet_shock, overcurrent,
    plug_rating, rcd_standing_leakage, resistor_power, resistor_voltage, smoulder, stored_charge, touch_current,
    touch_voltage, transformer_rating, unsolved_condition, varistor_rating, way, wire_protection,
};
use crate::finding::{Finding, Ordinal, Said, Under, When};

/// What is said of a part that did what it was made for.
pub(super) const NONE_NEEDED: &str = "none needed; look for the fault before it is replaced";

/// Puts the facts of a finding into words.
pub fn put(known: &Known, finding: &mut Finding) {
    finding.condition = worst_in(known, &finding.when);
    (finding.message, finding.remedy) = message_and_remedy(known, &finding.said);
    if let Some(cure) = &finding.cure {
        finding.remedy = way::cure(cure);
    }
}

/// Tells of a finding that the same is found in further parts.
pub fn likewise(finding: &mut Finding, parts: &[String]) {
    finding.message.push_str(&format!("; likewise {}", join::all(parts)));
}

fn message_and_remedy(known: &Known, said: &Said) -> (String, String) {
    match said {
        Said::Acceptance(s) => acceptance::words(s),
        Said::BoxTemperature(s) => box_temperature::words(s),
        Said::CapacitorClass(s) => capacitor_class::words(s),
        Said::CapacitorVoltage(s) => capacitor_voltage::words(known, s),
        Said::CordRating(s) => cord_rating::words(s),
        Said::DiodeCurrent(s) => diode_current::words(s),
        Said::DiodeReverse(s) => diode_reverse::words(known, s),
        Said::DiodeSurge(s) => diode_surge::words(s),
        Said::FuseBreaking(s) => fuse_breaking::words(s),
        Said::FuseInrush(s) => fuse_inrush::words(s),
        Said::FuseRating(s) => fuse_rating::words(s),
        Said::FuseVoltage(s) => fuse_voltage::words(s),
        Said::HotSurface(s) => hot_surface::words(s),
        Said::LampCurrent(s) => lamp_current::words(s),
        Said::LampLife(s) => lamp_life::words(s),
        Said::LampStrike(s) => lamp_strike::words(s),
        Said::LedCurrent(s) => led_current::words(s),
        Said::LedReverse(s) => led_reverse::words(s),
        Said::NoLimiting(s) => no_limiting::words(s),
        Said::OutletShock(s) => outlet_shock::words(s),
        Said::PlugRating(s) => plug_rating::words(s),
        Said::PsuRating(s) | Said::WindingRating(s) => overcurrent::words(s),
        Said::RcdStandingLeakage(s) => rcd_standing_leakage::words(s),
        Said::ResistorPower(s) => resistor_power::words(known, s),
        Said::ResistorVoltage(s) => resistor_voltage::words(known, s),
        Said::Smoulder(s) => smoulder::words(known, s),
        Said::StoredCharge(s) => stored_charge::words(s),
        Said::SwitchRating(s) | Said::WireRating(s) => contact::words(s),
        Said::TouchCurrent(s) => touch_current::words(known, s),
        Said::TouchVoltage(s) => touch_voltage::words(known, s),
        Said::TransformerRating(s) => transformer_rating::words(s),
        Said::UnsolvedCondition(s) => unsolved_condition::words(s),
        Said::VaristorRating(s) => varistor_rating::words(s),
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
        When::Written(words) => words.clone(),
    }
}

/// Small numbers as words.
pub(super) fn count(n: usize) -> String {
    let word = ["no", "one", "two", "three", "four"].get(n);
    word.map_or_else(|| n.to_string(), |w| (*w).to_string())
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
