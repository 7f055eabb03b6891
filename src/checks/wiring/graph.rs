//! The jig as a graph of joints, without solving: what hangs on what through wires, fuses, contacts and parts. Knows no
//! finding and no limit but that of harmless current.

use crate::jig::{CapClass, Class, Jig, Material, NET_L, NET_N, NET_PE, NetId, PartKind, SwitchContacts};
use crate::part::{Bridge, Capacitor, Fuse, Psu, Resistor, Switch, ThermalFuse, Transformer, Wire};
use crate::standard::{Level, Mains, touch};
use crate::survey::condition::Orientation;
use crate::survey::settings::orientations;

/// What joins two nets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Link {
    /// A wire.
    Wire,
    /// A fuse.
    Fuse,
    /// A thermal fuse: opens by heat, so it is no fuse to a short circuit.
    Thermal,
    /// A contact of a switch.
    Contact,
    /// A class Y capacitor, built not to fail short.
    YCapacitor,
    /// Any other part, or what is plugged into an outlet.
    Body,
}

/// One joint of the graph.
#[derive(Debug, Clone)]
pub struct Edge {
    /// Its two nets.
    pub ends: [NetId; 2],
    /// What it is.
    pub link: Link,
    /// Index of its part; `None` for an outlet.
    pub part: Option<usize>,
    /// Name for a report.
    pub name: String,
    /// For a contact: whether it is closed in each position of its switch.
    pub closed: Vec<bool>,
    /// Ohms that limit a current for certain; 0 for anything but a resistor.
    pub ohms: f64,
}

impl Edge {
    /// The end that is not `n`, when `n` is one of its ends.
    pub fn other(&self, n: NetId) -> Option<NetId> {
        match self.ends {
            [a, b] if a == n => Some(b),
            [a, b] if b == n => Some(a),
            _ => None,
        }
    }

    /// Joins without limiting the current: wire, fuse, contact.
    pub fn is_hard(&self) -> bool {
        matches!(self.link, Link::Wire | Link::Fuse | Link::Thermal | Link::Contact)
    }
}

/// The jig with its edges.
pub struct Wiring<'a> {
    /// The jig.
    pub jig: &'a Jig,
    /// Every joint.
    pub edges: Vec<Edge>,
}

/// Whether `volts` drive no more than a harmless current through ohms as built and with one resistor shorted.
fn harmless_behind([built, shorted]: [f64; 2], volts: f64) -> bool {
    let limit = |c| touch::limits(c).current_rms.value;
    volts / built <= limit(touch::Condition::Normal) && volts / shorted <= limit(touch::Condition::SingleFault)
}

/// A set of nets, by number.
pub type Nets = Vec<bool>;

impl<'a> Wiring<'a> {
    /// Reads the joints of a jig.
    pub fn new(jig: &'a Jig) -> Wiring<'a> {
        let mut edges = vec![];
        for (k, part) in jig.parts.iter().enumerate() {
            let mut add = |ends: [NetId; 2], link: Link, closed: Vec<bool>, ohms: f64| {
                edges.push(Edge { ends, link, part: Some(k), name: part.name.clone(), closed, ohms });
            };
            match &part.kind {
                PartKind::Wire(Wire { across, .. }) => add(*across, Link::Wire, vec![], 0.0),
                PartKind::Fuse(Fuse { across, .. }) => add(*across, Link::Fuse, vec![], 0.0),
                PartKind::ThermalFuse(ThermalFuse { across, .. }) => add(*across, Link::Thermal, vec![], 0.0),
                PartKind::Switch(Switch { contacts: SwitchContacts::Poles(poles), .. }) => {
                    poles.iter().for_each(|e| add(*e, Link::Contact, vec![true, false], 0.0));
                }
                PartKind::Switch(Switch { contacts: SwitchContacts::Positions(positions), .. }) => {
                    for (at, (_, pairs)) in positions.iter().enumerate() {
                        for e in pairs {
                            let closed = (0..positions.len()).map(|k| k == at).collect();
                            add(*e, Link::Contact, closed, 0.0);
                        }
                    }
                }
                PartKind::Capacitor(Capacitor {
                    across,
                    class: Some(CapClass::Y1 | CapClass::Y2 | CapClass::Y4),
                    ..
                }) => {
                    add(*across, Link::YCapacitor, vec![], 0.0);
                }
                PartKind::Resistor(Resistor { across, resistance, .. }) => {
                    add(*across, Link::Body, vec![], *resistance)
                }
                PartKind::Bridge(Bridge { ac, plus, minus, .. }) => {
                    for e in [[ac[0], *plus], [ac[1], *plus], [*minus, ac[0]], [*minus, ac[1]]] {
                        add(e, Link::Body, vec![], 0.0);
                    }
                }
                PartKind::Transformer(Transformer { primary, secondaries, .. }) => {
                    std::iter::once(primary).chain(secondaries).for_each(|w| add(w.across, Link::Body, vec![], 0.0));
                }
                PartKind::Psu(Psu { input, output, .. }) => {
                    [input, output].into_iter().for_each(|e| add(*e, Link::Body, vec![], 0.0));
                }
                PartKind::Socket(_) => {}
                other => {
                    if let [a, b] = other.terminals()[..] {
                        add([a, b], Link::Body, vec![], 0.0);
                    }
                }
            }
        }
        for o in &jig.outlets {
            let (name, ends) = (o.name.clone(), o.across);
            edges.push(Edge { ends, link: Link::Body, part: None, name, closed: vec![], ohms: 0.0 });
        }
        Wiring { jig, edges }
    }

    /// Nets reached from `starts` over the edges that `pass`, without going on from nets in `stop`.
    pub fn flood(&self, starts: &[NetId], stop: &Nets, pass: &dyn Fn(&Edge) -> bool) -> Nets {
        let mut seen = vec![false; self.jig.nets.len()];
        let mut todo = starts.to_vec();
        starts.iter().for_each(|n| seen[*n] = true);
        while let Some(n) = todo.pop() {
            if stop.get(n).copied().unwrap_or(false) && !starts.contains(&n) {
                continue;
            }
            for e in self.edges.iter().filter(|e| pass(e)) {
                if let Some(far) = e.other(n).filter(|far| !seen[*far]) {
                    seen[far] = true;
                    todo.push(far);
                }
            }
        }
        seen
    }

    /// No net at all.
    pub fn none(&self) -> Nets {
        vec![false; self.jig.nets.len()]
    }

    /// Nets joined to `n` by wires alone.
    pub fn wired(&self, n: NetId) -> Nets {
        self.flood(&[n], &self.none(), &|e| e.link == Link::Wire)
    }

    /// Pins of the plug that can be live.
    pub fn live_pins(&self) -> Vec<NetId> {
        if self.jig.supply.mains.is_none() {
            return vec![];
        }
        let mut pins = vec![];
        for orientation in orientations(self.jig) {
            match orientation {
                Orientation::AsWired => pins.push(NET_L),
                Orientation::Reversed => pins.push(NET_N),
                Orientation::BothLive => pins.extend([NET_L, NET_N]),
            }
        }
        pins
    }

    /// Whether both pins are live at once.
    pub fn line_to_line(&self) -> bool {
        self.jig.supply.mains.as_ref().is_some_and(Mains::both_live)
    }

    /// Pins that are earthed at the source while `live` is live.
    pub fn earthed_pins(&self, live: NetId) -> Vec<NetId> {
        let other = if live == NET_L { NET_N } else { NET_L };
        if self.line_to_line() { vec![NET_PE] } else { vec![other, NET_PE] }
    }

    /// Nominal and highest volts r.m.s. to earth.
    pub fn volts_to_earth(&self) -> (f64, f64) {
        let Some(m) = &self.jig.supply.mains else { return (0.0, 0.0) };
        let nominal = m.to_earth();
        (nominal, nominal * m.at(Level::High) / m.nominal)
    }

    /// Least resistance from `starts` to every net over the edges that `pass`: as built, and with the one resistor shorted
    /// that matters most. Infinite where there is no way.
    fn least_ohms(&self, starts: &[NetId], pass: &dyn Fn(&Edge) -> bool) -> Vec<[f64; 2]> {
        let mut best = vec![[f64::INFINITY; 2]; self.jig.nets.len()];
        starts.iter().for_each(|n| best[*n] = [0.0, 0.0]);
        loop {
            let mut grew = false;
            for e in self.edges.iter().filter(|e| pass(e)) {
                for (a, b) in [(e.ends[0], e.ends[1]), (e.ends[1], e.ends[0])] {
                    let [whole, spent] = best[a];
                    for (k, value) in [whole + e.ohms, (spent + e.ohms).min(whole)].into_iter().enumerate() {
                        if value < best[b][k] {
                            best[b][k] = value;
                            grew = true;
                        }
                    }
                }
            }
            if !grew {
                return best;
            }
        }
    }

    /// Whether nothing more than a harmless current can flow from `starts` to `goal` over the edges that `pass`: none
    /// shorted inside the limit of normal condition, any one resistor shorted inside that of a single fault.
    pub fn harmless(&self, starts: &[NetId], goal: &Nets, volts: f64, pass: &dyn Fn(&Edge) -> bool) -> bool {
        let ohms = self.least_ohms(starts, pass);
        (0..goal.len()).filter(|n| goal[*n]).all(|n| harmless_behind(ohms[n], volts))
    }

    /// Nets the mains can put more than a harmless current on: everything joined to L or N through anything but a
    /// barrier, a class Y capacitor, the earth conductor or protective impedance.
    pub fn hot(&self) -> Nets {
        let mut out = self.none();
        if self.jig.supply.mains.is_none() {
            return out;
        }
        let earth = self.wired(NET_PE);
        let pass = |e: &Edge| e.link != Link::YCapacitor && !e.ends.iter().any(|n| earth[*n]);
        let joined = self.flood(&[NET_L, NET_N], &earth, &pass);
        let ohms = self.least_ohms(&[NET_L, NET_N], &pass);
        let volts = self.volts_to_earth().1;
        for n in 0..out.len() {
            out[n] = joined[n] && !earth[n] && !harmless_behind(ohms[n], volts);
        }
        out
    }

    /// Whether the tool must have its metal on the protective earth: stated class I, or a metal box of no stated class.
    pub fn class_one(&self) -> bool {
        let e = &self.jig.enclosure;
        self.jig.supply.mains.is_some()
            && (e.class == Some(Class::I) || (e.class.is_none() && e.material == Some(Material::Metal)))
    }

    /// The last net of a pole before anything but a wire or a fuse: where a further fuse or contact belongs.
    pub fn pole_end(&self, pin: NetId) -> NetId {
        let mut at = pin;
        let mut seen = vec![pin];
        while let Some(next) = self
            .edges
            .iter()
            .filter(|e| matches!(e.link, Link::Wire | Link::Fuse))
            .find_map(|e| e.other(at).filter(|n| !seen.contains(n)))
        {
            seen.push(next);
            at = next;
        }
        at
    }
}

/// Names without doubles, in order.
pub fn once(names: impl IntoIterator<Item = String>) -> Vec<String> {
    let mut out: Vec<String> = vec![];
    for n in names {
        if !out.contains(&n) {
            out.push(n);
        }
    }
    out
}
