//! Who judges what the format can state of a part, as facts: the matrix of `why`. Field names and order follow its JSON.

use serde::Serialize;

/// One kind of part.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct MatrixPart {
    /// The kind, as the file writes it.
    pub kind: &'static str,
    /// Its keys.
    pub rows: Vec<MatrixRow>,
}

/// One key.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct MatrixRow {
    /// The key, as the file writes it.
    pub key: &'static str,
    /// Whether anything looks at it.
    pub judged: bool,
    /// Every situation, those that are alike together.
    pub cells: Vec<Cell>,
}

/// Situations that are alike for a key.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Cell {
    /// The situations.
    pub situations: Vec<&'static str>,
    /// The checks that judge there.
    pub checks: Vec<&'static str>,
    /// Why none does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub why: Option<&'static str>,
}
