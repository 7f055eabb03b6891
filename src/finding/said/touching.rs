//! A hand on something, as facts: what touch-voltage and touch-current have in common.

use super::Amount;

/// What is touched, and what it takes.
#[derive(Debug, Clone, PartialEq)]
pub struct Touching {
    /// The touchable.
    pub on: String,
    /// The other one, for a hand on both; `None`: earth.
    pub to: Option<String>,
    /// What has failed, and what ends it.
    pub fault: TouchFault,
}

/// What has failed when something is touched.
#[derive(Debug, Clone, PartialEq)]
pub enum TouchFault {
    /// Nothing.
    None,
    /// One thing, and a device ends it too late.
    EndedLate {
        /// The device: index in the model.
        by: usize,
        /// Within so long.
        within: Amount,
    },
    /// One thing, and nothing ends it in time.
    NotEnded,
}
