//! Stored charge: what plug pins may keep after unplugging, what a charged capacitor may keep.

use super::row::{Limit, Row, find};
use super::unit::decimal;

table_file! { "discharge.toml" [stored_level, working_rule]
    /// How soon charge must be gone.
    Requirement in requirement {
        #[serde(rename = "where")] place: String, after_s: Option<f64>, limit_v: Option<f64>, limit_kind: Option<String>,
        or_charge_below_uc: Option<f64>, exempt_up_to_uf: Option<f64>, exempt_up_to_uf_below_150v: Option<f64>,
        exempt_charge_up_to_uc: Option<f64>, energy_class: Option<String>, condition: Option<String>,
        time_constant_s: Option<f64>, remaining_fraction: Option<f64>,
    }
    /// Peak volts allowed on a charged capacitor.
    ChargedCapacitor in charged_capacitor { capacitance_nf: f64, es1_peak_v: f64, es2_peak_v: f64 }
    /// Volts of a single pulse.
    SinglePulseVoltage in single_pulse_voltage { length_ms: f64, es1_peak_v: f64, es2_peak_v: f64 }
    /// Current of a single pulse.
    SinglePulseCurrent in single_pulse_current { length_ms: f64, es1_peak_ma: f64, es2_peak_ma: f64 }
}

/// A rule for the volts left between plug pins.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct PinRule {
    /// Row.
    pub id: String,
    /// Seconds after unplugging.
    pub after_s: f64,
    /// Volts (d.c. or peak) then allowed.
    pub limit_v: f64,
    /// Capacitance in farads up to which the rule asks nothing.
    pub exempt_farads: Option<f64>,
    /// Charge in coulombs below which more volts are allowed.
    pub exempt_charge: Option<f64>,
    /// Where it is published.
    pub source: String,
}

impl PinRule {
    /// Whether `volts` left on `farads` break the rule.
    pub(crate) fn broken(&self, volts: f64, farads: f64) -> bool {
        let exempt = self.exempt_farads.is_some_and(|f| farads <= f)
            || self.exempt_charge.is_some_and(|c| volts.abs() * farads < c);
        volts.abs() > self.limit_v && !exempt
    }
}

/// The two rules for plug pins: first the one for bench and test equipment (IEC 61010-1, 6.10.3), then the strictest
/// that plainly applies to portable plug-connected equipment (IEC 60335-1, 22.5). Other rows: [`requirement`].
pub(crate) fn plug_pin_rules() -> [PinRule; 2] {
    ["iec61010_plug_pins", "iec60335_plug_pins"].map(|id| pin_rule(id).expect("discharge.toml: both rows are tested"))
}

/// What capacitors inside a box may hold once somebody has had the time to open it (NFPA 70, 460.6; see the row).
pub(crate) fn inside_rule() -> PinRule {
    pin_rule("inside_after_a_minute").expect("discharge.toml: the row is tested")
}

/// A requirement row as a rule for the pins; `None` when it has no time and voltage.
pub(crate) fn pin_rule(id: &str) -> Option<PinRule> {
    let row = find(requirement(), id)?;
    Some(PinRule {
        id: row.id.clone(),
        after_s: row.after_s?,
        limit_v: row.limit_v?,
        exempt_farads: row.exempt_up_to_uf.map(|uf| decimal(uf, -6)),
        exempt_charge: row.or_charge_below_uc.or(row.exempt_charge_up_to_uc).map(|uc| decimal(uc, -6)),
        source: row.cite(),
    })
}

/// Volts d.c. below which a discharged part may be handled (bench practice: see `parts.toml`).
pub(crate) fn handle_below() -> Limit {
    let row = find(super::parts::discharge(), "stop_volts").and_then(|r| r.limit("handle_below_dc_v"));
    row.expect("parts.toml: stop_volts is tested")
}

/// Resistance through which a charge is taken when it is measured, ohms.
pub(crate) fn measuring_load() -> Limit {
    let row = find(stored_level(), "iec60335_measuring_load").and_then(|r| r.limit("discharge_resistance_ohm"));
    row.expect("discharge.toml: iec60335_measuring_load is tested")
}
