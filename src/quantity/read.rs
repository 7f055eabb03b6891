//! Reading a quantity, exactly, with errors that say what to write instead. Must not know who asks.

use super::error::{ReadError, quote};
use super::explain::{not_a_number, wrong_unit};
use super::kind::{Kind, Range};
use super::number::{split_number, unit_power};

/// No part on a bench has a value beyond these, whatever its unit; the solver could do nothing with one that had.
const LARGEST: f64 = 1e15;
const SMALLEST: f64 = 1e-18;
/// Absolute zero in degrees Celsius (International System of Units, definition of the degree Celsius).
const ABSOLUTE_ZERO: f64 = -273.15;

/// Reads a quantity of the wanted kind; which signs are allowed follows from the kind ([`Kind::usual_range`]).
///
/// # Errors
/// What is wrong with the text and what to write instead.
pub(crate) fn parse(text: &str, kind: Kind) -> Result<f64, ReadError> {
    parse_in(text, kind, kind.usual_range())
}

/// Reads a quantity of whatever kind its unit says; a number without a unit is read as ohms where it is written as one
/// ("4k7"). The value is in the unit that [`Kind`] names.
///
/// # Errors
/// What is wrong, and what to write instead.
pub(crate) fn parse_any(text: &str) -> Result<(f64, Kind), ReadError> {
    let found = Kind::ALL.into_iter().find_map(|kind| parse_in(text, kind, Range::Any).ok().map(|value| (value, kind)));
    found.ok_or_else(|| {
        ReadError::new(
            format!("{} is no quantity", quote(text)),
            "write a number and a unit, such as \"150 kΩ\" or \"30 mA\"".to_string(),
        )
    })
}

/// Reads a quantity of the wanted kind and range. The value is in the unit that [`Kind`] names.
///
/// # Errors
/// What is wrong with the text and what to write instead.
pub(crate) fn parse_in(text: &str, kind: Kind, range: Range) -> Result<f64, ReadError> {
    let trimmed = text.trim();
    let example = kind.example();
    if trimmed.is_empty() {
        return Err(ReadError::new(
            format!("an empty text where {} is wanted", kind.name()),
            format!("write a number and a unit, such as \"{example}\""),
        ));
    }
    let value = read(trimmed, kind)?;
    // "1e-400 Ω" became zero only because it is too small for the machine's numbers.
    let digits = trimmed.split(['e', 'E']).next().unwrap_or_default();
    if value == 0.0 && digits.contains(|c| matches!(c, '1'..='9')) {
        return Err(too_small(trimmed, kind));
    }
    check_size(trimmed, kind, value)?;
    let word = match range {
        Range::Positive if value < 0.0 => "negative",
        Range::Positive if value == 0.0 => "zero",
        Range::NotNegative if value < 0.0 => "negative",
        _ => return Ok(value),
    };
    let wanted = if range == Range::Positive { "above zero" } else { "of zero or more" };
    Err(ReadError::new(
        format!("{} is {word}", quote(trimmed)),
        format!("write {} {wanted}, such as \"{example}\"", kind.name()),
    ))
}

fn too_small(text: &str, kind: Kind) -> ReadError {
    let help = format!("write a value that a real part can have, such as \"{}\"", kind.example());
    ReadError::new(format!("{} is too small", quote(text)), help)
}

fn check_size(text: &str, kind: Kind, value: f64) -> Result<(), ReadError> {
    let size = value.abs();
    let such = format!("write a value that a real part can have, such as \"{}\"", kind.example());
    if !value.is_finite() || size > LARGEST {
        return Err(ReadError::new(format!("{} is too large", quote(text)), such));
    }
    if value != 0.0 && size < SMALLEST {
        return Err(too_small(text, kind));
    }
    if kind == Kind::Temperature && value < ABSOLUTE_ZERO {
        return Err(ReadError::new(format!("{} is below absolute zero", quote(text)), such));
    }
    Ok(())
}

fn read(text: &str, kind: Kind) -> Result<f64, ReadError> {
    if kind == Kind::Resistance
        && let Some(value) = read_letter_as_point(text)
    {
        return value.ok_or_else(|| ReadError::new(format!("{} is too large", quote(text)), "write it in ohms"));
    }
    if kind == Kind::Area
        && let Some(value) = read_gauge(text)
    {
        return value;
    }
    let Some((number, rest)) = split_number(text) else {
        return Err(not_a_number(text, kind));
    };
    let rest = rest.trim();
    if kind == Kind::Resistance
        && let Some(power) = lone_ohm_prefix(rest)
    {
        return Ok(number.times_ten_to(power));
    }
    if let Some(power) = unit_power(rest, kind) {
        return Ok(number.times_ten_to(power));
    }
    Err(wrong_unit(text, number.text, rest, kind))
}

/// `150k`, `2M`, `47R`: common practice on circuit diagrams. A lone `m` is left out: it is read as milliohm by some
/// and as megohm by others.
fn lone_ohm_prefix(text: &str) -> Option<i32> {
    match text {
        "R" => Some(0),
        "k" | "K" => Some(3),
        "M" => Some(6),
        "G" => Some(9),
        "T" => Some(12),
        _ => None,
    }
}

/// `4k7`, `2R2`, `R47`, with or without an ohm sign behind: the letter stands for the decimal point
/// (IEC 60062, letter and digit code). `None` when the text has another shape, `Some(None)` when the number is too long.
fn read_letter_as_point(text: &str) -> Option<Option<f64>> {
    let bare = Kind::Resistance.units().iter().find_map(|unit| text.strip_suffix(unit)).unwrap_or(text).trim_end();
    let at = bare.find(|c: char| !c.is_ascii_digit())?;
    let letter = bare[at..].chars().next()?;
    let power = match letter {
        'r' => 0,
        'm' => return None,
        _ => lone_ohm_prefix(letter.encode_utf8(&mut [0; 4]))?,
    };
    let (whole, fraction) = (&bare[..at], &bare[at + letter.len_utf8()..]);
    let digits = !fraction.is_empty() && fraction.bytes().all(|b| b.is_ascii_digit());
    // `k47` is not written on parts; only R leads.
    if !digits || (whole.is_empty() && power != 0) {
        return None;
    }
    Some(format!("{whole}.{fraction}e{power}").parse().ok())
}

/// American Wire Gauge: diameter = 0.005 in × 92^((36 − n)/39), exact by definition (ASTM B258).
fn read_gauge(text: &str) -> Option<Result<f64, ReadError>> {
    let lower = text.to_ascii_lowercase();
    if let Some(number) = lower.strip_prefix("awg").map(str::trim) {
        return Some(Err(ReadError::new(
            format!("{} has the gauge before the number", quote(text)),
            format!("write \"{number} AWG\""),
        )));
    }
    let number = lower.strip_suffix("awg")?.trim();
    let gauge: Option<i32> = match number {
        "00" | "2/0" => Some(-1),
        "000" | "3/0" => Some(-2),
        "0000" | "4/0" => Some(-3),
        "1/0" => Some(0),
        _ if number.bytes().all(|b| b.is_ascii_digit()) => number.parse().ok().filter(|n| *n <= 40),
        _ => None,
    };
    let Some(gauge) = gauge else {
        return Some(Err(ReadError::new(
            format!("{} is not a wire gauge", quote(text)),
            "write a whole gauge from \"0000 AWG\" to \"40 AWG\", such as \"18 AWG\"",
        )));
    };
    let inch = 25.4e-3;
    let diameter = 0.005 * inch * 92f64.powf(f64::from(36 - gauge) / 39.0);
    Some(Ok(std::f64::consts::FRAC_PI_4 * diameter * diameter))
}
