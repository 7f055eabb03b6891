//! What is noted of a condition: a worst value, a touch, charge left, a pulse, a lamp.

use std::cmp::Ordering;

use super::gravest::{Graded, Gravest, Ordinal};
use crate::finding::Situation;
use crate::jig::NetId;
use crate::standard::discharge::{PinRule, plug_pin_rules};
use crate::standard::residual::RcdKind;

/// The worst value of one quantity.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Worst {
    /// Its value.
    pub value: f64,
    /// The condition.
    pub at: Ordinal,
}

impl Graded for Worst {
    fn grade(&self) -> [f64; 2] {
        [self.value, 0.0]
    }

    fn at(&self) -> Ordinal {
        self.at
    }
}

/// The heat of the box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Hot {
    /// Watts, and where.
    pub worst: Worst,
    /// The part that gives half of them or more.
    pub part: Option<usize>,
    /// The part of the final warming that is reached before a device ends it: 1 where none does.
    pub share: f64,
}

impl Graded for Hot {
    fn grade(&self) -> [f64; 2] {
        [self.worst.value * self.share, 0.0]
    }

    fn at(&self) -> Ordinal {
        self.worst.at
    }
}

/// A current to earth that the residual-current device does not see.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Unseen {
    /// Amperes r.m.s., and where.
    pub worst: Worst,
    /// The lowest type that sees it.
    pub by: RcdKind,
}

impl Graded for Unseen {
    fn grade(&self) -> [f64; 2] {
        self.worst.grade()
    }

    fn at(&self) -> Ordinal {
        self.worst.at
    }
}

/// The least value of something.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Least(pub Worst);

impl Graded for Least {
    fn grade(&self) -> [f64; 2] {
        [-self.0.value, 0.0]
    }

    fn at(&self) -> Ordinal {
        self.0.at
    }
}

/// What a hand is on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum TouchTarget {
    /// One touchable, the other hand on earth; its index.
    One(usize),
    /// Two touchables; index of the pair in the model.
    Pair(usize),
}

/// Worst touch of one touchable (or pair).
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TouchWorst {
    /// Open-circuit volts r.m.s.
    pub voltage_rms: f64,
    /// Open-circuit volts peak.
    pub voltage_peak: f64,
    /// Open-circuit volts mean.
    pub voltage_dc: f64,
    /// Amperes r.m.s. as the body network is read: weighted by frequency.
    pub current_rms: f64,
    /// Amperes peak, weighted.
    pub current_peak: f64,
    /// Amperes mean.
    pub current_dc: f64,
    /// Amperes r.m.s. and peak through the body network, not weighted.
    pub unweighted: [f64; 2],
    /// How far both voltage and current are beyond their limits (above 1: hazardous).
    pub hazard: f64,
    /// Condition.
    pub at: Ordinal,
}

impl Graded for TouchWorst {
    fn grade(&self) -> [f64; 2] {
        [self.hazard, self.voltage_peak]
    }

    fn at(&self) -> Ordinal {
        self.at
    }

    fn order(&self, other: &TouchWorst) -> Ordering {
        let rest = |t: &TouchWorst| [t.voltage_rms, t.current_rms, t.current_peak, t.voltage_dc, t.current_dc];
        let pairs = rest(self).into_iter().zip(rest(other));
        pairs.map(|(a, b)| b.total_cmp(&a)).find(|o| o.is_ne()).unwrap_or(Ordering::Equal)
    }
}

/// One of two sides between which charge is left.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum ChargeSide {
    /// The pin of the plug that is wired to L.
    PinL,
    /// The pin of the plug that is wired to N.
    PinN,
    /// A touchable; its index.
    Touchable(usize),
    /// Earth.
    Earth,
    /// A net.
    Net(NetId),
}

/// Charge left between two sides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Left {
    /// The two sides.
    pub between: [ChargeSide; 2],
    /// Seconds after.
    pub seconds: f64,
    /// Volts then.
    pub volts: f64,
    /// Capacitance still charged, farads.
    pub farads: f64,
    /// Condition.
    pub at: Ordinal,
    /// Situation of condition it was charged in.
    pub kind: Situation,
    /// Whether `seconds` is what a discharge took, rather than a time at which was looked.
    pub took: bool,
    /// The item that holds it.
    pub holder: Option<usize>,
}

impl Left {
    /// Nothing yet, in a condition of a kind.
    pub(super) fn none(at: Ordinal, kind: Situation) -> Left {
        let between = [ChargeSide::PinL, ChargeSide::PinN];
        Left { between, seconds: 0.0, volts: 0.0, farads: 0.0, at, kind, took: false, holder: None }
    }

    /// Whether it is between the two pins of the plug.
    pub(crate) fn is_of_pins(&self) -> bool {
        self.between == [ChargeSide::PinL, ChargeSide::PinN]
    }

    /// Which of the published rules it breaks that ask at this time (or at once, where nothing was waited for).
    pub(crate) fn breaks(&self) -> [bool; 2] {
        let now = |rule: &PinRule| (self.seconds - rule.after_s).abs() < SAME_TIME || self.seconds == 0.0;
        plug_pin_rules().map(|rule| !self.took && now(&rule) && rule.broken(self.volts, self.farads))
    }
}

/// Seconds within which two times are one.
const SAME_TIME: f64 = 1e-9;

impl Graded for Left {
    fn grade(&self) -> [f64; 2] {
        [self.seconds, self.volts]
    }

    fn at(&self) -> Ordinal {
        self.at
    }
}

/// A pulse through an item.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Pulse {
    /// Energy, joules.
    pub energy: f64,
    /// Highest power, watts.
    pub peak: f64,
    /// Integral of the squared current, A² s.
    pub i2t: f64,
    /// Seconds it was followed.
    pub seconds: f64,
    /// Condition.
    pub at: Ordinal,
}

impl Graded for Pulse {
    fn grade(&self) -> [f64; 2] {
        [self.energy, 0.0]
    }

    fn at(&self) -> Ordinal {
        self.at
    }
}

/// A current that a contact makes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Made {
    /// Integral of the squared current, A² s.
    pub i2t: f64,
    /// Highest amperes.
    pub peak: f64,
    /// Condition.
    pub at: Ordinal,
}

impl Graded for Made {
    fn grade(&self) -> [f64; 2] {
        [self.i2t, self.peak]
    }

    fn at(&self) -> Ordinal {
        self.at
    }
}

/// When a lamp is lit at nominal supply.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Light {
    /// Flashes a second.
    pub flashes_per_second: f64,
    /// Lit part of the cycle.
    pub lit_fraction: f64,
    /// Angles at which it strikes, degrees.
    pub on_deg: Vec<f64>,
    /// Angles at which it goes out, degrees.
    pub off_deg: Vec<f64>,
}

/// How a lamp behaves.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Lamp {
    /// Item.
    pub item: usize,
    /// Crest of the voltage across the dark lamp at low supply over the strike volts of the worst lamp.
    pub margin: Gravest<Least>,
    /// When it is lit; `None` where the nominal condition was not solved.
    pub light: Option<Light>,
}

impl Lamp {
    /// The least strike margin, and where.
    pub(crate) fn strike_margin(&self) -> Option<Worst> {
        self.margin.copied().map(|least| least.0)
    }
}
