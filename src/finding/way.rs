//! A way to cure a finding, as facts: what is to be fitted where. `wording` makes the order of it that a person follows.

use super::said::Amount;
use crate::standard::CapClass;

/// What is to be done.
#[derive(Debug, Clone, PartialEq)]
pub enum Way {
    /// Parts of other values.
    Values(Vec<(Amount, String)>),
    /// A resistor of another size.
    Resistor {
        /// Rated watts.
        watts: f64,
        /// Limiting volts, where the part states any.
        volts: Option<f64>,
        /// The part.
        part: String,
    },
    /// A resistor of more watts, for pulses.
    PulseResistor {
        /// Rated watts.
        watts: f64,
        /// The part.
        part: String,
    },
    /// Resistors, alone or in series in the place of one.
    Resistors(Vec<ResistorString>),
    /// Two resistors side by side across a capacitor.
    Bleeders {
        /// What they are.
        each: Fitted,
        /// The capacitor.
        across: String,
    },
    /// A capacitor of more volts.
    Capacitor {
        /// Its class.
        class: Option<CapClass>,
        /// Rated volts.
        volts: Amount,
        /// The part.
        part: String,
    },
    /// An X2 capacitor.
    X2 {
        /// Rated volts a.c.
        volts: Amount,
        /// The part.
        part: String,
    },
    /// A thicker wire.
    Wire {
        /// Its area.
        area: Amount,
        /// The part.
        part: String,
    },
    /// A thicker cord.
    Cord {
        /// Its area.
        area: Amount,
    },
    /// A part of the same kind of another rating.
    Rated {
        /// The kind.
        kind: &'static str,
        /// The rating.
        rating: Amount,
        /// The part.
        part: String,
    },
    /// Fuses of another rating.
    Fuses {
        /// Whether they are to be slow.
        slow: bool,
        /// Their rating.
        rating: Amount,
        /// Their names.
        fuses: Vec<String>,
    },
    /// A fuse of high breaking capacity.
    FuseBreaking {
        /// Amperes it breaks.
        amperes: f64,
        /// Whether the standard has one of its rating as quick-acting alone.
        quick_only: bool,
        /// The part.
        part: String,
    },
    /// A diode the other way round across an LED.
    DiodeAcross {
        /// Type of the diode.
        diode: String,
        /// The LED.
        led: String,
    },
    /// A stronger diode or bridge.
    Rectifier {
        /// The kind.
        kind: &'static str,
        /// Peak reverse volts.
        volts: Amount,
        /// Mean amperes.
        amperes: Amount,
        /// The part.
        part: String,
    },
    /// Ratings that are to be read off a part.
    ReadOff {
        /// What is missing, and what it must be at least.
        ratings: Vec<(&'static str, Rating)>,
        /// The part.
        part: String,
    },
}

/// What stands in the place of one resistor.
#[derive(Debug, Clone, PartialEq)]
pub struct ResistorString {
    /// What it is made of; one: it stays alone.
    pub each: Vec<Fitted>,
    /// The resistor.
    pub part: String,
}

/// A resistor as it is to be fitted.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// Ohms.
    pub ohms: f64,
    /// Rated watts.
    pub watts: Option<f64>,
    /// Limiting volts.
    pub volts: Option<f64>,
}

/// A rating that a part must have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Rating {
    /// Watts of a resistor.
    Watts(f64),
    /// Volts.
    Volts(f64),
    /// Amperes.
    Amperes(f64),
    /// Amperes that a fuse breaks.
    Breaking(f64),
}

/// What was tried, and cures a finding without bringing another.
#[derive(Debug, Clone, PartialEq)]
pub struct Cure {
    /// The ways that were taken for it.
    pub ways: Vec<Way>,
    /// Whether they cure it without what was tried for other findings.
    pub alone: bool,
}
