//! How wide a text stands. Fonts differ: every letter is counted as in the widest of the common ones, so that what fits here
//! fits everywhere.

/// Height of the letters, in points of the picture.
pub(crate) const SIZE: f64 = 12.0;

/// Widths of letters over their size, in the widest of the common sans-serif fonts.
const NARROW: f64 = 0.34;
const SLIM: f64 = 0.45;
const USUAL: f64 = 0.65;
const BROAD: f64 = 0.8;
const BROADEST: f64 = 1.0;
/// Bold letters are broader.
const BOLD: f64 = 1.1;

/// Width of a text of [`SIZE`].
pub(crate) fn width(text: &str, bold: bool) -> f64 {
    let sum: f64 = text.chars().map(letter).sum();
    sum * SIZE * if bold { BOLD } else { 1.0 }
}

fn letter(c: char) -> f64 {
    match c {
        'i' | 'j' | 'l' | 'I' | '.' | ',' | ':' | ';' | '\'' | '|' | '!' | ' ' => NARROW,
        'f' | 't' | 'r' | '(' | ')' | '[' | ']' | '-' | '/' | '"' | '*' => SLIM,
        'm' | 'w' | 'M' | 'W' | '%' | '@' | '—' | '…' => BROADEST,
        'A'..='Z' | 'Ω' | '×' | '+' | '=' | '<' | '>' | '#' | '~' | '→' => BROAD,
        c if c.is_ascii() => USUAL,
        // Cyrillic, Greek, accents; ideographs are as wide as they are high.
        c if (c as u32) < FIRST_IDEOGRAPH => BROAD,
        _ => BROADEST,
    }
}

/// Hangul, kana and ideographs begin here.
const FIRST_IDEOGRAPH: u32 = 0x1100;

/// A text cut to a width, with an ellipsis where something was cut off.
pub(crate) fn cut(text: &str, bold: bool, most: f64) -> String {
    if width(text, bold) <= most {
        return text.to_string();
    }
    let mut kept = String::new();
    for c in text.chars() {
        kept.push(c);
        if width(&format!("{kept}…"), bold) > most {
            kept.pop();
            break;
        }
    }
    format!("{}…", kept.trim_end())
}
