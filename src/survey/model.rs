//! From the jig to a circuit: the same branch list for every condition, only the devices in it change. Items are what
//! stress rows are about: a two-ended part, a pole of a switch, a winding, a bridge as a whole and arm by arm.

use crate::circuit::{Branch, Circuit, Coupling, Device};
use crate::jig::{Ends, Jig, LoadKind, NET_L, NET_N, NET_PE, NetId, PartKind, SwitchContacts};
use crate::standard::{self, Level};

use super::condition::{Condition, Conductor, END, Fault, Way, switch_parts};

/// Resistance of an ideal voltmeter, ohms: high enough to change nothing that is judged.
pub(super) const VOLTMETER: f64 = 1e12;
/// The least that is read across a winding: what it passes is far below anything that is judged.
const COIL_VOLTMETER: f64 = 1e9;

/// What an item's quantities are made of.
#[derive(Debug, Clone, PartialEq)]
pub enum Measure {
    /// One branch.
    Branch(usize),
    /// Current and power through these branches in series (the first carries the current), volts from a voltmeter.
    Series(Vec<usize>, usize),
    /// A bridge as a whole: arms into plus, arms from minus.
    Bridge([usize; 4]),
}

/// One thing with a row of stresses.
#[derive(Debug, Clone)]
pub struct Item {
    /// Name in reports.
    pub name: String,
    /// Index of its part.
    pub part: usize,
    /// Where its quantities come from.
    pub measure: Measure,
    /// Its two nets.
    pub ends: Ends,
    /// Branch that a fault opens or bridges; `None` for a bridge as a whole.
    pub fault_branch: Option<usize>,
}

/// A value with a tolerance.
#[derive(Debug, Clone, Copy)]
pub struct Toleranced {
    /// Branch whose device changes.
    pub branch: usize,
    /// Part.
    pub part: usize,
    /// Fraction either way.
    pub tolerance: f64,
}

/// A protective device the current of which is watched.
#[derive(Debug, Clone)]
pub struct Protector {
    /// Name in reports.
    pub name: String,
    /// Branch that carries its current; `None` for a breaker, which sits in whichever conductor is live.
    pub branch: Option<usize>,
    /// What it is.
    pub kind: ProtectorKind,
}

impl Protector {
    /// Its name within a sentence: a part's own name takes no article, "the branch breaker" does.
    pub fn in_a_sentence(&self) -> String {
        match self.kind {
            ProtectorKind::Fuse(_) | ProtectorKind::Fusible(_) => self.name.clone(),
            _ => format!("the {}", self.name),
        }
    }
}

/// Kind of protective device.
#[derive(Debug, Clone, PartialEq)]
pub enum ProtectorKind {
    /// A miniature fuse in the jig; index of its item.
    Fuse(usize),
    /// A fusible resistor; index of its item.
    Fusible(usize),
    /// The fuse in the plug, amperes.
    PlugFuse(f64),
    /// The branch breaker, amperes.
    Breaker(f64),
    /// A residual-current device, rated residual amperes; its branch is the earth conductor.
    Rcd(f64),
}

/// A jig as a circuit.
#[derive(Debug, Clone)]
pub struct Model {
    /// Nominal values, switches on, no loads, plug as wired.
    pub base: Circuit,
    /// Stress items in part order.
    pub items: Vec<Item>,
    /// Node of each net.
    pub node: Vec<usize>,
    /// Values with a tolerance.
    pub toleranced: Vec<Toleranced>,
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
    /// Voltmeter between the plug's pins.
    pub pin_probe: Option<usize>,
    /// First branch of the outlets' loads; one branch an outlet.
    pub outlet_branches: Vec<usize>,
    /// Voltmeters from the two terminals of each isolated outlet to earth; `None` for an outlet joined to the mains.
    pub outlet_probes: Vec<Option<[usize; 2]>>,
    /// Protective devices.
    pub protectors: Vec<Protector>,
    /// Nominal volts between the pins, 0 without mains.
    pub nominal: f64,
    /// Parts whose model stands on an assumption, with the words for `not_checked`.
    pub assumptions: Vec<String>,
}

/// An ordinary open branch.
fn open() -> Device {
    Device::Resistor { ohms: standard::bench::fault_open().value }
}

fn short() -> Device {
    Device::Resistor { ohms: standard::bench::fault_short().value }
}

struct Builder<'a> {
    jig: &'a Jig,
    c: Circuit,
    items: Vec<Item>,
    node: Vec<usize>,
    toleranced: Vec<Toleranced>,
    contacts: Vec<Vec<(usize, Vec<bool>)>>,
    assumptions: Vec<String>,
    nominal: f64,
}

impl Builder<'_> {
    fn branch(&mut self, a: usize, b: usize, device: Device) -> usize {
        self.c.branches.push(Branch { a, b, device });
        self.c.branches.len() - 1
    }

    fn inner(&mut self) -> usize {
        self.c.nodes += 1;
        self.c.nodes - 1
    }

    fn item(&mut self, name: String, part: usize, ends: Ends, measure: Measure, fault_branch: Option<usize>) -> usize {
        self.items.push(Item { name, part, measure, ends, fault_branch });
        self.items.len() - 1
    }

    /// A part of one branch.
    fn simple(&mut self, part: usize, ends: Ends, device: Device) -> usize {
        let b = self.branch(self.node[ends[0]], self.node[ends[1]], device);
        let name = self.jig.parts[part].name.clone();
        self.item(name, part, ends, Measure::Branch(b), Some(b));
        b
    }

    /// Resistance and inductance in series, seen as one item.
    fn coil(&mut self, name: String, part: usize, ends: Ends, ohms: f64, henries: f64) -> (usize, usize) {
        let (a, b) = (self.node[ends[0]], self.node[ends[1]]);
        let middle = self.inner();
        let r = self.branch(a, middle, Device::Resistor { ohms });
        let l = self.branch(middle, b, Device::Inductor { henries });
        // Two windings in series meet in a node that has nothing else: its volts are the difference of their currents times this.
        let reactance = 2.0 * std::f64::consts::PI * self.c.hertz * henries;
        let voltmeter = (reactance * 1e6).clamp(COIL_VOLTMETER, VOLTMETER);
        let v = self.branch(a, b, Device::Resistor { ohms: voltmeter });
        let item = self.item(name, part, ends, Measure::Series(vec![r, l], v), Some(r));
        (item, l)
    }

    fn part(&mut self, k: usize) {
        let jig = self.jig;
        let part = &jig.parts[k];
        let omega = 2.0 * std::f64::consts::PI * self.c.hertz;
        match &part.kind {
            PartKind::Resistor { across, resistance, tolerance, .. } => {
                let branch = self.simple(k, *across, Device::Resistor { ohms: *resistance });
                let tolerance = tolerance.unwrap_or_else(|| standard::bench::resistor_tolerance().value);
                self.toleranced.push(Toleranced { branch, part: k, tolerance });
            }
            PartKind::Capacitor { across, capacitance, tolerance, .. } => {
                let branch = self.simple(k, *across, Device::Capacitor { farads: *capacitance });
                let tolerance = tolerance.unwrap_or_else(|| standard::bench::capacitor_tolerance().value);
                self.toleranced.push(Toleranced { branch, part: k, tolerance });
            }
            PartKind::Inductor { across, inductance, resistance, .. }
            | PartKind::Winding { across, inductance, resistance, .. } => {
                self.coil(part.name.clone(), k, *across, *resistance, *inductance);
            }
            PartKind::Diode { across, forward, slope, .. } => {
                let [f, s, leak] = standard::bench::diode();
                let device = Device::Diode {
                    forward: forward.unwrap_or(f.value),
                    on_ohms: slope.unwrap_or(s.value),
                    off_ohms: leak.value,
                    breakdown: None,
                };
                self.simple(k, *across, device);
            }
            PartKind::Led { across, forward, slope, series, .. } => {
                let [s, leak] = standard::bench::led();
                let n = f64::from((*series).max(1));
                let device = Device::Diode {
                    forward: forward * n,
                    on_ohms: slope.unwrap_or(s.value) * n,
                    off_ohms: leak.value,
                    breakdown: None,
                };
                self.simple(k, *across, device);
            }
            PartKind::Suppressor { across, breakdown, bidirectional, .. } => {
                let [f, s, leak] = standard::bench::diode();
                // A one-way suppressor conducts forwards like a diode from its second end to its first.
                let down = if *bidirectional { *breakdown } else { f.value };
                let device = Device::Clamp { up: *breakdown, down, on_ohms: s.value, off_ohms: leak.value };
                self.simple(k, *across, device);
            }
            PartKind::Varistor { across, voltage, .. } => {
                let [knee, s, leak] = standard::bench::varistor(*voltage);
                let device = Device::Clamp { up: knee.value, down: knee.value, on_ohms: s.value, off_ohms: leak.value };
                self.simple(k, *across, device);
            }
            PartKind::Bridge { ac, plus, minus, forward, slope, .. } => {
                let [f, s, leak] = standard::bench::diode();
                let device = Device::Diode {
                    forward: forward.unwrap_or(f.value),
                    on_ohms: slope.unwrap_or(s.value),
                    off_ohms: leak.value,
                    breakdown: None,
                };
                let ends = [[ac[0], *plus], [ac[1], *plus], [*minus, ac[0]], [*minus, ac[1]]];
                let arms = ends.map(|e| self.branch(self.node[e[0]], self.node[e[1]], device));
                self.item(part.name.clone(), k, *ac, Measure::Bridge(arms), None);
                for (n, (arm, e)) in arms.iter().zip(ends).enumerate() {
                    self.item(format!("{}.{}", part.name, n + 1), k, e, Measure::Branch(*arm), Some(*arm));
                }
            }
            PartKind::Neon { across, strike, maintain, slope, .. } => {
                let device = Device::Neon {
                    strike: *strike,
                    maintain: *maintain,
                    lit_ohms: slope.unwrap_or_else(|| standard::bench::neon_slope().value),
                    off_ohms: standard::bench::neon_dark().value,
                    extinction: standard::bench::neon_extinction().value,
                };
                self.simple(k, *across, device);
            }
            PartKind::Filament { across, volts, power, cold_ratio } => {
                let device = Device::Filament {
                    volts: *volts,
                    watts: *power,
                    cold_ratio: cold_ratio.unwrap_or_else(|| standard::lamp::filament_cold_ratio().value),
                    exponent: standard::lamp::filament_current_exponent().value,
                };
                self.simple(k, *across, device);
            }
            PartKind::Fuse { across, current, .. } => {
                let ohms = standard::bench::fuse_resistance(*current).value;
                self.simple(k, *across, Device::Resistor { ohms });
            }
            PartKind::ThermalFuse { across, .. } => {
                self.simple(k, *across, Device::Resistor { ohms: standard::bench::contact_resistance().value });
            }
            PartKind::Wire { across, area, length, .. } => {
                let ohms = match (area, length) {
                    (Some(a), Some(l)) => (standard::cord::conductor_resistance(*a).value * l)
                        .max(standard::bench::contact_resistance().value),
                    _ => standard::bench::contact_resistance().value,
                };
                self.simple(k, *across, Device::Resistor { ohms });
            }
            PartKind::Thermistor { across, cold, hot, .. } => {
                self.simple(k, *across, Device::Resistor { ohms: hot.unwrap_or(*cold) });
            }
            PartKind::Load { across, power, resistance, power_factor } => {
                let ohms = resistance.or_else(|| power.map(|p| self.nominal * self.nominal / p));
                let Some(z) = ohms.filter(|z| *z > 0.0) else { return };
                match power_factor.filter(|p| *p < 1.0) {
                    // Lagging: P = V²·pf²/R for R in series with X = R·tan.
                    Some(pf) => {
                        let r = if resistance.is_some() { z } else { z * pf * pf };
                        let x = r * (1.0 / (pf * pf) - 1.0).sqrt();
                        self.coil(part.name.clone(), k, *across, r, x / omega);
                    }
                    None => {
                        self.simple(k, *across, Device::Resistor { ohms: z });
                    }
                }
            }
            PartKind::Switch { contacts, .. } => self.switch(k, contacts),
            PartKind::Transformer { .. } => self.transformer(k),
            PartKind::Psu { .. } => self.psu(k),
            PartKind::Socket { .. } => {}
        }
    }

    fn switch(&mut self, k: usize, contacts: &SwitchContacts) {
        let name = self.jig.parts[k].name.clone();
        let device = Device::Resistor { ohms: standard::bench::contact_resistance().value };
        let mut list: Vec<(Ends, Vec<bool>)> = vec![];
        match contacts {
            SwitchContacts::Poles(p) => list.extend(p.iter().map(|e| (*e, vec![true, false]))),
            SwitchContacts::Positions(p) => {
                for (at, (_, closed)) in p.iter().enumerate() {
                    for e in closed {
                        let found = list.iter().position(|(o, _)| o == e).unwrap_or_else(|| {
                            list.push((*e, vec![false; p.len()]));
                            list.len() - 1
                        });
                        list[found].1[at] = true;
                    }
                }
            }
        }
        let mut mine = vec![];
        for (n, (ends, closed)) in list.into_iter().enumerate() {
            let b = self.branch(self.node[ends[0]], self.node[ends[1]], device);
            let item = self.item(format!("{name}.{}", n + 1), k, ends, Measure::Branch(b), Some(b));
            mine.push((item, closed));
        }
        self.contacts.push(mine);
    }

    /// Coupled windings with series resistance, leakage and capacitance between windings. What the file does not
    /// say follows from the power by the stated assumptions.
    fn transformer(&mut self, k: usize) {
        let jig = self.jig;
        let PartKind::Transformer { primary, secondaries, power, capacitance, inductance, .. } = &jig.parts[k].kind
        else {
            return;
        };
        let [leakage, drop, between] = standard::bench::transformer();
        let omega = 2.0 * std::f64::consts::PI * self.c.hertz;
        let name = &jig.parts[k].name;
        let watts = power.unwrap_or_else(|| {
            let guess = standard::bench::transformer_power().value;
            self.assumptions
                .push(format!("{name}: no power stated, so its winding resistance is a guess for {guess} VA"));
            guess
        });
        let z1 = primary.volts * primary.volts / watts;
        // Magnetising current: an assumption in the ratio of the drop; only light load sees it.
        let l1 = inductance.unwrap_or(z1 / drop.value / omega);
        let windings: Vec<_> = std::iter::once(primary).chain(secondaries).collect();
        let mut coils = vec![];
        for w in &windings {
            let ratio = w.volts / primary.volts;
            let share = if w.name == "primary" { 1.0 } else { secondaries.len() as f64 };
            let ohms = 0.5 * drop.value * z1 * ratio * ratio * share;
            coils.push((self.coil(format!("{name}.{}", w.name), k, w.across, ohms, l1 * ratio * ratio), *w));
        }
        // Leakage as a fraction of the rated impedance: k² = 1 - X_leak / X_magnetising.
        let tight = (1.0 - leakage.value * z1 / (omega * l1)).max(0.5).sqrt();
        for i in 0..coils.len() {
            for j in i + 1..coils.len() {
                let m = tight * l1 * (coils[i].1.volts / primary.volts) * (coils[j].1.volts / primary.volts);
                self.c.couplings.push(Coupling { first: coils[i].0.1, second: coils[j].0.1, henries: m });
            }
        }
        let farads = capacitance.unwrap_or(between.value);
        for w in secondaries {
            let (a, b) = (self.node[primary.across[0]], self.node[w.across[0]]);
            self.branch(a, b, Device::Capacitor { farads });
        }
    }

    /// A bought module: takes its rated power, gives its rated volts behind a small resistance; its barrier holds.
    fn psu(&mut self, k: usize) {
        let jig = self.jig;
        let PartKind::Psu { input, output, volts, current, power, .. } = &jig.parts[k].kind else { return };
        let name = &jig.parts[k].name;
        let watts = power.or_else(|| Some((*volts)? * (*current)?));
        let ohms = watts.map_or(f64::INFINITY, |p| self.nominal.max(1.0).powi(2) / p);
        let device = if ohms.is_finite() { Device::Resistor { ohms } } else { open() };
        let b = self.branch(self.node[input[0]], self.node[input[1]], device);
        self.item(name.clone(), k, *input, Measure::Branch(b), Some(b));
        if let Some(v) = volts {
            let inner = self.inner();
            self.branch(inner, self.node[output[1]], Device::Source { dc: *v, sine: 0.0, phase: 0.0 });
            let ohms = current.map_or(1.0, |i| standard::bench::psu_drop().value * v / i);
            let b = self.branch(self.node[output[0]], inner, Device::Resistor { ohms });
            self.item(format!("{name}.output"), k, *output, Measure::Branch(b), Some(b));
        }
        self.assumptions.push(format!("{name}: taken as an approved module whose barrier does not fail"));
    }
}

/// Builds the model of a jig.
pub fn build(jig: &Jig) -> Model {
    let mains = jig.supply.mains.as_ref();
    let nominal = mains.map_or(0.0, |m| m.nominal);
    let mut b = Builder {
        jig,
        c: Circuit { nodes: jig.nets.len() + 1, hertz: mains.map_or(50.0, |m| m.hertz), ..Circuit::default() },
        items: vec![],
        node: (0..jig.nets.len()).map(|n| n + 1).collect(),
        toleranced: vec![],
        contacts: vec![],
        assumptions: vec![],
        nominal,
    };
    let (mut sources, mut conductors, mut pin_probe) = ([usize::MAX; 2], [None; 3], None);
    if let Some(m) = mains {
        let (loop_ohms, _) = standard::bench::loop_impedance(m.to_earth());
        let cord = jig
            .supply
            .cord
            .as_ref()
            .and_then(|c| Some(standard::cord::conductor_resistance(c.area?).value * c.length?));
        let each = 0.5 * loop_ohms.value + cord.unwrap_or(0.0);
        for (k, net) in [NET_L, NET_N].into_iter().enumerate() {
            let inner = b.inner();
            sources[k] = b.branch(inner, 0, Device::Source { dc: 0.0, sine: 0.0, phase: 0.0 });
            conductors[k] = Some(b.branch(inner, b.node[net], Device::Resistor { ohms: each }));
        }
        if has_earth(jig) {
            conductors[2] = Some(b.branch(b.node[NET_PE], 0, Device::Resistor { ohms: each }));
        }
        pin_probe = Some(b.branch(b.node[NET_L], b.node[NET_N], Device::Resistor { ohms: VOLTMETER }));
    }
    for k in 0..jig.parts.len() {
        b.part(k);
    }
    let outlet_branches =
        jig.outlets.iter().map(|o| b.branch(b.node[o.across[0]], b.node[o.across[1]], open())).collect();
    let live = super::faults::mains_nets(jig);
    let outlet_probes = jig.outlets.iter().map(|o| {
        let isolated = mains.is_some() && o.across.iter().all(|n| !live.contains(n));
        isolated.then(|| o.across.map(|n| b.branch(b.node[n], 0, Device::Resistor { ohms: VOLTMETER })))
    });
    let outlet_probes = outlet_probes.collect();
    let touch_probes: Vec<usize> =
        jig.touchables.iter().map(|t| b.branch(b.node[t.net], 0, Device::Resistor { ohms: VOLTMETER })).collect();
    let mut pair_probes = vec![];
    for i in 0..jig.touchables.len() {
        for j in i + 1..jig.touchables.len() {
            let (p, q) = (jig.touchables[i].net, jig.touchables[j].net);
            if p != q {
                let probe = b.branch(b.node[p], b.node[q], Device::Resistor { ohms: VOLTMETER });
                pair_probes.push((i, j, probe));
            }
        }
    }
    let mut protectors = vec![];
    for (item, it) in b.items.iter().enumerate() {
        let kind = match &jig.parts[it.part].kind {
            PartKind::Fuse { .. } => ProtectorKind::Fuse(item),
            PartKind::Resistor { fusible: true, power: Some(_), .. } => ProtectorKind::Fusible(item),
            _ => continue,
        };
        protectors.push(Protector { name: it.name.clone(), branch: it.fault_branch, kind });
    }
    if let Some(l) = conductors[0] {
        if let Some(a) = jig.supply.plug_fuse {
            let kind = ProtectorKind::PlugFuse(a);
            protectors.push(Protector { name: "plug fuse".into(), branch: Some(l), kind });
        }
        let breaker = jig.supply.breaker.or_else(|| {
            let row = &mains?.row;
            standard::protection::usual_branch(row).map(|l| l.value)
        });
        if let Some(a) = breaker {
            let kind = ProtectorKind::Breaker(a);
            protectors.push(Protector { name: "branch breaker".into(), branch: None, kind });
        }
    }
    if let (Some(Some(residual)), Some(pe)) = (jig.supply.rcd, conductors[2]) {
        let kind = ProtectorKind::Rcd(residual);
        protectors.push(Protector { name: "residual-current device".into(), branch: Some(pe), kind });
    }
    let mut model = Model {
        base: b.c,
        items: b.items,
        node: b.node,
        toleranced: b.toleranced,
        sources,
        conductors,
        contacts: b.contacts,
        touch_probes,
        pair_probes,
        pin_probe,
        outlet_branches,
        outlet_probes,
        protectors,
        nominal,
        assumptions: b.assumptions,
    };
    // A part whose ends are on one net has no branch of its own to speak of, but must not be a source loop.
    model.base.branches.iter_mut().for_each(|x| {
        if x.a == x.b && matches!(x.device, Device::Source { .. }) {
            x.device = open();
        }
    });
    model
}

/// Whether an earth conductor reaches the jig.
pub fn has_earth(jig: &Jig) -> bool {
    let cores = jig.supply.cord.as_ref().and_then(|c| c.cores);
    let enough = |c: u32| f64::from(c) >= standard::rules::cores_needed(true).value;
    if jig.supply.fixed {
        return cores.is_none_or(enough);
    }
    jig.supply.plug.as_ref().is_some_and(|p| p.earth) && cores.is_some_and(enough)
}

impl Model {
    /// The circuit of a condition (all but the supply level, which is a scale).
    pub fn circuit(&self, jig: &Jig, c: &Condition) -> Circuit {
        let mut out = self.base.clone();
        if let Some(m) = &jig.supply.mains {
            let crest = m.crest(Level::Nominal);
            let set = |out: &mut Circuit, k: usize, sine: f64, phase: f64| {
                out.branches[self.sources[k]].device = Device::Source { dc: 0.0, sine, phase };
            };
            match c.way {
                Way::AsWired => set(&mut out, 0, crest, 0.0),
                Way::Reversed => set(&mut out, 1, crest, 0.0),
                Way::BothLive => {
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
                    Device::Resistor { ohms: v * v / p }
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
                    _ => {}
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
                _ => self.set(out, *k, short()),
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
            Fault::Breakdown(_, a, b) => join(out, self.node[*a], self.node[*b]),
            Fault::WindingsJoined(a, b) => {
                join(out, self.node[self.items[*a].ends[0]], self.node[self.items[*b].ends[0]]);
            }
        }
    }

    /// Adds the body network from a net to earth or to another net. Returns the branch that carries the touch current.
    pub fn touch(&self, out: &mut Circuit, from: NetId, to: Option<NetId>) -> usize {
        let body = standard::touch::body_network();
        let middle = out.nodes;
        out.nodes += 1;
        let (a, z) = (self.node[from], to.map_or(0, |n| self.node[n]));
        out.branches.push(Branch { a, b: middle, device: Device::Resistor { ohms: body.rs } });
        out.branches.push(Branch { a, b: middle, device: Device::Capacitor { farads: body.cs } });
        out.branches.push(Branch { a: middle, b: z, device: Device::Resistor { ohms: body.rb } });
        out.branches.len() - 1
    }

    /// The circuit with the mains taken away: pulled plug, pins open.
    pub fn unplugged(&self, mut c: Circuit) -> Circuit {
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

    /// Index of the switches' parts (for words).
    pub fn switches(&self, jig: &Jig) -> Vec<usize> {
        switch_parts(jig)
    }
}
