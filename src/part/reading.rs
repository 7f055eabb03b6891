//! What a kind of part may ask for while it is read: published tables, and a place for what is wrong.

use crate::format::Place;
use crate::standard::Tables;

/// What is at hand while a part is read.
pub(crate) struct Reading<'a> {
    /// The published tables.
    pub(crate) tables: &'a dyn Tables,
    /// Takes what is wrong: where, what, and what to write instead.
    pub(crate) wrong: &'a mut dyn FnMut(Place, String, String),
}
