//! What a mending changed in a jig and what it had to leave. Facts only.

use super::CheckName;
use serde::Serialize;

/// One change of the jig file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Mend {
    /// The part, or `supply`.
    pub part: String,
    /// The key; `part` where a whole part is new.
    pub key: String,
    /// What stood there; `None` where nothing did.
    pub from: Option<String>,
    /// What stands there now.
    pub to: String,
    /// The checks whose findings it cured.
    pub checks: Vec<CheckName>,
}

/// A finding that is still there.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LeftOver {
    /// The check.
    pub check: CheckName,
    /// Parts it is about.
    pub parts: Vec<String>,
    /// Why no number cured it.
    pub why: String,
}

/// What was changed and what was not.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Mending {
    /// The file that was written; `None` where there was nothing to change, so that none was.
    pub file: Option<String>,
    /// The changes.
    pub changes: Vec<Mend>,
    /// The findings that are left in the changed jig, gravest first.
    pub left: Vec<LeftOver>,
}
