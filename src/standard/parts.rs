//! Other parts and bench practice: tables whose rows have little in common, by key.

use super::row::{Limit, Row, find};

table_file! { "parts.toml" [
    x2_capacitor, bleeder, protective_impedance, varistor, ntc, rectifier_fact, probe, jack, tester, series_lamp,
    discharge, isolation, multimeter, inspection
]
    /// A rectifier diode.
    Rectifier in rectifier {
        peak_reverse_v: f64, reverse_rms_v: f64, mean_forward_a: f64, surge_8ms_a: f64, forward_max_at_1a_v: f64,
        capacitive_load_derate_percent: f64,
    }
}

/// Reverse rating over crest of the mains that good practice asks of a diode straight on the mains.
pub fn reverse_margin() -> Limit {
    let row = find(rectifier_fact(), "piv_margin").expect("parts.toml: piv_margin is tested");
    row.value(row.number("peak_reverse_over_crest_min").unwrap_or(1.0), "")
}

/// Volts a varistor of `rated` a.c. volts holds at 1 mA (of the row, nominal), where there is a row.
pub fn varistor_at_1ma(rated: f64) -> Option<Limit> {
    let row =
        varistor().iter().find(|r| r.number("rated_ac_v") == Some(rated) && r.number("varistor_at_1ma_v").is_some())?;
    Some(row.value(row.number("varistor_at_1ma_v")?, "V"))
}

/// Input resistance of a multimeter on its volts ranges, ohms.
pub fn meter_input() -> Limit {
    let row = find(multimeter(), "input_resistance").and_then(|r| r.limit("input_mohm"));
    row.expect("parts.toml: input_resistance is tested")
}

/// Volts a multimeter puts out at most on its ohms ranges.
pub fn meter_ohms_volts() -> Limit {
    let row = find(multimeter(), "ohms_open_circuit").and_then(|r| r.limit("open_circuit_max_v"));
    row.expect("parts.toml: ohms_open_circuit is tested")
}
