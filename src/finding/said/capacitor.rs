//! Facts of capacitor-voltage and capacitor-class.

use super::Amount;
use crate::finding::{Compared, Under};
use crate::standard::CapClass;

/// Volts across a capacitor.
#[derive(Debug, Clone, PartialEq)]
pub enum CapacitorVoltage {
    /// The wrong way round on a polarised one.
    WrongWay {
        /// The capacitor.
        part: String,
        /// Normal use or a fault.
        under: Under,
        /// The volts.
        volts: Amount,
    },
    /// Above its rating.
    Over {
        /// The capacitor.
        part: String,
        /// Normal use or a fault.
        under: Under,
        /// How the volts are measured.
        quantity: Compared,
        /// The volts.
        volts: Amount,
        /// What it is made for.
        limit: Amount,
        /// What cures it.
        cure: CapacitorCure,
    },
    /// Too much a.c. on one that is rated for d.c.
    OnAc {
        /// The capacitor.
        part: String,
        /// Normal use or a fault.
        under: Under,
        /// The alternating volts.
        volts: Amount,
        /// What it may stand.
        limit: Amount,
        /// Its rated d.c. volts.
        dc: Amount,
        /// Whether its a.c. volts are stated.
        stated: bool,
    },
    /// Volts of a moment.
    Surge {
        /// The capacitor.
        part: String,
        /// The crest.
        volts: Amount,
        /// What it stands for a moment.
        limit: Amount,
        /// The coil that drives it there when it is switched off; `None`: it is switched on.
        coil: Option<String>,
    },
    /// Too much ripple.
    Ripple {
        /// The capacitor.
        part: String,
        /// Normal use or a fault.
        under: Under,
        /// The current.
        current: Amount,
        /// What it is made for.
        limit: Amount,
    },
}

/// More rated volts.
#[derive(Debug, Clone, PartialEq)]
pub enum CapacitorCure {
    /// The next rating of its class.
    OfClass(CapClass, Amount),
    /// A higher rating, which the tables do not name.
    Higher,
    /// At least so many volts.
    AtLeast(Amount),
}

/// The class that the place of a capacitor asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct CapacitorClass {
    /// The capacitor.
    pub part: String,
    /// The class it is stated with.
    pub stated: Option<CapClass>,
    /// Where it lies.
    pub cure: CapacitorPlace,
}

/// Where a capacitor lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CapacitorPlace {
    /// Between the conductors of the supply, straight or in series with something.
    Line,
    /// In series with the winding of a motor.
    Motor,
    /// From the mains to the protective earth.
    Earth,
    /// From the mains to anything else.
    Beyond,
}

impl CapacitorVoltage {
    pub(super) fn same_cure(&self, other: &CapacitorVoltage) -> bool {
        match (self, other) {
            (CapacitorVoltage::WrongWay { .. }, CapacitorVoltage::WrongWay { .. }) => true,
            (CapacitorVoltage::Over { cure: a, .. }, CapacitorVoltage::Over { cure: b, .. }) => a == b,
            (CapacitorVoltage::Surge { coil: None, .. }, CapacitorVoltage::Surge { coil: None, .. }) => true,
            _ => false,
        }
    }
}
