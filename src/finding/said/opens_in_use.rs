//! Facts of opens-in-use.

use super::Amount;

/// A protective device that opens although nothing has failed.
#[derive(Debug, Clone, PartialEq)]
pub struct OpensInUse {
    /// Its name within a sentence.
    pub device: String,
    /// Others that would open too.
    pub also: Vec<String>,
    /// The current through it.
    pub current: Amount,
    /// Within so much time.
    pub within: Amount,
    /// What draws the current.
    pub drawn_by: Vec<String>,
    /// Whether it watches the current to earth.
    pub residual: bool,
    /// Whether the mains is as good as shorted: the breaker opens too.
    pub short: bool,
    /// The transformer among what draws it whose windings look swapped.
    pub swapped: Option<String>,
    /// The next rating that would carry the current, of a fuse of the jig.
    pub cure: Option<Amount>,
}
