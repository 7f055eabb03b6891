//! Facts as plain values, as a plugin sees them. Knows no Lua.

use std::borrow::Cow;

/// One fact.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Fact<'a> {
    /// A number, SI base unit.
    Number(f64),
    /// A word or text.
    Text(Cow<'a, str>),
    /// Yes or no.
    Flag(bool),
    /// A list.
    List(Vec<Fact<'a>>),
    /// Facts of its own.
    Row(Facts<'a>),
}

/// Facts by key, snake_case.
pub(crate) type Facts<'a> = Vec<(Cow<'a, str>, Fact<'a>)>;
