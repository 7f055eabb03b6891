//! Glow lamps, LEDs and filament lamps.

use super::bench;
use super::names::nearest_names;
use super::row::{Limit, Row, find};
use super::unit::decimal;

table_file! { "lamps.toml" [neon_maintain, neon_fact, led_fact, incandescent_exponent, incandescent_fact]
    /// A glow lamp.
    NeonLamp in neon_lamp {
        old_number: Option<String>, brightness: String, terminals: String, strike_max_ac_v: Option<f64>,
        strike_max_dc_v: Option<f64>, strike_ac_v: Option<f64>, strike_dc_v: Option<f64>, maintain_ac_v: Option<f64>,
        maintain_dc_v: Option<f64>, design_current_ma: Option<f64>, series_resistor_100_125v_kohm: Option<f64>,
        series_resistor_105_125v_kohm: Option<f64>, series_resistor_220_300v_kohm: Option<f64>, resistor: String,
        life_h: Option<f64>, power_w: Option<f64>,
    }
    /// A printed design current worked out again.
    NeonCheck in neon_check {
        lamp: String, supply_v: f64, strike_dc_v: f64, maintain_v: f64, series_resistor_kohm: f64,
        published_design_current_ma: f64, strike_angle_deg: f64, extinction_angle_deg: f64, lit_fraction: f64,
        current_rms_ma: f64, current_mean_ma: f64, current_peak_ma: f64, current_simple_formula_ma: f64,
        resistor_dissipation_w: f64,
    }
    /// An indicator LED.
    Led in led {
        colour: String, forward_typ_v: f64, forward_max_v: f64, forward_current_ma: Option<f64>,
        wavelength_nm: Option<f64>, current_max_ma: Option<f64>, reverse_max_v: Option<f64>,
        peak_current_max_ma: Option<f64>, peak_duty: Option<f64>, peak_pulse_ms: Option<f64>, power_max_mw: Option<f64>,
        junction_max_c: Option<f64>,
    }
}

/// A glow lamp of the lamps table. Volts peak or d.c., amperes r.m.s., ohms.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LampRow {
    /// Striking volts.
    pub strike: f64,
    /// Striking volts of the worst lamp of the type.
    pub strike_max: f64,
    /// Maintaining volts.
    pub maintain: f64,
    /// Design current.
    pub current: f64,
    /// Highest current, where one is known.
    pub max_current: Option<f64>,
    /// Slope resistance while lit.
    pub slope: Option<f64>,
}

/// A glow lamp by its type (`"A1A"`) or old number (`"NE-2"`).
///
/// `strike` and `strike_max` are both that of the worst lamp of the type. At the design current the lamp stands at the
/// maintaining volts typical for its brightness; the highest current is a stated multiple of the design current; a resistor in the lamp's base is in
/// `slope`, where it acts exactly alike.
///
/// # Errors
/// The nearest known types.
pub(crate) fn lamp(type_: &str) -> Result<LampRow, Vec<String>> {
    let row = neon_row(type_).ok_or_else(|| nearest_names(type_, known().into_iter(), 3))?;
    let strike = row.strike_max_dc_v.or(row.strike_dc_v).unwrap_or_default();
    let current = row.design_current_ma.map_or_else(|| bench::older_ne2_current().value, |ma| decimal(ma, -3));
    // Maintaining volts are stated near the design current; the lamp's line begins at none. A lamp for more current has
    // larger electrodes and a flatter line.
    let stated = row.maintain_dc_v.unwrap_or_else(|| neon_maintaining(&row.brightness).value);
    let slope = bench::neon_slope().value.min(bench::neon_drop().value * stated / current);
    Ok(LampRow {
        strike,
        strike_max: strike,
        maintain: stated - slope * current,
        current,
        max_current: Some(current * bench::neon_max_current_multiple().value),
        slope: Some(slope + base_resistor(row)),
    })
}

/// The row of a type or old number. A type wins over an old number; of several lamps of one old number the first.
pub(crate) fn neon_row(type_: &str) -> Option<&'static NeonLamp> {
    let plain = |s: &str| s.chars().filter(|c| !c.is_whitespace() && *c != '-').collect::<String>().to_lowercase();
    let wanted = plain(type_);
    let by_type = neon_lamp().iter().find(|r| plain(&r.id) == wanted);
    by_type.or_else(|| neon_lamp().iter().find(|r| r.old_number.as_deref().is_some_and(|o| plain(o) == wanted)))
}

/// Types and old numbers `lamp` knows.
pub(crate) fn known() -> Vec<&'static str> {
    let ids = neon_lamp().iter().map(|r| r.id.as_str());
    ids.chain(neon_lamp().iter().filter_map(|r| r.old_number.as_deref())).collect()
}

/// Whether a type has its series resistor in its base.
pub(crate) fn limits_itself(type_: &str) -> bool {
    neon_row(type_).is_some_and(|row| base_resistor(row) > 0.0)
}

fn base_resistor(row: &NeonLamp) -> f64 {
    let inside = row.resistor == "in base";
    if inside { row.series_resistor_105_125v_kohm.unwrap_or_default() * 1e3 } else { 0.0 }
}

/// Typical maintaining volts of a lamp of `"standard"` or `"high"` brightness.
pub(crate) fn neon_maintaining(brightness: &str) -> Limit {
    let id = if brightness == "high" { "high_brightness" } else { "standard_brightness" };
    let row = find(neon_maintain(), id).and_then(|r| r.limit("maintain_typ_v"));
    row.expect("lamps.neon_maintain is tested")
}

/// Least ratio of the lowest mains crest to the worst strike for sure striking.
pub(crate) fn strike_margin() -> Limit {
    let row = find(neon_fact(), "strike_margin").expect("lamps.strike_margin is tested");
    row.value(row.number("crest_over_strike_dc_min").unwrap_or(1.0), "")
}

/// Exponent of life against current: life ÷ rated life = (I ÷ I design) to this power.
pub(crate) fn life_exponent() -> Limit {
    let row = find(neon_fact(), "life_vs_current_rounded").expect("lamps.life_vs_current_rounded is tested");
    row.value(row.number("life_exponent").unwrap_or_default(), "")
}

/// Highest share of its life on a.c. that a glow lamp keeps on d.c. or behind a diode.
pub(crate) fn life_share_on_dc() -> Limit {
    let row = find(neon_fact(), "life_on_dc").expect("lamps.life_on_dc is tested");
    row.value(row.number("life_factor_dc_vs_ac_max").unwrap_or_default(), "")
}

/// Rated life of a glow lamp type in seconds, where printed.
pub(crate) fn rated_life(type_: &str) -> Option<Limit> {
    let row = neon_row(type_)?;
    row.life_h.map(|h| row.value(h * 3600.0, "s"))
}

/// Reverse volts of an LED whose own are not stated.
pub(crate) fn led_reverse() -> Limit {
    find(led_fact(), "reverse_max").and_then(|r| r.limit("reverse_max_v")).expect("lamps.led_fact is tested")
}

/// Highest mean current of an ordinary 5 mm LED whose own is not stated (the lowest of the rows), amperes.
pub(crate) fn led_current() -> Limit {
    let stated = led().iter().filter_map(|r| r.current_max_ma.map(|ma| r.value(decimal(ma, -3), "A")));
    stated.min_by(|a, b| a.value.total_cmp(&b.value)).expect("lamps.led is tested")
}

/// Exponent of a filament lamp's current against volts: I ÷ I rated = (V ÷ V rated) to this power.
pub(crate) fn filament_current_exponent() -> Limit {
    let row = find(incandescent_exponent(), "current").expect("lamps.incandescent_exponent is tested");
    row.value(row.number("exponent_min").unwrap_or_default(), "")
}

/// Exponent of a filament lamp's watts against volts: P ÷ P rated = (V ÷ V rated) to this power.
pub(crate) fn filament_power_exponent() -> Limit {
    let row = find(incandescent_exponent(), "power").expect("lamps.incandescent_exponent is tested");
    row.value(row.number("exponent_min").unwrap_or_default(), "")
}

/// Cold over hot resistance of a filament lamp whose own is not stated.
pub(crate) fn filament_cold_ratio() -> Limit {
    let row = find(incandescent_fact(), "cold_hot_ratio").expect("lamps.cold_hot_ratio is tested");
    row.value(row.number("cold_over_hot").unwrap_or_default(), "")
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn every_type_gives_a_usable_lamp() {
        for name in known() {
            let lamp = lamp(name).unwrap();
            assert!(lamp.strike > lamp.maintain && lamp.maintain > 40.0, "{name}");
            assert!(lamp.current > 0.0 && lamp.max_current.unwrap() > lamp.current, "{name}");
        }
    }

    #[test]
    fn old_numbers_and_spelling() {
        assert_eq!(neon_row("ne2h").unwrap().id, "C2A");
        assert_eq!(neon_row("NE-2").unwrap().id, "A1A");
        assert_eq!(lamp("A1B").unwrap().current, 0.3e-3);
        // 7.5 kΩ in its base, and its own line: a twentieth of 60 V over 12 mA, 250 Ω.
        assert!((lamp("NE-30").unwrap().slope.unwrap() - 7750.0).abs() < 1e-6);
        assert!(lamp("A1D").unwrap_err().contains(&"A1A".to_string()));
    }
}
