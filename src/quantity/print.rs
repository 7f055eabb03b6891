//! The one printer of numbers: engineering prefix, significant digits, unit. Must not know what the value means.

use super::kind::{Kind, Prefix};

/// Significant digits of a value printed for itself.
const DIGITS: usize = 3;
/// Most significant digits it takes to tell two values apart: what a double holds is finer, but nothing here is
/// measured or published to more.
const MOST_DIGITS: usize = 7;

/// No prefix at all, for units that take none.
const BARE: &[Prefix] = &[("", 0)];
/// Every engineering prefix that has a short sign, from small to large.
const ENGINEERING: &[Prefix] =
    &[("f", -15), ("p", -12), ("n", -9), ("µ", -6), ("m", -3), ("", 0), ("k", 3), ("M", 6), ("G", 9), ("T", 12)];
/// What is smaller than the smallest prefix is printed as nothing by [`format_table`].
const SMALLEST_SHOWN: f64 = 1e-15;
/// Of a minute, and minutes of an hour.
const SECONDS_OF_A_MINUTE: f64 = 60.0;
/// From so many minutes on minutes are told in place of seconds, and from so many hours on hours.
const TWO: f64 = 2.0;
/// Power of ten from which a value with a prefix is printed as `1e15`: it is beyond the largest prefix.
const BEYOND_PREFIXES: i32 = 15;
/// Power of ten from which a value without a prefix is printed as `1e16`: a double has no more whole digits.
const BEYOND_DIGITS: i32 = 16;

/// Prints a value given in the kind's unit (see [`Kind`]) with an engineering prefix and three significant digits, as a
/// bench writes it.
///
/// The value is rounded before the prefix is chosen, so 0.99996 A is `1 A` and never `1000 mA`; trailing zeros go.
/// Only prefixes that are usual with the unit are used (seconds have no kilo).
/// What is printed reads back (see [`crate::quantity::parse`]) to within half a unit of the third digit.
pub(crate) fn format(value: f64, kind: Kind) -> String {
    as_on_a_bench(value, kind.printed(), kind.symbol())
}

/// Rated watts as they are printed on parts and written in a jig file: "0.6 W", not "600 mW".
pub(crate) fn format_rated_watts(watts: f64) -> String {
    if watts < 1.0 { behind(&watts.to_string(), "", Kind::Power.symbol()) } else { format(watts, Kind::Power) }
}

/// As [`format`](fn@format), with the kind chosen by the SI unit that goes with a value in a finding ("V", "A", "Ω", "m²",
/// ...). A unit that is not one of ours is printed behind the plain number.
pub(crate) fn format_unit(value: f64, unit: &str) -> String {
    match unit.trim() {
        "m²" | "m2" => format(value, Kind::Area),
        // The percentage printer divides by a hundred, and per cent in a finding is already multiplied out: give it
        // back what it takes.
        "%" => format(value / 100.0, Kind::Fraction),
        "VA" => format(value, Kind::ApparentPower),
        unit => match Kind::ALL.into_iter().find(|kind| kind.units().contains(&unit)) {
            Some(kind) => format(value, kind),
            None => as_on_a_bench(value, BARE, unit),
        },
    }
}

/// Prints a value in an SI unit for a table: three significant digits and whichever engineering prefix fits. Areas are in
/// square millimetres; what has no number is said in words; what is too large for the prefixes is a power of ten.
pub(crate) fn format_table(value: f64, unit: &str) -> String {
    in_a_table(value, unit, DIGITS)
}

/// Two values of one unit as [`format_table`] prints them, with as many digits (three to seven) as it takes for them to
/// look different when they are.
pub(crate) fn format_apart(a: f64, b: f64, unit: &str) -> (String, String) {
    let pair = |digits| (in_a_table(a, unit, digits), in_a_table(b, unit, digits));
    (DIGITS..MOST_DIGITS).map(pair).find(|(x, y)| a == b || x != y).unwrap_or_else(|| pair(MOST_DIGITS))
}

fn as_on_a_bench(value: f64, prefixes: &[Prefix], unit: &str) -> String {
    if value.is_nan() {
        return behind("unknown", "", unit);
    }
    if value.is_infinite() {
        return behind(if value < 0.0 { "-∞" } else { "∞" }, "", unit);
    }
    printed(value, &Look { digits: DIGITS, prefixes, longest: i32::MAX, unit })
}

fn in_a_table(value: f64, unit: &str, digits: usize) -> String {
    if value.is_nan() {
        return "not a number".to_string();
    }
    if value.is_infinite() {
        return if value > 0.0 { "without bound" } else { "without lower bound" }.to_string();
    }
    if unit == "m²" {
        return in_a_table(value * 1e6, "mm²", digits);
    }
    if unit == "s" && value.abs() >= TWO * SECONDS_OF_A_MINUTE {
        let minutes = value / SECONDS_OF_A_MINUTE;
        let hours = minutes.abs() >= TWO * SECONDS_OF_A_MINUTE;
        let (value, unit) = if hours { (minutes / SECONDS_OF_A_MINUTE, "h") } else { (minutes, "min") };
        return printed(value, &Look { digits, prefixes: BARE, longest: BEYOND_DIGITS, unit });
    }
    let value = if value.abs() < SMALLEST_SHOWN { 0.0 } else { value };
    let (prefixes, longest) = match unit {
        "" | "°C" | "K" | "%" | "mm²" | "A²s" => (BARE, BEYOND_DIGITS),
        _ => (ENGINEERING, BEYOND_PREFIXES),
    };
    printed(value, &Look { digits, prefixes, longest, unit })
}

/// How a number is printed.
struct Look<'a> {
    /// Significant digits.
    digits: usize,
    /// Prefixes to choose from, from small to large; never empty.
    prefixes: &'a [Prefix],
    /// Power of ten from which the number is printed as `d.dde15`.
    longest: i32,
    unit: &'a str,
}

fn printed(value: f64, look: &Look) -> String {
    if value == 0.0 {
        return behind("0", "", look.unit);
    }
    // `{:e}` rounds the decimal expansion correctly; the digits and the exponent it gives are final.
    let text = format!("{:.*e}", look.digits - 1, value.abs());
    let (mantissa, exponent) = text.split_once('e').unwrap_or((&text, "0"));
    let exponent: i32 = exponent.parse().unwrap_or(0);
    let digits: String = mantissa.chars().filter(char::is_ascii_digit).collect();
    let sign = if value < 0.0 { "-" } else { "" };
    if exponent >= look.longest {
        return behind(&format!("{sign}{}e{exponent}", place_point(&digits, 0)), "", look.unit);
    }
    let fitting = look.prefixes.iter().rev().find(|(_, power)| exponent >= *power);
    let (prefix, power) = fitting.or(look.prefixes.first()).copied().unwrap_or(("", 0));
    behind(&format!("{sign}{}", place_point(&digits, exponent - power)), prefix, look.unit)
}

fn behind(number: &str, prefix: &str, unit: &str) -> String {
    if unit.is_empty() { number.to_string() } else { format!("{number} {prefix}{unit}") }
}

/// Writes `d.ddd × 10^exponent` as a plain decimal without trailing zeros.
fn place_point(digits: &str, exponent: i32) -> String {
    let digits = digits.trim_end_matches('0');
    let whole = usize::try_from(exponent + 1).unwrap_or(0);
    if whole == 0 {
        let zeros = usize::try_from(-exponent - 1).unwrap_or(0);
        format!("0.{}{digits}", "0".repeat(zeros))
    } else if digits.len() <= whole {
        format!("{digits}{}", "0".repeat(whole - digits.len()))
    } else {
        format!("{}.{}", &digits[..whole], &digits[whole..])
    }
}

#[cfg(test)]
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
            (60.0, "s", "60 s"),
            (1800.0, "s", "30 min"),
            (7200.0, "s", "2 h"),
            (1e300, "V", "1e300 V"),
            (9.876e15, "Ω", "9.88e15 Ω"),
            (999.96e12, "Ω", "1e15 Ω"),
            (f64::NAN, "V", "not a number"),
            (f64::INFINITY, "V", "without bound"),
        ] {
            assert_eq!(format_table(value, unit), text, "{value:e} {unit}");
        }
    }

    #[test]
    fn values_that_differ_look_different() {
        assert_eq!(format_apart(250.3, 250.0, "V"), ("250.3 V".into(), "250 V".into()));
        assert_eq!(format_apart(250.0, 250.0, "V"), ("250 V".into(), "250 V".into()));
        assert_eq!(format_apart(0.000_5, 0.003, "A"), ("500 µA".into(), "3 mA".into()));
    }
}
