//! What is tried: supply level × orientation of the plug × switch positions × outlet loads × faults × tolerance corner,
//! for ever or for a moment. Values only; the words for them are `wording`'s.

use crate::finding::Situation;
use crate::jig::{Jig, NetId};
use crate::part::Item;

#[cfg(test)]
pub(crate) use crate::standard::LEVELS;
pub(crate) use crate::standard::Level;

/// Orientation of the plug: which of its pins is live.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Orientation {
    /// L is live, N earthed at the source.
    AsWired,
    /// N is live, L earthed at the source.
    Reversed,
    /// Both pins are live (line to line).
    BothLive,
}

/// One thing that has failed.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) enum Fault {
    /// A branch of a part is open; index into the model's items.
    Open(usize),
    /// A branch of a part is bridged; index into the model's items.
    Short(usize),
    /// A conductor of the supply is open.
    ConductorOpen(Conductor),
    /// Insulation has broken down between two nets.
    Breakdown(NetId, NetId),
    /// Insulation between two windings has broken down: an end of the one (its item, 0 or 1) touches an end of the other.
    WindingsJoined(WindingEnd, WindingEnd),
    /// A switch contact stays closed; item.
    Welded(usize),
}

/// An end of a winding: the winding's item, and 0 or 1 for which of its ends.
pub(crate) type WindingEnd = (usize, usize);

/// A conductor of the supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs)]
pub(crate) enum Conductor {
    L,
    N,
    Pe,
}

/// A value at the upper end of its tolerance; what lies inside is counted in hundredths of the tolerance.
pub(crate) const END: i8 = 100;

/// What is special about a condition in time.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Moment {
    /// Nothing: it goes on for ever.
    Steady,
    /// Switched on at an angle of the mains.
    SwitchedOn {
        /// Degrees after the rising zero.
        degrees: f64,
        /// What it comes from.
        from: SwitchedFrom,
    },
    /// The plug pulled at an angle of the mains.
    Unplugged {
        /// Degrees after the rising zero; `None` before the worst angle is known.
        degrees: Option<f64>,
        /// A switch that is moved at once.
        moved: Option<Moved>,
    },
    /// A charged thing put on.
    PutOn {
        /// Volts it is charged to.
        volts: f64,
        /// Which way round.
        polarity: Polarity,
    },
    /// A glow lamp still dark; index of its item.
    BeforeStrikes(usize),
    /// A hand on a touchable; its index.
    Touched(usize),
    /// A hand on a terminal of an outlet; its index.
    OutletTouched(usize),
    /// Protective devices have opened, one after another; their indices in the model, at least one.
    After(Vec<usize>),
}

/// A switch that is moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Moved {
    /// Which, in the order of the file.
    pub switch: usize,
    /// To which position.
    pub to: usize,
}

/// What a tool is switched on from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum SwitchedFrom {
    /// Rest: everything cold and empty.
    Rest,
    /// The same, with iron at the flux that was left in it, the way in which the mains drives it further.
    Magnetised,
    /// A moment off: inrush limiters still hot, capacitors empty.
    Hot,
    /// A moment off: inrush limiters still hot, capacitors charged as they were left.
    Charged,
}

/// Which way round a charged thing is put on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Polarity {
    /// As the file states it.
    Stated,
    /// The other way round.
    Reversed,
}

/// One condition.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Condition {
    /// Supply level.
    pub level: Level,
    /// Orientation of the plug.
    pub orientation: Orientation,
    /// Position of each switch: for poles 0 = on, 1 = off; for positions the index.
    pub switches: Vec<usize>,
    /// Load of each outlet.
    pub loads: Vec<usize>,
    /// Faults, none for the normal condition.
    pub faults: Vec<Fault>,
    /// Where each toleranced value lies in its tolerance: 0 as stated, [`END`] at its upper, -[`END`] at its lower end.
    /// Empty: all as stated.
    pub corner: Vec<i8>,
    /// What is special about it in time.
    pub moment: Moment,
}

impl Condition {
    /// Whether this is exactly the nominal condition the `nominal` column shows.
    pub(crate) fn is_plain(&self) -> bool {
        self.faults.is_empty() && self.corner.iter().all(|c| *c == 0) && self.is_steady()
    }

    /// Whether it goes on for ever, with every protective device whole.
    pub(crate) fn is_steady(&self) -> bool {
        self.moment == Moment::Steady
    }

    /// The kind a value found in it counts as while it lasts.
    pub(crate) fn kind(&self) -> Situation {
        if self.faults.is_empty() { Situation::Normal } else { Situation::SingleFault }
    }
}

/// Short name of a fault for `--only`: `R1-short`, `SW1.1-welded`, `L-open`, `insulation-a-b`.
pub(crate) fn fault_id(jig: &Jig, items: &[Item], f: &Fault) -> String {
    let name = |k: usize| items.get(k).map_or("?", |i| i.name.as_str());
    let net = |k: usize| jig.nets.get(k).map_or("?", |n| n.name.as_str());
    match f {
        Fault::Open(k) => format!("{}-open", name(*k)),
        Fault::Short(k) => format!("{}-short", name(*k)),
        Fault::ConductorOpen(Conductor::L) => "L-open".into(),
        Fault::ConductorOpen(Conductor::N) => "N-open".into(),
        Fault::ConductorOpen(Conductor::Pe) => "PE-open".into(),
        Fault::Breakdown(a, b) => format!("insulation-{}-{}", net(*a), net(*b)),
        Fault::WindingsJoined(a, b) => {
            let end = |(item, end): WindingEnd| items.get(item).map_or("?", |i| net(i.ends[end]));
            format!("windings-{}-{}-{}-{}", name(a.0), name(b.0), end(*a), end(*b))
        }
        Fault::Welded(k) => format!("{}-welded", name(*k)),
    }
}
