//! What may be wrong with the finished tool, each as a change of its network: every single fault of the survey, and every slip of
//! building. Must not know what a meter reads.

mod wires;

use super::network::{Change, Network};
use super::point::Place;
use crate::format::{NET_L, NET_N, NET_PE, NetId};
use crate::jig::{Jig, Part, PartKind};
use crate::part::dead::Dead;
use crate::standard::meter;
use crate::survey::condition::{Conductor, Fault, fault_id};
use crate::survey::model::Model;
use crate::survey::{build, faults};

/// Most that is looked for: what is beyond is left out, and the test says that it is not complete.
const MOST: usize = 1000;

/// Something that may be wrong.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Wrong {
    /// A part, a winding or a contact is open, or was left out.
    Open { item: String },
    /// It is bridged.
    Bridged { item: String },
    /// A contact stays closed.
    Welded { item: String },
    /// A core of the cord, or its joint, is open.
    Core { pin: &'static str },
    /// A wire or a bridge between two nets that insulation should part.
    Joined { nets: [String; 2] },
    /// The two windings touch each other.
    Windings { windings: [String; 2], nets: [String; 2] },
    /// A part with several branches was left out.
    LeftOut { part: String },
    /// Two parts are exchanged.
    Exchanged { parts: [String; 2] },
    /// Two wires are exchanged: what each belongs to.
    WiresExchanged { ends: [End; 2] },
    /// A part is in the wrong way round.
    TurnedRound { part: String, quarter: bool },
    /// A value of the next decade.
    Decade { part: String, above: bool },
    /// The joint of a point is missing.
    Unjoined { point: String },
    /// An end is on another net than it belongs on.
    Misplaced { end: End, on: String },
}

/// One end of something: what, and the net it belongs on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct End {
    /// A part, a pin, a contact.
    pub of: String,
    /// The net.
    pub net: String,
}

/// Something that may be wrong, and what it changes.
#[derive(Debug, Clone)]
pub(crate) struct Candidate {
    pub id: String,
    pub wrong: Wrong,
    pub changes: Vec<Change>,
    /// How likely it is beside the others.
    pub weight: f64,
}

/// Everything that may be wrong with a jig, and whether that is all.
pub(super) fn list(jig: &Jig, network: &Network) -> (Vec<Candidate>, bool) {
    let mut list = List { jig, network, found: vec![] };
    list.single_faults();
    list.left_out();
    list.decades();
    list.turned_round();
    list.exchanged();
    list.unjoined();
    list.insulation();
    list.wires_exchanged();
    list.misplaced();
    let all = list.found.len() <= MOST;
    list.found.truncate(MOST);
    (list.found, all)
}

struct List<'a> {
    jig: &'a Jig,
    network: &'a Network,
    found: Vec<Candidate>,
}

impl List<'_> {
    fn add(&mut self, id: String, wrong: Wrong, changes: Vec<Change>, weight: &str) {
        let known = self.found.iter().any(|c| c.id == id);
        if !known && !changes.is_empty() {
            self.found.push(Candidate { id, wrong, changes, weight: meter::weight(weight) });
        }
    }

    fn net(&self, net: NetId) -> String {
        self.jig.nets[net].name.clone()
    }

    fn end(&self, of: &str, net: NetId) -> End {
        End { of: of.to_string(), net: self.net(net) }
    }

    fn single_faults(&mut self) {
        let model = build::build(self.jig);
        for fault in faults::list(self.jig, &model).0 {
            let id = fault_id(self.jig, &model.items, &fault);
            let item = |k: usize| model.items[k].name.clone();
            let branch = |k: usize| branch_of(self.network, &model, k);
            let (wrong, changes, weight) = match fault {
                Fault::Open(k) => {
                    (Wrong::Open { item: item(k) }, branch(k).map(Change::Remove).into_iter().collect(), "open")
                }
                Fault::Short(k) => {
                    (Wrong::Bridged { item: item(k) }, branch(k).map(Change::Bridge).into_iter().collect(), "short")
                }
                Fault::Welded(k) => {
                    (Wrong::Welded { item: item(k) }, branch(k).map(Change::Bridge).into_iter().collect(), "short")
                }
                Fault::ConductorOpen(c) => {
                    let (net, pin) = match c {
                        Conductor::L => (NET_L, "L"),
                        Conductor::N => (NET_N, "N"),
                        Conductor::Pe => (NET_PE, "PE"),
                    };
                    let core =
                        self.network.cores().into_iter().find(|(n, _)| *n == net).map(|(_, b)| Change::Remove(b));
                    (Wrong::Core { pin }, core.into_iter().collect(), "open")
                }
                Fault::Breakdown(a, b) => {
                    (Wrong::Joined { nets: [self.net(a), self.net(b)] }, vec![Change::Join(a, b)], "short")
                }
                Fault::WindingsJoined(a, b) => self.windings(&model, a, b),
            };
            self.add(id, wrong, changes, weight);
        }
        self.strong_windings(&model);
    }

    fn windings(&self, model: &Model, a: (usize, usize), b: (usize, usize)) -> (Wrong, Vec<Change>, &'static str) {
        let net = |(item, end): (usize, usize)| model.items[item].ends[end];
        let windings = [a.0, b.0].map(|k| model.items[k].name.clone());
        let nets = [net(a), net(b)];
        (Wrong::Windings { windings, nets: nets.map(|n| self.net(n)) }, vec![Change::Join(nets[0], nets[1])], "short")
    }

    /// Windings that strong insulation parts do not fail by themselves, but a wire may lie between their terminals.
    fn strong_windings(&mut self, model: &Model) {
        for (part, p) in self.jig.parts.iter().enumerate() {
            let PartKind::Transformer(_) = p.kind else { continue };
            let windings: Vec<usize> = (0..model.items.len()).filter(|k| model.items[*k].part == part).collect();
            for other in windings.iter().skip(1) {
                let first = windings[0];
                let shared = model.items[first].ends.iter().any(|n| model.items[*other].ends.contains(n));
                for (a, b) in [(0, 0), (0, 1), (1, 0), (1, 1)].into_iter().filter(|_| !shared) {
                    let fault = Fault::WindingsJoined((*other, a), (first, b));
                    let (wrong, changes, weight) = self.windings(model, (*other, a), (first, b));
                    self.add(fault_id(self.jig, &model.items, &fault), wrong, changes, weight);
                }
            }
        }
    }

    fn left_out(&mut self) {
        for (k, part) in self.jig.parts.iter().enumerate() {
            let branches = self.network.of_part(k);
            if branches.len() > 1 {
                let changes = branches.into_iter().map(Change::Remove).collect();
                self.add(
                    format!("{}-left-out", part.name),
                    Wrong::LeftOut { part: part.name.clone() },
                    changes,
                    "open",
                );
            }
        }
    }

    fn decades(&mut self) {
        for (k, part) in self.jig.parts.iter().enumerate() {
            if !matches!(part.kind, PartKind::Resistor(_) | PartKind::Capacitor(_)) {
                continue;
            }
            for (above, by, word) in [(true, 10.0, "times-10"), (false, 0.1, "tenth")] {
                let changes: Vec<Change> =
                    self.network.of_part(k).into_iter().map(|b| Change::Is(b, self.times(b, by))).collect();
                let wrong = Wrong::Decade { part: part.name.clone(), above };
                self.add(format!("{}-{word}", part.name), wrong, changes, "slip");
            }
        }
    }

    fn times(&self, branch: usize, by: f64) -> Dead {
        match self.network.branches[branch].dead {
            Dead::Ohms(value) => Dead::Ohms(value.map(|v| v * by)),
            Dead::Farads(value) => Dead::Farads(value.map(|v| v * by)),
            dead @ (Dead::Junction(_) | Dead::Dark) => dead,
        }
    }

    fn turned_round(&mut self) {
        for (k, part) in self.jig.parts.iter().enumerate() {
            let branches = self.network.of_part(k);
            let ends = |b: usize| self.network.branches[b].ends;
            let id = format!("{}-turned", part.name);
            let wrong = |quarter| Wrong::TurnedRound { part: part.name.clone(), quarter };
            if let PartKind::Bridge(bridge) = &part.kind {
                let ring = [bridge.ac[0], bridge.plus, bridge.ac[1], bridge.minus];
                for (quarter, by, id) in [(true, 1, format!("{id}-quarter")), (false, 2, id)] {
                    let turned =
                        |n: NetId| ring.iter().position(|r| *r == n).map_or(n, |at| ring[(at + by) % ring.len()]);
                    let changes = branches.iter().map(|b| Change::Ends(*b, ends(*b).map(turned))).collect();
                    self.add(id, wrong(quarter), changes, "slip");
                }
                continue;
            }
            let two_sides = matches!(part.kind, PartKind::Transformer(_) | PartKind::Psu(_)) && branches.len() > 1;
            let changes: Vec<Change> = if two_sides {
                let (a, b) = (branches[0], branches[1]);
                vec![Change::Ends(a, ends(b)), Change::Ends(b, ends(a))]
            } else if polarised(part) {
                branches.iter().map(|b| Change::Ends(*b, [ends(*b)[1], ends(*b)[0]])).collect()
            } else {
                vec![]
            };
            self.add(id, wrong(false), changes, "slip");
        }
    }

    /// Two parts of a kind that were taken for each other.
    fn exchanged(&mut self) {
        let parts = &self.jig.parts;
        for (a, one) in parts.iter().enumerate() {
            for (b, other) in parts.iter().enumerate().skip(a + 1).filter(|(_, o)| o.kind.word() == one.kind.word()) {
                let (of_a, of_b) = (self.network.of_part(a), self.network.of_part(b));
                let ([x], [y]) = (of_a.as_slice(), of_b.as_slice()) else { continue };
                let dead = |k: usize| self.network.branches[k].dead;
                if dead(*x) != dead(*y) {
                    let wrong = Wrong::Exchanged { parts: [one.name.clone(), other.name.clone()] };
                    let changes = vec![Change::Is(*x, dead(*y)), Change::Is(*y, dead(*x))];
                    self.add(format!("{}-{}-exchanged", one.name, other.name), wrong, changes, "slip");
                }
            }
        }
    }

    fn unjoined(&mut self) {
        for (k, point) in self.network.points.iter().enumerate().filter(|(_, p)| p.place != Place::Pin) {
            let Some(joint) = self.network.joint(k) else { continue };
            let wrong = Wrong::Unjoined { point: point.name.clone() };
            self.add(format!("{}-unjoined", dashed(&point.name)), wrong, vec![Change::Remove(joint)], "open");
        }
    }
}

/// The branch of an item that can fail: the items of a part and what its kind says of it stand in one order.
fn branch_of(network: &Network, model: &Model, item: usize) -> Option<usize> {
    let part = model.items[item].part;
    let failing = (0..item).filter(|k| model.items[*k].part == part && model.items[*k].fault_branch.is_some());
    let number = failing.count();
    network.of_part(part).get(number).copied()
}

/// Whether it matters which way round a part of two ends is in.
fn polarised(part: &Part) -> bool {
    match &part.kind {
        PartKind::Diode(_) | PartKind::Led(_) => true,
        PartKind::Suppressor(s) => !s.bidirectional,
        PartKind::Capacitor(c) => c.is_polarised(),
        PartKind::Resistor(_)
        | PartKind::Inductor(_)
        | PartKind::Winding(_)
        | PartKind::Bridge(_)
        | PartKind::Neon(_)
        | PartKind::Filament(_)
        | PartKind::Fuse(_)
        | PartKind::ThermalFuse(_)
        | PartKind::Switch(_)
        | PartKind::Varistor(_)
        | PartKind::Thermistor(_)
        | PartKind::Transformer(_)
        | PartKind::Psu(_)
        | PartKind::Load(_)
        | PartKind::Wire(_)
        | PartKind::Socket(_) => false,
    }
}

/// A name as a part of an id: without spaces.
fn dashed(name: &str) -> String {
    name.replace(' ', "-")
}
