//! Numbers for reading: engineering prefix and significant digits. Must not know what the number means.

/// Engineering prefixes, 10^-15 to 10^12.
const PREFIXES: [&str; 10] = ["f", "p", "n", "µ", "m", "", "k", "M", "G", "T"];
const FIRST_EXPONENT: i32 = -15;

/// Units that take no prefix.
fn plain(unit: &str) -> bool {
    matches!(unit, "" | "°C" | "K" | "%" | "mm²" | "A²s")
}

/// Value with unit, three significant digits.
pub(super) fn show(value: f64, unit: &str) -> String {
    show_digits(value, unit, 3)
}

/// Value with unit, or a dash where there is none.
pub(super) fn show_some(value: Option<f64>, unit: &str) -> String {
    value.map_or_else(|| "–".to_string(), |v| show(v, unit))
}

/// Two values with as many digits (three to seven) as it takes for them to look different when they are.
pub(super) fn show_apart(a: f64, b: f64, unit: &str) -> (String, String) {
    let pair = |digits| (show_digits(a, unit, digits), show_digits(b, unit, digits));
    (3..7).map(pair).find(|(x, y)| a == b || x != y).unwrap_or_else(|| pair(7))
}

fn show_digits(value: f64, unit: &str, digits: usize) -> String {
    if value.is_nan() {
        return "not a number".to_string();
    }
    if value.is_infinite() {
        return if value > 0.0 { "without bound".to_string() } else { "without lower bound".to_string() };
    }
    if unit == "m²" {
        return show_digits(value * 1e6, "mm²", digits);
    }
    let space = if unit.is_empty() { "" } else { " " };
    let smallest = 10f64.powi(FIRST_EXPONENT);
    if value.abs() < smallest {
        return format!("0{space}{unit}");
    }
    // Rounding comes first, so that 999.96 mA picks its prefix as 1 A.
    let rounded = format!("{:.*e}", digits - 1, value.abs());
    let (mantissa, exponent) = rounded.split_once('e').unwrap_or((&rounded, "0"));
    let exponent: i32 = exponent.parse().unwrap_or(0);
    let sign = if value < 0.0 { "-" } else { "" };
    let all: String = mantissa.chars().filter(|c| *c != '.').collect();
    let group = if plain(unit) { 0 } else { exponent.div_euclid(3) * 3 };
    let index = (group - FIRST_EXPONENT) / 3;
    let (Some(prefix), true) = (PREFIXES.get(usize::try_from(index).unwrap_or(usize::MAX)), exponent.abs() < 16) else {
        return format!("{sign}{}e{exponent}{space}{unit}", trim(mantissa));
    };
    format!("{sign}{}{space}{prefix}{unit}", place_point(&all, exponent - group))
}

/// Decimal digits `d1 d2 d3…` of `d1.d2d3… × 10^exponent`, written out.
fn place_point(digits: &str, exponent: i32) -> String {
    let Ok(whole) = usize::try_from(exponent + 1) else {
        let zeros = usize::try_from(-exponent - 1).unwrap_or(0);
        return trim(&format!("0.{}{digits}", "0".repeat(zeros))).to_string();
    };
    if whole >= digits.len() {
        return format!("{digits}{}", "0".repeat(whole - digits.len()));
    }
    if whole == 0 {
        return trim(&format!("0.{digits}")).to_string();
    }
    trim(&format!("{}.{}", &digits[..whole], &digits[whole..])).to_string()
}

fn trim(text: &str) -> &str {
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { text }
}

/// A margin (rating over value) with two decimals, cut and not rounded: what is below 1 never reads as 1.
pub(super) fn margin(margin: Option<f64>) -> String {
    match margin {
        None => "–".to_string(),
        Some(m) if m.is_nan() => "?".to_string(),
        Some(m) if m >= 100.0 => "> 100".to_string(),
        // The addition keeps 1.1 from being cut to 1.09 by its binary form; it is far below the last digit shown.
        Some(m) => format!("{:.2}", ((m + 1e-12) * 100.0).floor() / 100.0),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    // Expected texts are written by hand from the rule: round to the digits, then pick the prefix.
    #[test]
    fn prefix_is_picked_after_rounding() {
        for (value, unit, text) in [
            (150_000.0, "Ω", "150 kΩ"),
            (0.999_96, "A", "1 A"),
            (0.000_999_4, "A", "999 µA"),
            (260.0, "V", "260 V"),
            (1234.0, "V", "1.23 kV"),
            (0.0, "A", "0 A"),
            (-0.0, "A", "0 A"),
            (1e-18, "A", "0 A"),
            (-0.0125, "A", "-12.5 mA"),
            (0.006, "m", "6 mm"),
            (0.75e-6, "m²", "0.75 mm²"),
            (84.96, "°C", "85 °C"),
            (1250.0, "°C", "1250 °C"),
            (0.012, "%", "0.012 %"),
            (0.45, "", "0.45"),
            (1e300, "V", "1e300 V"),
            (9.876e15, "Ω", "9.88e15 Ω"),
            (999.96e12, "Ω", "1e15 Ω"),
            (f64::NAN, "V", "not a number"),
            (f64::INFINITY, "V", "without bound"),
        ] {
            assert_eq!(show(value, unit), text, "{value:e} {unit}");
        }
    }

    #[test]
    fn values_that_differ_look_different() {
        assert_eq!(show_apart(250.3, 250.0, "V"), ("250.3 V".into(), "250 V".into()));
        assert_eq!(show_apart(250.0, 250.0, "V"), ("250 V".into(), "250 V".into()));
        assert_eq!(show_apart(0.000_5, 0.003, "A"), ("500 µA".into(), "3 mA".into()));
    }

    #[test]
    fn a_margin_below_one_never_reads_as_one() {
        for (value, text) in [(0.9999, "0.99"), (1.0, "1.00"), (1.1, "1.10"), (0.005, "0.00"), (1e9, "> 100")] {
            assert_eq!(margin(Some(value)), text);
        }
        assert_eq!(margin(None), "–");
    }
}
