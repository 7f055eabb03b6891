//! Units of the table files: the ending of a key tells the unit, e.g. `rated_residual_ma`. `mohm` is the megohm
//! and `mhz` the millihertz throughout the tables (they have no milliohm and no megahertz).

/// `value` × 10^`exponent`, rounded once: the decimal point is shifted in the number's decimal digits, so that 0.1 µF
/// is exactly `1e-7` and 0.7 mA exactly `7e-4`.
pub(super) fn decimal(value: f64, exponent: i32) -> f64 {
    format!("{value}e{exponent}").parse().unwrap_or(value * 10f64.powi(exponent))
}

/// `value` of key `key` in SI base units with the unit; `None` when the ending is no unit.
pub(super) fn si(key: &str, value: f64) -> Option<(f64, &'static str)> {
    if key.contains("_per_") || key.contains("_times_") || key.contains("_multiple") || key.contains("_over_crest") {
        return None;
    }
    let ending = key.rsplit('_').next()?;
    let (value, unit) = match ending {
        "v" => (value, "V"),
        "kv" => (decimal(value, 3), "V"),
        "a" => (value, "A"),
        "ka" => (decimal(value, 3), "A"),
        "ma" => (decimal(value, -3), "A"),
        "w" => (value, "W"),
        "mw" => (decimal(value, -3), "W"),
        "va" => (value, "VA"),
        "ohm" => (value, "Ω"),
        "kohm" => (decimal(value, 3), "Ω"),
        "mohm" => (decimal(value, 6), "Ω"),
        "f" => (value, "F"),
        "uf" => (decimal(value, -6), "F"),
        "nf" => (decimal(value, -9), "F"),
        "uc" => (decimal(value, -6), "C"),
        "j" => (value, "J"),
        "mj" => (decimal(value, -3), "J"),
        "s" => (value, "s"),
        "ms" => (decimal(value, -3), "s"),
        "h" => (value * 3600.0, "s"),
        "m" => (value, "m"),
        "mm" => (decimal(value, -3), "m"),
        "nm" => (decimal(value, -9), "m"),
        "mm2" => (decimal(value, -6), "m²"),
        "hz" => (value, "Hz"),
        "khz" => (decimal(value, 3), "Hz"),
        "mhz" => (decimal(value, -3), "Hz"),
        "c" => (value, "°C"),
        "k" => (value, "K"),
        "percent" => (decimal(value, -2), ""),
        "deg" => (value.to_radians(), "rad"),
        "multiple" | "fraction" | "factor" | "exponent" => (value, ""),
        _ => return None,
    };
    Some((value, unit))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::si;

    #[test]
    fn endings_give_si() {
        assert_eq!(si("ac_rms_ma", 0.5).unwrap(), (0.5e-3, "A"));
        assert_eq!(si("ac_peak_ma", 0.7).unwrap(), (0.7e-3, "A"));
        assert_eq!(si("max_resistance_mohm", 10.0).unwrap(), (1e7, "Ω"));
        assert_eq!(si("area_mm2", 0.75).unwrap(), (0.75e-6, "m²"));
        assert_eq!(si("charge_uc", 45.0).unwrap(), (45e-6, "C"));
        assert_eq!(si("exempt_up_to_uf", 0.1).unwrap(), (1e-7, "F"));
        assert_eq!(si("plus_percent", 10.0).unwrap(), (0.1, ""));
    }

    #[test]
    fn no_unit_no_value() {
        assert!(si("plain_ohm_per_km", 1.0).is_none());
        assert!(si("impulse_kv_times_root_uf", 1.0).is_none());
        assert!(si("steps_per_decade", 1.0).is_none());
        assert!(si("capacitance_max_uf_42v_to_450v", 1.0).is_none());
    }
}
