//! Facts of off-not-dead.

use super::Amount;

/// What stays live though it is switched off.
#[derive(Debug, Clone, PartialEq)]
pub enum OffNotDead {
    /// Through a lamp or a capacitor past an open contact.
    Past(LivePast),
    /// A relay that holds itself, and nothing releases it.
    Holds {
        /// The contacts.
        relay: String,
        /// Their coil.
        coil: String,
        /// The switches that make it pull in.
        switches: Vec<String>,
    },
}

/// What stays live behind a switch that is off.
#[derive(Debug, Clone, PartialEq)]
pub struct LivePast {
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
