//! A jig as a circuit: the same branch list for every condition, only the devices in it change.

use std::collections::BTreeMap;

use crate::circuit::{Branch, Circuit, Device, HandNetwork};
use crate::jig::{Jig, LoadKind, NetId};
use crate::nets::Nets;
use crate::part::Assumption;
use crate::part::assembly::{open, short};
use crate::standard::protection::BreakerType;
use crate::standard::residual::RcdKind;
use crate::standard::{self, Level};

use super::condition::{Condition, Conductor, END, Fault, Orientation, WindingEnd};

pub(crate) use crate::part::{Item, Measure, Toleranced};

/// A protective device the current of which is watched.
#[derive(Debug, Clone)]
pub(crate) struct Protector {
    /// Branch that carries its current; `None` for a breaker, which sits in whichever conductor is live.
    pub branch: Option<usize>,
    /// What it is.
    pub kind: ProtectorKind,
}

/// Kind of protective device.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum ProtectorKind {
    /// A miniature fuse in the jig; index of its item.
    Fuse(usize),
    /// A fusible resistor; index of its item.
    Fusible(usize),
    /// A thermal fuse: its item, and the part it sits on.
    Thermal(usize, usize),
    /// The fuse in the plug, amperes.
    PlugFuse(f64),
    /// The branch breaker, amperes and what it is made to.
    Breaker(f64, BreakerType),
    /// A residual-current device, rated residual amperes and what it sees; its branch is the earth conductor.
    Rcd(f64, RcdKind),
}

/// Branches of a body network that was put on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct PutOn {
    /// Carries the body's current.
    pub body: usize,
    /// Stands at the volts that are read.
    pub reader: usize,
}

/// The published body network as the circuit sees it.
pub(super) fn hand() -> HandNetwork {
    let body = standard::touch::body_network();
    HandNetwork {
        skin_ohms: body.rs,
        skin_farads: body.cs,
        body_ohms: body.rb,
        reader_ohms: body.r1,
        reader_farads: body.c1,
    }
}

/// A jig as a circuit.
#[derive(Debug, Clone)]
pub(crate) struct Model {
    /// Its nets and what joins them.
    pub nets: Nets,
    /// Nominal values, switches on, no loads, plug as wired.
    pub base: Circuit,
    /// Stress items in part order.
    pub items: Vec<Item>,
    /// Node of each net.
    pub node: Vec<usize>,
    /// Values with a tolerance.
    pub toleranced: Vec<Toleranced>,
    /// Windings on iron that keeps a flux when it is switched off, and the amperes in each that hold as much.
    pub remanent: Vec<(usize, f64)>,
    /// Source branches behind L and N.
    pub sources: [usize; 2],
    /// Supply conductor branches: L, N, PE (PE only where the plug and cord bring one).
    pub conductors: [Option<usize>; 3],
    /// Contact branches of each switch, in the order of [`switch_parts`]: (item, closed in position k).
    pub contacts: Vec<Vec<(usize, Vec<bool>)>>,
    /// Voltmeter from each touchable's net to earth, and between pairs.
    pub touch_probes: Vec<usize>,
    /// Pairs of touchables and their voltmeters.
    pub pair_probes: Vec<(usize, usize, usize)>,
    /// First branch of the outlets' loads; one branch an outlet.
    pub outlet_branches: Vec<usize>,
    /// Voltmeters from the two terminals of each isolated outlet to earth; `None` for an outlet joined to the mains.
    pub outlet_probes: Vec<Option<[usize; 2]>>,
    /// Ohms of an outlet's load in watts, by outlet and load, where nothing joins the outlet to the mains: what takes the watts
    /// at the volts it gets there.
    pub ohms_of_watts: BTreeMap<(usize, usize), f64>,
    /// Protective devices.
    pub protectors: Vec<Protector>,
    /// Nominal volts between the pins, 0 without mains.
    pub nominal: f64,
    /// Parts whose model stands on an assumption, by name.
    pub assumptions: Vec<(String, Assumption)>,
}

impl Model {
    /// The circuit of a condition (all but the supply level, which is a scale).
    pub(crate) fn circuit(&self, jig: &Jig, c: &Condition) -> Circuit {
        let mut out = self.base.clone();
        if let Some(m) = &jig.supply.mains {
            let crest = m.crest(Level::Nominal);
            let set = |out: &mut Circuit, k: usize, sine: f64, phase: f64| {
                out.branches[self.sources[k]].device = Device::Source { dc: 0.0, sine, phase };
            };
            match c.orientation {
                Orientation::AsWired => set(&mut out, 0, crest, 0.0),
                Orientation::Reversed => set(&mut out, 1, crest, 0.0),
                Orientation::BothLive => {
                    let to_earth = m.to_earth();
                    // v_L - v_N is the nominal voltage at phase 0; both are `to_earth` from earth.
                    let half = m.nominal / 2.0;
                    let up = (to_earth * to_earth - half * half).max(0.0).sqrt();
                    let size = std::f64::consts::SQRT_2 * half.hypot(up);
                    set(&mut out, 0, size, up.atan2(half));
                    set(&mut out, 1, size, up.atan2(-half));
                }
            }
        }
        for (contacts, &position) in self.contacts.iter().zip(&c.switches) {
            for (item, closed) in contacts {
                if !closed.get(position).copied().unwrap_or(false) {
                    self.set(&mut out, *item, open());
                }
            }
        }
        for (k, (outlet, &load)) in jig.outlets.iter().zip(&c.loads).enumerate() {
            let device = match outlet.loads.get(load).map(|l| l.kind) {
                None | Some(LoadKind::Open) => open(),
                Some(LoadKind::Short) => short(),
                Some(LoadKind::Power(p)) => {
                    let v = if self.nominal > 0.0 { self.nominal } else { 1.0 };
                    let own = self.ohms_of_watts.get(&(k, load));
                    Device::Resistor { ohms: own.copied().unwrap_or(v * v / p) }
                }
                Some(LoadKind::Resistance(ohms)) => Device::Resistor { ohms },
                Some(LoadKind::Charged(farads, _)) => Device::Capacitor { farads },
            };
            out.branches[self.outlet_branches[k]].device = device;
        }
        for (t, at) in self.toleranced.iter().zip(&c.corner) {
            if *at != 0 {
                let f = 1.0 + f64::from(*at) / f64::from(END) * t.tolerance;
                match &mut out.branches[t.branch].device {
                    Device::Resistor { ohms } => *ohms *= f,
                    Device::Capacitor { farads } => *farads *= f,
                    Device::Source { .. }
                    | Device::Meter
                    | Device::Filament { .. }
                    | Device::Inductor { .. }
                    | Device::Diode { .. }
                    | Device::Clamp { .. }
                    | Device::Neon { .. } => {}
                }
            }
        }
        for f in &c.faults {
            self.fail(&mut out, f);
        }
        out
    }

    fn set(&self, out: &mut Circuit, item: usize, device: Device) {
        if let Some(b) = self.items[item].fault_branch {
            out.branches[b].device = device;
        }
    }

    fn fail(&self, out: &mut Circuit, f: &Fault) {
        let join = |out: &mut Circuit, a: usize, b: usize| {
            out.branches.push(Branch { a, b, device: short() });
        };
        match f {
            Fault::Open(k) => self.set(out, *k, open()),
            Fault::Short(k) => match &self.items[*k].measure {
                // Bridging a coil bridges the whole of it.
                Measure::Series(..) => {
                    let [a, b] = self.items[*k].ends.map(|n| self.node[n]);
                    join(out, a, b);
                }
                Measure::Branch(_) | Measure::Bridge(_) => self.set(out, *k, short()),
            },
            Fault::Welded(k) => self.set(out, *k, short()),
            Fault::ConductorOpen(c) => {
                let k = match c {
                    Conductor::L => 0,
                    Conductor::N => 1,
                    Conductor::Pe => 2,
                };
                if let Some(b) = self.conductors[k] {
                    out.branches[b].device = open();
                }
            }
            Fault::Breakdown(a, b) => join(out, self.node[*a], self.node[*b]),
            Fault::WindingsJoined(a, b) => {
                let end = |(item, end): WindingEnd| self.node[self.items[item].ends[end]];
                join(out, end(*a), end(*b));
            }
        }
    }

    /// The item that a branch belongs to.
    pub(crate) fn item_with(&self, branch: usize) -> Option<usize> {
        let has = |item: &Item| match &item.measure {
            Measure::Branch(b) => *b == branch,
            Measure::Series(list, meter) => list.contains(&branch) || *meter == branch,
            // Its arms are items of their own.
            Measure::Bridge(_) => false,
        };
        self.items.iter().position(has)
    }

    /// Adds the body network from a net to earth or to another net.
    pub(crate) fn touch(&self, out: &mut Circuit, from: NetId, to: Option<NetId>) -> PutOn {
        let hand = hand();
        let (middle, read) = (out.nodes, out.nodes + 1);
        out.nodes += 2;
        let (a, z) = (self.node[from], to.map_or(0, |n| self.node[n]));
        let mut put = |a: usize, b: usize, device: Device| {
            out.branches.push(Branch { a, b, device });
            out.branches.len() - 1
        };
        put(a, middle, Device::Resistor { ohms: hand.skin_ohms });
        put(a, middle, Device::Capacitor { farads: hand.skin_farads });
        let body = put(middle, z, Device::Resistor { ohms: hand.body_ohms });
        put(middle, read, Device::Resistor { ohms: hand.reader_ohms });
        let reader = put(read, z, Device::Capacitor { farads: hand.reader_farads });
        PutOn { body, reader }
    }

    /// The circuit with the mains taken away: pulled plug, pins open.
    pub(crate) fn unplugged(&self, mut c: Circuit) -> Circuit {
        for b in self.conductors.into_iter().flatten() {
            c.branches[b].device = open();
        }
        for k in self.sources {
            if let Some(b) = c.branches.get_mut(k) {
                b.device = Device::Source { dc: 0.0, sine: 0.0, phase: 0.0 };
            }
        }
        c
    }
}
