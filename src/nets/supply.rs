//! The pins of the plug: which can be live, which are earthed then, and at how many volts.

use crate::format::{NET_L, NET_N, NET_PE, NetId};
use crate::jig::Jig;
use crate::standard::{Level, rules};

/// Which pins of the plug are live.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Live {
    /// L, for certain.
    Line,
    /// One of the two: the plug leaves open which.
    Either,
    /// Both at once (line to line).
    Both,
}

/// What the nets know of the supply.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Pins {
    live: Option<Live>,
    to_earth: VoltsToEarth,
}

/// Volts r.m.s. of a live pin to earth; 0 without mains.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct VoltsToEarth {
    /// At nominal supply.
    pub nominal: f64,
    /// At the highest supply.
    pub highest: f64,
}

impl Pins {
    pub(super) fn of(jig: &Jig) -> Pins {
        let mains = jig.supply.mains.as_ref();
        let live = mains.map(|mains| match (mains.both_live(), jig.supply.reversible()) {
            (true, _) => Live::Both,
            (false, true) => Live::Either,
            (false, false) => Live::Line,
        });
        let to_earth = mains.map_or_else(VoltsToEarth::default, |m| {
            let nominal = m.to_earth();
            VoltsToEarth { nominal, highest: nominal * m.at(Level::High) / m.nominal }
        });
        Pins { live, to_earth }
    }
}

/// Whether an earth conductor reaches the jig.
pub(crate) fn has_earth(jig: &Jig) -> bool {
    let cores = jig.supply.cord.as_ref().and_then(|c| c.cores);
    let enough = |c: u32| f64::from(c) >= rules::cores_needed(true).value;
    if jig.supply.fixed {
        return cores.is_none_or(enough);
    }
    jig.supply.plug.as_ref().is_some_and(|p| p.earth) && cores.is_some_and(enough)
}

impl super::Nets {
    /// Which pins of the plug are live; `None` without mains.
    pub(crate) fn live(&self) -> Option<Live> {
        self.pins.live
    }

    /// Pins of the plug that can be live, whichever way round it goes in; none without mains.
    pub(crate) fn live_pins(&self) -> &'static [NetId] {
        match self.pins.live {
            None => &[],
            Some(Live::Line) => &[NET_L],
            Some(Live::Either | Live::Both) => &[NET_L, NET_N],
        }
    }

    /// Whether both pins are live at once (line to line).
    pub(crate) fn line_to_line(&self) -> bool {
        self.pins.live == Some(Live::Both)
    }

    /// Pins that are earthed at the source while `live` is live.
    pub(crate) fn earthed_pins(&self, live: NetId) -> Vec<NetId> {
        let other = if live == NET_L { NET_N } else { NET_L };
        if self.line_to_line() { vec![NET_PE] } else { vec![other, NET_PE] }
    }

    /// Volts of a live pin to earth.
    pub(crate) fn volts_to_earth(&self) -> VoltsToEarth {
        self.pins.to_earth
    }
}
