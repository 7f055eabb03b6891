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
pub(crate) fn reverse_margin() -> Limit {
    let row = find(rectifier_fact(), "piv_margin").expect("parts.toml: piv_margin is tested");
    row.value(row.number("peak_reverse_over_crest_min").unwrap_or(1.0), "")
}

/// A fact about varistors by name; its number is `multiple`, where it has one.
pub(crate) fn varistor_fact(id: &str) -> Limit {
    let row = find(varistor(), id).expect("parts.toml: the facts of varistors are tested");
    row.value(row.number("multiple").unwrap_or_default(), "")
}
