//! Facts of off-not-dead.

use super::Amount;

/// What stays live behind a switch that is off.
#[derive(Debug, Clone, PartialEq)]
pub struct OffNotDead {
    /// The switch.
    pub switch: String,
    /// What leads past it.
    pub through: Vec<String>,
    /// The outlet it leaves live; `None`: what lies behind the main switch.
    pub outlet: Option<String>,
    /// The net that should be dead.
    pub net: String,
    /// What a hand draws from the outlet, where that could be solved.
    pub current: Option<Amount>,
}
