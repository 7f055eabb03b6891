//! What the reader of a jig file looks up, as a trait, so that it can be tested with small tables of its own.

use super::lamp::{LampRow, lamp};
use super::mains::Mains;
use super::plug::{Plug, plug};
use super::supply::supply;

/// The tables the reader looks into.
pub(crate) trait Tables {
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

/// The published tables of this program.
pub(crate) fn tables() -> &'static dyn Tables {
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
