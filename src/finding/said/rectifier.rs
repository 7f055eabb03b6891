//! Facts of diode-reverse, diode-current and diode-surge.

use super::Amount;
use crate::finding::Under;

/// What is wrong with the rating of a rectifier.
#[derive(Debug, Clone, PartialEq)]
pub enum Backward {
    /// It is below what stands there, in normal use or with a fault.
    Over(Under),
    /// It leaves no room for the surges of a mains with this crest.
    NoRoom {
        /// The crest.
        crest: Amount,
    },
}

/// Volts backwards across a rectifier.
#[derive(Debug, Clone, PartialEq)]
pub struct DiodeReverse {
    /// The diode or bridge.
    pub part: String,
    /// What is wrong with its rating.
    pub what: Backward,
    /// The volts it gets, or should be made for.
    pub volts: Amount,
    /// What it is made for.
    pub limit: Amount,
    /// Volts and name of a type that stands them, where there is one.
    pub cure: Option<(Amount, String)>,
}

/// Mean current of a rectifier.
#[derive(Debug, Clone, PartialEq)]
pub struct DiodeCurrent {
    /// The diode or bridge.
    pub part: String,
    /// The current.
    pub current: Amount,
    /// What it is made for.
    pub limit: Amount,
}

/// The surge through a rectifier at switch-on.
#[derive(Debug, Clone, PartialEq)]
pub struct DiodeSurge {
    /// The diode or bridge.
    pub part: String,
    /// When.
    pub when: SurgeWhen,
    /// The peak.
    pub current: Amount,
    /// What it stands once.
    pub limit: Amount,
    /// Ohms in series that bring it there.
    pub cure: Amount,
}

/// When a peak of current comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SurgeWhen {
    /// At switch-on, from rest.
    SwitchedOn,
    /// When it is switched on again after a moment off.
    Again,
    /// While a charged thing that was put on empties.
    Emptying,
}
