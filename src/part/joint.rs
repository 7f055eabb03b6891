//! How a part joins nets, without solving. Knows no finding.

use crate::format::Ends;

/// What joins two nets.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Link {
    /// A wire.
    Wire,
    /// A fuse, rated amperes.
    Fuse(f64),
    /// A thermal fuse: it opens by heat, so it is no fuse to a short circuit.
    ThermalFuse,
    /// A contact of a switch: whether it is closed in each position.
    Contact(Vec<bool>),
    /// A resistor: the one thing that limits a current for certain, ohms.
    Resistor(f64),
    /// A capacitor.
    Capacitor {
        /// Whether it is built not to fail short (class Y).
        safety: bool,
        /// D.c. volts it may be charged to before it is put on, where it is there to be discharged.
        charged: Option<f64>,
    },
    /// A diode: conducts without limiting, in one direction.
    Diode,
    /// An LED, glow lamp, suppressor or varistor: conducts without limiting, once it has its volts.
    Threshold,
    /// One arm of a bridge.
    Arm {
        /// Whether it conducts while the first a.c. terminal is the positive one; else while the second is.
        first: bool,
    },
    /// A coil, lamp, thermistor or load: limits the current as long as it is whole.
    Impedance {
        /// Ohms to a direct current that has warmed nothing yet, where the file gives them.
        cold: Option<f64>,
    },
    /// A winding of a transformer.
    Winding {
        /// Its name in reports.
        name: String,
        /// Whether it gives what another winding takes.
        secondary: bool,
        /// Rated volts r.m.s.
        volts: f64,
    },
    /// One side of a module.
    Module {
        /// Whether it is the side that gives.
        output: bool,
        /// D.c. volts it gives, where they are stated.
        volts: Option<f64>,
    },
}

impl Link {
    /// Whether it joins without limiting the current at all: wire, fuse or contact.
    pub(crate) fn is_hard(&self) -> bool {
        matches!(self, Link::Wire | Link::Fuse(_) | Link::ThermalFuse | Link::Contact(_))
    }

    /// Whether it is a capacitor that is built not to fail short.
    pub(crate) fn is_safety_capacitor(&self) -> bool {
        matches!(self, Link::Capacitor { safety: true, .. })
    }
}

/// Volts that stand between two nets by what joins them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Given {
    /// Alternating, volts r.m.s.
    Ac(f64),
    /// Direct.
    Dc(f64),
}

impl Link {
    /// The volts it puts between its two nets by itself, where it does.
    pub(crate) fn gives(&self) -> Option<Given> {
        match self {
            Link::Winding { secondary, volts, .. } => secondary.then_some(Given::Ac(*volts)),
            Link::Module { output, volts } => volts.filter(|_| *output).map(Given::Dc),
            Link::Capacitor { charged, .. } => charged.map(Given::Dc),
            Link::Wire
            | Link::Fuse(_)
            | Link::ThermalFuse
            | Link::Contact(_)
            | Link::Resistor(_)
            | Link::Diode
            | Link::Threshold
            | Link::Arm { .. }
            | Link::Impedance { .. } => None,
        }
    }
}

/// Two nets joined by a part.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Joint {
    /// The two nets.
    pub ends: Ends,
    /// What joins them.
    pub link: Link,
}

/// The one joint of a part with two ends.
pub(super) fn one(ends: Ends, link: Link) -> Vec<Joint> {
    vec![Joint { ends, link }]
}
