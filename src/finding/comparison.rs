//! What changed between two jigs, as facts. Keys follow the JSON of `compare`.

use super::{Finding, Quantity, Situation, Verdict};
use serde::Serialize;

/// Two jigs beside each other.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// The old one.
    pub old: OneOfTwo,
    /// The new one.
    pub new: OneOfTwo,
    /// What is written differently.
    pub changes: Vec<Changed>,
    /// Findings that only the old one has.
    pub gone: Vec<Finding>,
    /// Findings that only the new one has.
    pub come: Vec<Finding>,
    /// Values that moved against their limit, the nearest of the new first.
    pub moved: Vec<Moved>,
}

/// One of the two.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OneOfTwo {
    /// File as named on the command line.
    pub file: String,
    /// Its verdict.
    pub verdict: Verdict,
    /// Whether everything that was to be tried was tried.
    pub complete: bool,
}

/// One thing that is written differently.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Changed {
    /// The part or section.
    pub what: String,
    /// Its key; empty where the whole of it is new or gone.
    pub key: String,
    /// What stood there.
    pub from: Option<String>,
    /// What stands there now.
    pub to: Option<String>,
}

/// A value that is nearer to its limit or farther from it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Moved {
    /// Part.
    pub part: String,
    /// What the value is of.
    pub quantity: Quantity,
    /// Situation of condition.
    pub kind: Situation,
    /// Share of its rating it took: 1 is the whole.
    pub used_before: f64,
    /// Share it takes now.
    pub used_now: f64,
}
