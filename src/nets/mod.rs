//! One answer to every question about nets: what is joined to what and through what, which nets hang on the mains, what
//! limits a current on its way. Built once for a jig, without solving anything. Knows the jig and its parts; must not know
//! circuits, conditions or findings.
//!
//! Every part says which of its nets it joins and how ([`Link`]); the edges of all parts and outlets are one list, and one
//! walk over it ([`Walk`]) answers everything.
// What a kind, a fault or a link is not asked about must be said: a wildcard lets a new one pass in silence.
#![deny(clippy::wildcard_enum_match_arm)]

mod divider;
mod edge;
mod limit;
mod set;
mod standing;
mod supply;
mod walk;

use crate::format::{NET_L, NET_N, NET_PE, NetId};
use crate::jig::{Jig, PartKind};
use crate::part::Link;

pub(crate) use divider::{Divider, MOST_DIVIDED};
pub(crate) use edge::{Edge, Owner};
pub(crate) use limit::Limitless;
pub(crate) use set::NetSet;
pub(crate) use supply::{Live, has_earth};
pub(crate) use walk::{Groups, Pass, Walk};

/// The nets of a jig and what joins them.
#[derive(Debug, Clone)]
pub(crate) struct Nets {
    edges: Vec<Edge>,
    /// Numbers of the edges that end on each net.
    at: Vec<Vec<usize>>,
    /// The parts that are switches, in the order of the file.
    switches: Vec<usize>,
    pins: supply::Pins,
    has_mains: bool,
    earth: NetSet,
    on_mains: NetSet,
    hazardous_live: NetSet,
}

impl Nets {
    /// Reads the nets of a jig.
    pub(crate) fn of(jig: &Jig) -> Nets {
        let edges = edges(jig);
        let mut at = vec![vec![]; jig.nets.len()];
        for (k, edge) in edges.iter().enumerate() {
            edge.ends.iter().for_each(|net| at[*net].push(k));
        }
        let is_switch = |k: &usize| matches!(jig.parts[*k].kind, PartKind::Switch(_));
        let none = NetSet::none(jig.nets.len());
        let mut nets = Nets {
            edges,
            at,
            switches: (0..jig.parts.len()).filter(is_switch).collect(),
            pins: supply::Pins::of(jig),
            has_mains: jig.supply.mains.is_some(),
            earth: none.clone(),
            on_mains: none.clone(),
            hazardous_live: none,
        };
        nets.earth = nets.wired(NET_PE);
        if nets.has_mains {
            nets.on_mains = nets.conducted(has_earth(jig));
            nets.hazardous_live = nets.fed();
        }
        nets
    }

    /// How many nets there are.
    pub(crate) fn count(&self) -> usize {
        self.at.len()
    }

    /// Every edge: those of the parts in the order of the file, then those of the outlets.
    pub(crate) fn edges(&self) -> &[Edge] {
        &self.edges
    }

    /// The edges that end on a net.
    pub(crate) fn edges_at(&self, net: NetId) -> impl Iterator<Item = &Edge> {
        self.at[net].iter().map(|k| &self.edges[*k])
    }

    /// A walk from some nets through the edges that pass.
    pub(crate) fn walk<'n>(&'n self, from: &'n [NetId], pass: Pass<'n>) -> Walk<'n> {
        Walk::new(self, from, pass)
    }

    /// Nets in groups that the edges which pass make one.
    pub(crate) fn groups(&self, pass: Pass) -> Groups {
        Groups::new(self, pass)
    }

    /// Whether an edge conducts while the switches stand so: position of each, in the order of the file. Only an open
    /// contact does not.
    pub(crate) fn is_closed(&self, edge: &Edge, positions: &[usize]) -> bool {
        let Link::Contact(closed) = &edge.link else { return true };
        let switch = edge.part().and_then(|part| self.switches.iter().position(|k| *k == part));
        let position = switch.and_then(|k| positions.get(k)).copied().unwrap_or(0);
        closed.get(position).copied().unwrap_or(false)
    }

    /// Nets joined to `net` by wires alone.
    pub(crate) fn wired(&self, net: NetId) -> NetSet {
        self.walk(&[net], &|edge| edge.link == Link::Wire).reached()
    }

    /// Nets that wires alone join to PE.
    pub(crate) fn earth(&self) -> &NetSet {
        &self.earth
    }

    /// Whether the jig hangs on the mains at all.
    pub(crate) fn has_mains(&self) -> bool {
        self.has_mains
    }

    /// Nets conductively joined to L or N in some switch position ("mains"): through anything but a transformer, the
    /// barrier of a module or a capacitor, and not through the earth conductor.
    pub(crate) fn on_mains(&self) -> &NetSet {
        &self.on_mains
    }

    fn conducted(&self, earthed: bool) -> NetSet {
        // What hangs on the earth conductor is earthed, not mains: the walk goes round it and all that is wired to it.
        // Without a conductor that metal is earthed by name only, and leads on what reaches it.
        let earth = NetSet::of(self.count(), |net| net == NET_PE || (earthed && self.earth.has(net)));
        let conducts = |edge: &Edge| !matches!(edge.link, Link::Capacitor { .. });
        self.walk(&[NET_L, NET_N], &conducts).round(&earth).reached()
    }

    /// Nets the mains can put more than a harmless current on: everything joined to L or N through anything but a
    /// barrier, a class Y capacitor, the earth conductor or protective impedance.
    pub(crate) fn hazardous_live(&self) -> &NetSet {
        &self.hazardous_live
    }

    fn fed(&self) -> NetSet {
        let pass = |edge: &Edge| !edge.link.is_safety_capacitor();
        let from = [NET_L, NET_N];
        let walk = self.walk(&from, &pass).round(&self.earth);
        let (joined, resistance) = (walk.reached(), walk.resistance());
        let volts = self.volts_to_earth().highest;
        NetSet::of(self.count(), |net| joined.has(net) && !self.earth.has(net) && !resistance[net].is_harmless(volts))
    }

    /// Nets of one circuit with `net`: joined through anything but a class Y capacitor or the earth.
    pub(crate) fn circuit(&self, net: NetId) -> NetSet {
        let pass = |edge: &Edge| !edge.link.is_safety_capacitor();
        self.walk(&[net], &pass).round(&self.earth).reached()
    }

    /// Whether a current can flow through an edge, from pin to pin: its two ends hang on different pins when it is taken
    /// out.
    pub(crate) fn closes_a_loop(&self, through: &Edge, pass: Pass) -> bool {
        let others = |edge: &Edge| pass(edge) && !std::ptr::eq(edge, through);
        let from = |pin: NetId| self.walk(&[pin], &others).ending_at(&self.earth).reached();
        let (l, n) = (from(NET_L), from(NET_N));
        let [a, b] = through.ends;
        (l.has(a) && n.has(b)) || (l.has(b) && n.has(a))
    }

    /// Whether a source drives a current through an edge: its two ends hang on different poles of one when it is taken out. A
    /// way that begins and ends at the same pole, such as a pilot lamp across a fuse, carries none.
    pub(crate) fn is_fed(&self, through: &Edge, pass: Pass) -> bool {
        let others = |edge: &Edge| pass(edge) && !std::ptr::eq(edge, through);
        let hard = self.groups(&|edge: &Edge| edge.is_hard() && others(edge));
        let earth = self.has_mains.then_some([[NET_L, NET_PE], [NET_N, NET_PE]]).into_iter().flatten();
        self.sources().into_iter().chain(earth).any(|[one, other]| {
            // Poles that are joined already tell nothing apart.
            if hard.same(one, other) {
                return self.closes_a_loop(through, pass);
            }
            let at = |pole| NetSet::of(self.count(), |net| hard.same(net, pole));
            let (one, other) = (at(one), at(other));
            let poles = one.or(&other);
            let meets = |end: NetId, pole: &NetSet| {
                let from = [end];
                // A walk that starts on a pole goes no further either.
                if poles.has(end) {
                    pole.has(end)
                } else {
                    self.walk(&from, &others).ending_at(&poles).reached().meets(pole)
                }
            };
            let [a, b] = through.ends;
            (meets(a, &one) && meets(b, &other)) || (meets(a, &other) && meets(b, &one))
        })
    }

    /// The last net of a pole before anything but a wire or a fuse: where a further fuse or contact belongs.
    pub(crate) fn pole_end(&self, pin: NetId) -> NetId {
        let mut at = pin;
        let mut seen = vec![pin];
        let in_pole = |edge: &Edge| matches!(edge.link, Link::Wire | Link::Fuse(_));
        while let Some(next) = self
            .edges
            .iter()
            .filter(|edge| in_pole(edge))
            .find_map(|edge| edge.other(at).filter(|net| !seen.contains(net)))
        {
            seen.push(next);
            at = next;
        }
        at
    }
}

/// Every edge of a jig. What may be plugged into an outlet joins its terminals.
fn edges(jig: &Jig) -> Vec<Edge> {
    let joints = |(k, part): (usize, &crate::jig::Part)| {
        let edge = move |joint: crate::part::Joint| Edge { ends: joint.ends, link: joint.link, owner: Owner::Part(k) };
        part.kind.joints().into_iter().map(edge)
    };
    let plugged = |(k, outlet): (usize, &crate::jig::Outlet)| Edge {
        ends: outlet.across,
        link: Link::Impedance { cold: None },
        owner: Owner::Outlet(k),
    };
    let parts = jig.parts.iter().enumerate().flat_map(joints);
    parts.chain(jig.outlets.iter().enumerate().map(plugged)).collect()
}
