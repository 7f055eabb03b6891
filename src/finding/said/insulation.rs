//! Facts of what keeps hands from hazardous circuits: insulation-missing, insulation-too-weak, clearance, creepage, live-pins,
//! opens-by-hand.

use crate::standard::Grade;

/// A circuit that hands must be kept from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum HazardSource {
    /// The mains.
    Mains,
    /// What a winding feeds.
    Winding {
        /// The winding.
        winding: String,
        /// Its transformer.
        part: String,
    },
    /// What a module feeds.
    Output {
        /// The module.
        part: String,
    },
    /// What a charged capacitor feeds.
    Charged {
        /// The capacitor.
        part: String,
    },
    /// What is put on an outlet.
    OnOutlet {
        /// The outlet.
        outlet: String,
    },
}

/// The insulation that a touchable wants.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wanted {
    /// Earthed metal: basic.
    Basic,
    /// Anything else: double or reinforced.
    Double,
}

/// A transformer that alone keeps the mains off something touchable, with insulation that is not stated as double.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WeakBarrier {
    /// The transformer.
    pub part: String,
    /// What is touched.
    pub touchable: String,
}

/// Insulation that nobody stated.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum InsulationMissing {
    /// A metal box of class II that is not among what is listed.
    BoxNotListed,
    /// Between a circuit and something touchable.
    NotStated {
        /// The circuit.
        circuit: HazardSource,
        /// Its nets that no insulation is stated for.
        nets: Vec<String>,
        /// Whether those are all of the mains, which the file has one word for.
        all_of_mains: bool,
        /// What is touched.
        touchable: String,
        /// The net of that.
        net: String,
        /// What it wants.
        wanted: Wanted,
    },
    /// Of a transformer.
    Barrier(WeakBarrier),
    /// Between the primary of a transformer and its screen.
    Screen {
        /// The transformer.
        part: String,
        /// The net of the primary and that of the screen.
        nets: [String; 2],
        /// What is touched and is on the screen's circuit.
        touchable: String,
    },
    /// Of a module.
    Module {
        /// The module.
        part: String,
        /// What is touched, or plugged in, behind it.
        behind: String,
    },
}

/// Insulation of too low a grade.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum InsulationTooWeak {
    /// Between a circuit and something touchable.
    Grade {
        /// The circuit.
        circuit: HazardSource,
        /// What is touched.
        touchable: String,
        /// The grade as stated.
        stated: Grade,
        /// What it wants.
        wanted: Wanted,
    },
    /// Of a transformer.
    Barrier(WeakBarrier),
}

/// A distance between a circuit and something touchable.
#[derive(Debug, Clone, PartialEq)]
pub struct Distance {
    /// The circuit.
    pub circuit: HazardSource,
    /// What is touched.
    pub touchable: String,
    /// Working volts of the circuit.
    pub volts: f64,
    /// What is wrong with it.
    pub what: DistanceFault,
}

/// What is wrong with a distance. Metres.
#[derive(Debug, Clone, PartialEq)]
pub enum DistanceFault {
    /// No table goes so far.
    BeyondTheTable,
    /// It is not stated.
    NotStated {
        /// What is needed.
        least: f64,
    },
    /// It is too small.
    Small {
        /// As stated.
        stated: f64,
        /// What is needed.
        least: f64,
    },
}

/// Live metal within reach.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LivePins {
    /// Pins that stand out.
    Exposed {
        /// The connector.
        part: String,
        /// Its nets that can be live.
        nets: Vec<String>,
    },
    /// Contacts that a finger gets at.
    Open {
        /// The connector.
        part: String,
        /// Its nets that can be live.
        nets: Vec<String>,
    },
    /// Contacts of which the file does not say whether a finger gets at them.
    NotStated {
        /// The connector.
        part: String,
        /// Its nets that can be live.
        nets: Vec<String>,
    },
    /// Metal that is joined to the mains.
    Metal {
        /// What is touched.
        touchable: String,
        /// The pins.
        pins: Vec<String>,
    },
    /// Parts on the mains without a box.
    NoBox {
        /// The parts.
        parts: Vec<String>,
    },
}
