//! Resistors by style, and what rules hold for them on the mains.

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
}

impl Style {
    /// Limiting element voltage for a.c., volts r.m.s., whatever the resistance; `None` where only √(P·R) limits.
    /// Where the sheet gives d.c. volts only, those are taken for the crest.
    pub fn limiting_rms(&self) -> Option<f64> {
        let crest = self.limiting_dc_v.map(|v| v * std::f64::consts::FRAC_1_SQRT_2);
        self.limiting_rms_v.or(self.limiting_voltage_v).or(crest)
    }

    /// Limiting element voltage for d.c., volts.
    pub fn limiting_dc(&self) -> Option<f64> {
        self.limiting_dc_v.or(self.limiting_voltage_v)
    }

    /// Volts r.m.s. the style stands at `ohms`: the smaller of √(P·R) and the limiting voltage.
    pub fn usable_rms(&self, ohms: f64) -> f64 {
        (self.rated_w * ohms).sqrt().min(self.limiting_rms().unwrap_or(f64::INFINITY))
    }

    /// Watts the style stands at `celsius` around it: its rating up to where derating starts, then down a straight
    /// line. Where the sheet gives no end, the line of film resistors.
    pub fn power_at(&self, celsius: f64) -> f64 {
        let (start, zero) = (self.derate_start_c.or(self.rated_at_c), self.derate_zero_c);
        derated(self.rated_w, celsius, start, zero)
    }

    /// Flame-proof or non-flammable coating.
    pub fn will_not_flame(&self) -> bool {
        self.flameproof == Some(true) || self.non_flammable == Some(true)
    }

    /// Whether a standard accepts that the style does not fail short at `ohms`: approved after IEC 60065 14.1 a, and
    /// the value inside the approved range.
    pub fn will_not_short(&self, ohms: f64) -> bool {
        let Some(range) = find(resistor_fact(), "safety_resistor") else {
            return false;
        };
        let inside = |min: Option<Limit>, max: Option<Limit>| {
            min.is_some_and(|m| ohms >= m.value) && max.is_some_and(|m| ohms <= m.value)
        };
        let mega = range.number("ohms_max_mohm").map(|m| range.value(m * 1e6, "Ω"));
        let kilo = range.number("ohms_min_kohm").map(|k| range.value(k * 1e3, "Ω"));
        self.safety_approved == Some(true) && inside(kilo, mega)
    }

    /// Highest resistance made, ohms, where printed.
    pub fn max_ohms(&self) -> Option<f64> {
        self.max_resistance_mohm.map(|m| m * 1e6).or(self.max_resistance_kohm.map(|k| k * 1e3))
    }
}

/// A style by name.
pub fn style(id: &str) -> Option<&'static Style> {
    resistor().iter().find(|r| r.id.eq_ignore_ascii_case(id.trim()))
}

/// When a fusible resistor of so many ohms is sure to open: times its rated power, and within how many seconds. From the
/// one series for which it is published; `None` where the table has none.
pub fn fusing(ohms: f64) -> Option<(Limit, f64)> {
    // The data sheet draws the line between its two multiples here.
    const LOW_OHMIC: f64 = 10.0;
    resistor().iter().find_map(|s| {
        let (low, high) = (s.fusing_power_multiple_up_to_10ohm?, s.fusing_power_multiple_above_10ohm?);
        let value = if ohms <= LOW_OHMIC { low } else { high };
        let id = format!("resistors.resistor.{}.fusing_power_multiple", s.id);
        Some((Limit { value, unit: "times rated power", source: s.source.clone(), id }, s.fusing_time_max_s?))
    })
}

/// Watts left of `rated` at `celsius`, for a resistor of which only the rating is known (film: full up to 70 °C, none
/// at 155 °C).
pub fn derated_power(rated: f64, celsius: f64) -> Limit {
    let row = find(resistor_fact(), "derating_line").expect("resistors.toml: derating_line is tested");
    row.value(derated(rated, celsius, None, None), "W")
}

fn derated(rated: f64, celsius: f64, start: Option<f64>, zero: Option<f64>) -> f64 {
    let line = find(resistor_fact(), "derating_line").expect("resistors.toml: derating_line is tested");
    let tested = "resistors.toml: derating_line is tested";
    let start = start.or(line.number("start_c")).expect(tested);
    let zero = zero.or(line.number("zero_c")).expect(tested);
    rated * ((zero - celsius) / (zero - start)).clamp(0.0, 1.0)
}

/// Why a resistor's coat is no insulation against mains: volts it stands for ever.
pub fn coat_volts() -> Limit {
    let row = find(resistor_fact(), "lacquer_is_not_insulation").and_then(|r| r.limit("continuous_v"));
    row.expect("resistors.toml: lacquer_is_not_insulation is tested")
}
