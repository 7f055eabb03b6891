//! The colour code of resistors (IEC 60062): from ohms to bands.

use super::preferred;
use super::unit::decimal;

/// A colour of the code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum Colour {
    /// 0.
    Black,
    /// 1.
    Brown,
    /// 2.
    Red,
    /// 3.
    Orange,
    /// 4.
    Yellow,
    /// 5.
    Green,
    /// 6.
    Blue,
    /// 7.
    Violet,
    /// 8.
    Grey,
    /// 9.
    White,
    /// A tenth as a multiplier.
    Gold,
    /// A hundredth as a multiplier.
    Silver,
    /// A thousandth as a multiplier.
    Pink,
}

impl Colour {
    /// All colours, digits first.
    pub(crate) const ALL: [Colour; 13] = [
        Colour::Black,
        Colour::Brown,
        Colour::Red,
        Colour::Orange,
        Colour::Yellow,
        Colour::Green,
        Colour::Blue,
        Colour::Violet,
        Colour::Grey,
        Colour::White,
        Colour::Gold,
        Colour::Silver,
        Colour::Pink,
    ];

    /// Its name.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Colour::Black => "black",
            Colour::Brown => "brown",
            Colour::Red => "red",
            Colour::Orange => "orange",
            Colour::Yellow => "yellow",
            Colour::Green => "green",
            Colour::Blue => "blue",
            Colour::Violet => "violet",
            Colour::Grey => "grey",
            Colour::White => "white",
            Colour::Gold => "gold",
            Colour::Silver => "silver",
            Colour::Pink => "pink",
        }
    }

    fn row(self) -> Option<&'static preferred::ColourRow> {
        preferred::colour().iter().find(|r| r.colour == self.word())
    }

    fn digit(self) -> Option<u32> {
        self.row()?.digit
    }

    /// Power of ten it stands for as a multiplier.
    fn exponent(self) -> Option<i32> {
        Some(self.row()?.multiplier?.log10().round() as i32)
    }

    fn tolerance(self) -> Option<f64> {
        Some(decimal(self.row()?.tolerance_percent?, -2))
    }
}

/// Bands of a resistor of `ohms` and `tolerance` (a fraction): four for two significant digits (three for 20 %, which
/// has no tolerance band), five where the value needs three digits. `None` when the code cannot say it.
pub(crate) fn bands(ohms: f64, tolerance: f64) -> Option<Vec<Colour>> {
    if !(ohms.is_finite() && ohms > 0.0) {
        return None;
    }
    let fewest = if preferred::is_preferred(ohms, 24) { 2 } else { 3 };
    (fewest..=3).find_map(|digits| bands_of(ohms, tolerance, digits))
}

/// Bands with a given number of significant digits, two or three (1 % parts commonly show three even for E24 values).
pub(crate) fn bands_of(ohms: f64, tolerance: f64, digits: u32) -> Option<Vec<Colour>> {
    // The shortest decimal writing of the number, so that no digit is lost to binary.
    let written = format!("{ohms:e}");
    let (mantissa, exponent) = written.split_once('e')?;
    let exponent: i32 = exponent.parse().ok()?;
    let mut shown: String = mantissa.chars().filter(char::is_ascii_digit).collect();
    if shown.len() > digits as usize {
        return None;
    }
    while shown.len() < digits as usize {
        shown.push('0');
    }
    let multiplier = exponent - (digits as i32 - 1);
    let mut out: Vec<Colour> = Vec::new();
    for c in shown.chars() {
        let digit = c.to_digit(10)?;
        out.push(*Colour::ALL.iter().find(|k| k.digit() == Some(digit))?);
    }
    out.push(*Colour::ALL.iter().find(|k| k.exponent() == Some(multiplier))?);
    let none = preferred::colour().iter().find(|r| r.colour == "none").and_then(|r| r.tolerance_percent);
    if none.is_some_and(|p| same(decimal(p, -2), tolerance)) {
        return Some(out);
    }
    out.push(*Colour::ALL.iter().find(|k| k.tolerance().is_some_and(|t| same(t, tolerance)))?);
    Some(out)
}

/// Difference below which two tolerances (fractions) are one: they differ by the rounding of their division by a hundred,
/// and the finest band of the code is 0.02 %.
const SAME_TOLERANCE: f64 = 1e-9;

fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < SAME_TOLERANCE
}
