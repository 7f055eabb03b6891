//! Resistors by style, and what rules hold for them on the mains.

use super::bench;
use super::row::{Limit, Row, find};

table_file! { "resistors.toml" [resistor_fact]
    /// A resistor style.
    Style in resistor {
        technology: String, body_size: Option<String>, rated_w: f64, limiting_voltage_v: Option<f64>,
        limiting_dc_v: Option<f64>, limiting_rms_v: Option<f64>, limiting_voltage_rule: Option<String>,
        max_overload_v: Option<f64>, thermal_resistance_k_per_w: Option<f64>, film_max_c: Option<f64>,
        hot_spot_max_c: Option<f64>, min_resistance_kohm: Option<f64>, max_resistance_kohm: Option<f64>,
        max_resistance_mohm: Option<f64>, valid_from_ohm: Option<f64>, derate_start_c: Option<f64>,
        derate_zero_c: Option<f64>, rated_at_c: Option<f64>, rated_at_40c_w: Option<f64>,
        rated_long_term_w: Option<f64>, long_term_film_max_c: Option<f64>, insulation_1min_v: Option<f64>,
        insulation_continuous_v: Option<f64>, dielectric_v: Option<f64>, flameproof: Option<bool>,
        non_flammable: Option<bool>, fusible: Option<bool>, safety_approved: Option<bool>,
        safety_standard: Option<String>, fusing_power_multiple_up_to_10ohm: Option<f64>,
        fusing_power_multiple_above_10ohm: Option<f64>, fusing_time_max_s: Option<f64>, body_diameter_max_mm: Option<f64>,
        body_length_max_mm: Option<f64>, body_diameter_mm: Option<f64>, body_length_mm: Option<f64>,
        size_class: Option<String>, lead: Option<String>, climatic_category: Option<String>,
    }
    /// What a resistor stands once by the length of the pulse.
    ResistorPulse in resistor_pulse {
        rated_to_w: f64, pulse_ms: Option<Vec<f64>>, times_rated: Option<Vec<f64>>, short_j_per_w: Option<f64>,
        thin_wire_from_ohm: Option<f64>, thin_wire_share: Option<f64>, long_multiple: Option<f64>,
    }
}

impl Style {
    /// Limiting element voltage for a.c., volts r.m.s., whatever the resistance; `None` where only √(P·R) limits.
    /// Where the sheet gives d.c. volts only, those are taken for the crest.
    pub(crate) fn limiting_rms(&self) -> Option<f64> {
        let crest = self.limiting_dc_v.map(|v| v * std::f64::consts::FRAC_1_SQRT_2);
        self.limiting_rms_v.or(self.limiting_voltage_v).or(crest)
    }

    /// Flame-proof or non-flammable coating.
    pub(crate) fn will_not_flame(&self) -> bool {
        self.flameproof == Some(true) || self.non_flammable == Some(true)
    }

    /// Highest resistance made, ohms, where printed.
    pub(crate) fn max_ohms(&self) -> Option<f64> {
        self.max_resistance_mohm.map(|m| m * 1e6).or(self.max_resistance_kohm.map(|k| k * 1e3))
    }
}

/// When a fusible resistor of so many ohms is sure to open: times its rated power, and within how many seconds. From the
/// one series for which it is published; `None` where the table has none.
pub(crate) fn fusing(ohms: f64) -> Option<(Limit, f64)> {
    // The data sheet draws the line between its two multiples here.
    const LOW_OHMIC: f64 = 10.0;
    resistor().iter().find_map(|s| {
        let (low, high) = (s.fusing_power_multiple_up_to_10ohm?, s.fusing_power_multiple_above_10ohm?);
        let value = if ohms <= LOW_OHMIC { low } else { high };
        let id = format!("resistors.resistor.{}.fusing_power_multiple", s.id);
        Some((Limit { value, unit: "times rated power", source: s.source.clone(), id }, s.fusing_time_max_s?))
    })
}

/// Watts that a resistor of `rated` watts and so many ohms stands once for a rectangle of so many seconds.
pub(crate) fn pulse_watts(rated: f64, ohms: f64, seconds: f64) -> Limit {
    // Beyond the largest there is, as of the largest.
    let rows = resistor_pulse();
    let row =
        rows.iter().find(|r| rated <= r.rated_to_w).or(rows.last()).expect("resistors.toml: resistor_pulse is tested");
    let film = row.pulse_ms.as_ref().zip(row.times_rated.as_ref());
    let times = match film {
        Some((lengths, times)) => on_chart(lengths, times, seconds * 1e3),
        None => {
            let thin = row.thin_wire_from_ohm.is_some_and(|from| ohms >= from);
            let share = if thin { row.thin_wire_share.unwrap_or(1.0) } else { 1.0 };
            let short = row.short_j_per_w.unwrap_or_default() * share / seconds;
            short.max(row.long_multiple.unwrap_or(1.0))
        }
    };
    row.value(rated * times, "W")
}

/// Joules a pulse may put into a resistor of `watts` and `ohms`: the rectangle of its own crest and energy against what the
/// part stands for that long, and the rating for whatever is longer than the short overload. The pulse has so many joules,
/// a crest of so many watts and is over after so many seconds.
pub(crate) fn pulse_energy([watts, ohms]: [f64; 2], [joules, crest, seconds]: [f64; 3]) -> Limit {
    let (multiple, time) = bench::short_overload_power();
    let length = if crest > 0.0 { joules / crest } else { seconds };
    let stands = pulse_watts(watts, ohms, length.min(time.value));
    let long = watts * (multiple.value * time.value + (seconds - time.value).max(0.0));
    let short = stands.value * length;
    let (value, limit) = if length < time.value && short < long { (short, stands) } else { (long, multiple) };
    Limit { value, unit: "J", ..limit }
}

/// How far charts of pulses are trusted: a factor either way.
pub(crate) fn pulse_doubt() -> f64 {
    find(resistor_fact(), "pulse_doubt")
        .and_then(|r| r.number("multiple"))
        .expect("resistors.toml: pulse_doubt is tested")
}

/// The value of a chart with logarithmic scales, held at its ends.
fn on_chart(x: &[f64], y: &[f64], at: f64) -> f64 {
    let above = x.iter().position(|x| *x >= at).unwrap_or(x.len());
    match above {
        0 => y[0],
        k if k == x.len() => y[k - 1],
        k => {
            let share = (at / x[k - 1]).ln() / (x[k] / x[k - 1]).ln();
            y[k - 1] * (y[k] / y[k - 1]).powf(share)
        }
    }
}

/// Watts left of `rated` at `celsius`, for a resistor of which only the rating is known (film: full up to 70 °C, none
/// at 155 °C).
pub(crate) fn derated_power(rated: f64, celsius: f64) -> Limit {
    let line = find(resistor_fact(), "derating_line").expect("resistors.toml: derating_line is tested");
    let at = |key| line.number(key).expect("resistors.toml: derating_line is tested");
    let (start, zero) = (at("start_c"), at("zero_c"));
    line.value(rated * ((zero - celsius) / (zero - start)).clamp(0.0, 1.0), "W")
}
