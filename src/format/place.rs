//! Where something stands in a jig file.

/// Line and column in the jig file, counted from 1 (columns in characters).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(crate) struct Place {
    /// Line.
    pub line: u32,
    /// Column.
    pub column: u32,
}
