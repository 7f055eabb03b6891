//! What the reader of a jig file looks up, as a trait, so that it can be tested with small tables of its own.

use super::{Mains, Plug, lamp, plug, supply};

/// The tables the reader looks into.
pub trait Tables {
    /// A mains system by its words (`"230 V 50 Hz"`) or by its row.
    ///
    /// # Errors
    /// The nearest known names, best first.
    fn supply(&self, text: &str) -> Result<Mains, Vec<String>>;
    /// A plug by its letter (or row); `None` when there is no such plug.
    fn plug(&self, letter: &str) -> Option<Plug>;
    /// A glow lamp by its type.
    ///
    /// # Errors
    /// The nearest known types, best first.
    fn lamp(&self, type_: &str) -> Result<LampRow, Vec<String>>;
}

/// A glow lamp of the lamps table. Volts peak or d.c., amperes r.m.s., ohms.
#[derive(Debug, Clone, PartialEq)]
pub struct LampRow {
    /// Striking volts.
    pub strike: f64,
    /// Striking volts of the worst lamp of the type.
    pub strike_max: f64,
    /// Maintaining volts.
    pub maintain: f64,
    /// Design current.
    pub current: f64,
    /// Highest current, where one is known.
    pub max_current: Option<f64>,
    /// Slope resistance while lit.
    pub slope: Option<f64>,
}

/// The published tables of this program.
pub fn tables() -> &'static dyn Tables {
    &Published
}

struct Published;

impl Tables for Published {
    fn supply(&self, text: &str) -> Result<Mains, Vec<String>> {
        supply(text)
    }

    fn plug(&self, letter: &str) -> Option<Plug> {
        plug(letter)
    }

    fn lamp(&self, type_: &str) -> Result<LampRow, Vec<String>> {
        lamp(type_)
    }
}
