//! Values with units: read what a bench writes, print what a bench reads. Knows nothing of jigs, circuits or limits.
//!
//! Inside the program every value is an `f64` in its SI base unit, with two exceptions which [`Kind`] names:
//! temperatures are in degrees Celsius and fractions are plain numbers (`"5 %"` is `0.05`).
//! Reading is exact: the prefix is folded into the decimal exponent before the text becomes a binary number, so
//! `"0.33 uF"` is the `f64` nearest to 0.33 millionths and `"150 kΩ"` is 150000.0.

mod error;
mod explain;
mod hidden;
mod kind;
mod number;
mod print;
mod read;

pub(crate) use kind::{Kind, Range};
pub(crate) use print::{format, format_apart, format_rated_watts, format_table, format_unit};
pub(crate) use read::{parse, parse_any, parse_in};

pub(crate) use error::{ReadError, quote};
pub(crate) use hidden::{chooses_variant, hidden, looks_blank, one_line};
