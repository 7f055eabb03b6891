//! The written form of a quantity: a leading number, kept as decimal text, and the unit behind it.

use super::kind::Kind;

/// A number as written, kept as decimal text until the prefix is known.
pub(super) struct Number<'a> {
    pub(super) text: &'a str,
    mantissa: String,
    over: Option<f64>,
    exponent: i32,
}

impl Number<'_> {
    /// One rounding only: from decimal text to `f64`.
    pub(super) fn times_ten_to(&self, power: i32) -> f64 {
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
