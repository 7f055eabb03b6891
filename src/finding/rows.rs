//! A list of what a jig file may name, as facts. Keys follow the JSON of `tables`.

use serde::Serialize;

/// A list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Rows {
    /// What it lists, as it is asked for.
    pub table: String,
    /// What it is for, one sentence.
    pub about: String,
    /// Heads of the columns.
    pub columns: Vec<&'static str>,
    /// Its rows, a cell a column.
    pub rows: Vec<Vec<String>>,
}
