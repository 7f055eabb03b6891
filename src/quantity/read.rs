//! Reading a quantity, exactly, with errors that say what to write instead. Must not know who asks.

use super::ReadError;
use super::error::quote;
use super::explain::{not_a_number, wrong_unit};
use super::kind::{Kind, Range};

/// No part on a bench has a value beyond these, whatever its unit; the solver could do nothing with one that had.
const LARGEST: f64 = 1e15;
const SMALLEST: f64 = 1e-18;
/// Absolute zero in degrees Celsius (International System of Units, definition of the degree Celsius).
const ABSOLUTE_ZERO: f64 = -273.15;

/// Reads a quantity of the wanted kind; which signs are allowed follows from the kind ([`Kind::usual_range`]).
///
/// # Errors
/// What is wrong with the text and what to write instead.
pub fn parse(text: &str, kind: Kind) -> Result<f64, ReadError> {
    parse_in(text, kind, kind.usual_range())
}

/// Reads a quantity of whatever kind its unit says; a number without a unit is read as ohms where it is written as one
/// ("4k7"). The value is in the unit that [`Kind`] names.
///
/// # Errors
/// What is wrong, and what to write instead.
pub fn parse_any(text: &str) -> Result<(f64, Kind), ReadError> {
    let found = Kind::ALL.into_iter().find_map(|kind| parse_in(text, kind, Range::Any).ok().map(|value| (value, kind)));
    found.ok_or_else(|| {
        ReadError::new(
            format!("{} is no quantity", super::quote(text)),
            "write a number and a unit, such as \"150 kΩ\" or \"30 mA\"".to_string(),
        )
    })
}

/// Reads a quantity of the wanted kind and range. The value is in the unit that [`Kind`] names.
///
/// # Errors
/// What is wrong with the text and what to write instead.
pub fn parse_in(text: &str, kind: Kind, range: Range) -> Result<f64, ReadError> {
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

/// The power of ten of a whole unit with or without prefix, or `None` when it is no unit of this kind.
pub(super) fn unit_power(text: &str, kind: Kind) -> Option<i32> {
    kind.units().iter().find_map(|unit| {
        let prefix = text.strip_suffix(unit)?;
        if prefix.is_empty() {
            return Some(kind.unit_power());
        }
        kind.prefixes().iter().find(|(word, _)| *word == prefix).map(|(_, power)| *power)
    })
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

/// A number as written, kept as decimal text until the prefix is known.
pub(super) struct Number<'a> {
    pub(super) text: &'a str,
    mantissa: String,
    over: Option<f64>,
    exponent: i32,
}

impl Number<'_> {
    /// One rounding only: from decimal text to `f64`.
    fn times_ten_to(&self, power: i32) -> f64 {
        let exponent = self.exponent + power;
        // The text was checked digit by digit, so this cannot fail; NaN is refused by the caller's size check.
        let decimal = |e: i32| format!("{}e{e}", self.mantissa).parse::<f64>().unwrap_or(f64::NAN);
        match self.over {
            None => decimal(exponent),
            // Keep both halves whole numbers, so that 1/4 mW is one division and one rounding.
            Some(over) if exponent < 0 => decimal(0) / (over * 10f64.powi(-exponent)),
            Some(over) => decimal(exponent) / over,
        }
    }
}

/// Splits a leading number off. `None` when there is none.
pub(super) fn split_number(text: &str) -> Option<(Number<'_>, &str)> {
    let (negative, body) = match text.chars().next()? {
        '+' => (false, &text[1..]),
        c @ ('-' | '\u{2212}') => (true, &text[c.len_utf8()..]),
        _ => (false, text),
    };
    let digits = |s: &str| s.bytes().take_while(u8::is_ascii_digit).count();
    let whole = digits(body);
    let mut end = whole;
    if body[end..].starts_with('.') {
        end += 1 + digits(&body[end + 1..]);
    }
    if end == 0 || body[..end] == *"." {
        return None;
    }
    let sign = if negative { "-" } else { "" };
    let skipped = text.len() - body.len();
    let number = |end: usize, over, exponent| Number {
        text: &text[..skipped + end],
        mantissa: format!("{sign}{}", &body[..end]),
        over,
        exponent,
    };
    // `1/4 W`: whole numbers only.
    if end == whole && body[end..].starts_with('/') {
        let below = digits(&body[end + 1..]);
        let over = body[end + 1..end + 1 + below].parse::<f64>().ok().filter(|n| *n > 0.0)?;
        let mut fraction = number(end, Some(over), 0);
        fraction.text = &text[..skipped + end + 1 + below];
        return Some((fraction, &body[end + 1 + below..]));
    }
    let mantissa_end = end;
    let mut exponent = 0;
    if let Some(after) = body[end..].strip_prefix(['e', 'E']) {
        let signs = usize::from(after.starts_with(['+', '-']));
        let count = digits(&after[signs..]);
        if count > 0 {
            // Clamped far outside what `f64` holds: the size check then says "too large" or "too small".
            let size = after[signs..signs + count].parse::<i32>().unwrap_or(100_000).min(100_000);
            exponent = if after.starts_with('-') { -size } else { size };
            end += 1 + signs + count;
        }
    }
    let mut found = number(mantissa_end, None, exponent);
    found.text = &text[..skipped + end];
    Some((found, &body[end..]))
}
