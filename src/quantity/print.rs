//! Printing a value: engineering prefix, three significant digits. Must not know what the value means.

use super::Kind;

/// Significant digits printed, less one: the digits after the point of `d.dd`.
const DIGITS_AFTER_FIRST: usize = 2;

/// Prints a value given in the kind's unit (see [`Kind`]) with an engineering prefix and three significant digits.
///
/// The value is rounded before the prefix is chosen, so 0.99996 A is `1 A` and never `1000 mA`; trailing zeros go.
/// What is printed reads back (see [`crate::quantity::parse`]) to within half a unit of the third digit.
///
/// ```
/// use deadfront::quantity::{Kind, format};
/// assert_eq!(format(150e3, Kind::Resistance), "150 kΩ");
/// assert_eq!(format(0.99996, Kind::Current), "1 A");
/// ```
pub fn format(value: f64, kind: Kind) -> String {
    let symbol = kind.symbol();
    if value.is_nan() {
        return format!("unknown {symbol}");
    }
    if value.is_infinite() {
        return format!("{}∞ {symbol}", if value < 0.0 { "-" } else { "" });
    }
    if value == 0.0 {
        return format!("0 {symbol}");
    }
    // `{:e}` rounds the decimal expansion correctly; the digits and the exponent it gives are final.
    let text = format!("{:.*e}", DIGITS_AFTER_FIRST, value.abs());
    let (mantissa, exponent) = text.split_once('e').unwrap_or((&text, "0"));
    let exponent: i32 = exponent.parse().unwrap_or(0);
    let digits: String = mantissa.chars().filter(char::is_ascii_digit).collect();

    let prefixes = kind.printed();
    let (prefix, power) =
        prefixes.iter().rev().find(|(_, power)| exponent >= *power).or(prefixes.first()).copied().unwrap_or(("", 0));
    let sign = if value < 0.0 { "-" } else { "" };
    format!("{sign}{} {prefix}{symbol}", place_point(&digits, exponent - power))
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

/// As [`format`](fn@format), with the kind chosen by the SI unit that goes with a value in a finding ("V", "A", "Ω", "m²",
/// ...). A unit that is not one of ours is printed behind the plain number.
pub fn format_unit(value: f64, unit: &str) -> String {
    let unit = unit.trim();
    let kind = match unit {
        "m²" | "m2" => Some(Kind::Area),
        // A fraction carries no unit; per cent in a finding is already multiplied out.
        "%" => None,
        "VA" => Some(Kind::ApparentPower),
        _ => Kind::ALL.into_iter().find(|kind| kind.units().contains(&unit)),
    };
    match kind {
        Some(kind) => format(value, kind),
        // The percentage printer divides by a hundred: give it back what it takes.
        None if unit == "%" => format(value / 100.0, Kind::Fraction),
        None => {
            let plain = format(value, Kind::Temperature);
            format!("{} {unit}", plain.trim_end_matches(" °C")).trim_end().to_string()
        }
    }
}
