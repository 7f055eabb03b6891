//! The second method: a plain implicit stepper, written from the device equations only.
//!
//! Unknowns are all node voltages and all branch currents together (no elimination, no states, no propagators). One
//! step is a two-stage Radau IIA step of the whole system, solved densely. A switching inside a step is found by
//! shortening the step. Quantities are weighted sums over the stages. Filament lamps are not handled here.

use super::linear::Factored;
use crate::circuit::{Circuit, Device, Quantities};
use std::collections::HashMap;
use std::f64::consts::TAU;

/// Stage weights of the two-stage Radau IIA method (stages at 1/3 and 1); the last row is the quadrature rule too.
const STAGES: [[f64; 2]; 2] = [[5.0 / 12.0, -1.0 / 12.0], [0.75, 0.25]];
/// Where the stages lie in the step.
const NODES: [f64; 2] = [1.0 / 3.0, 1.0];

/// Halvings of the longest step with which a run begins after a switching.
const SMALLEST: i32 = 20;
/// Steps of each size before the next larger one.
const EACH: i32 = 8;

/// One matrix: a state of the devices and a step.
struct Step {
    factored: Factored,
}

/// A change of state of one branch.
#[derive(Clone, Copy)]
struct Flip {
    branch: usize,
    to: i8,
    /// How far the condition is met, in units of its own tolerance.
    excess: f64,
}

/// What was seen of one branch, summed over time.
#[derive(Clone, Copy)]
struct Sums {
    q: Quantities,
    energy: f64,
    i2t: f64,
    v2t: f64,
    vt: f64,
    it: f64,
    forward: f64,
    lit: f64,
}

/// A circuit being stepped.
pub struct Stepper<'a> {
    circuit: &'a Circuit,
    scale: f64,
    /// Seconds since the start.
    pub time: f64,
    angle: f64,
    /// Capacitor volts and inductor amperes, one a branch.
    pub stored: Vec<f64>,
    /// State of each branch: 0 off, 1 on (or lit), -1 the other way.
    pub mode: Vec<i8>,
    /// All node voltages but the reference, then all branch currents, as last seen.
    seen: Vec<f64>,
    longest: f64,
    cache: HashMap<(Vec<i8>, u64), Step>,
    sums: Vec<Sums>,
    span: f64,
    /// Times at which a branch changed state: (seconds, branch, new state).
    pub switchings: Vec<(f64, usize, i8)>,
}

impl<'a> Stepper<'a> {
    /// A circuit at rest (or with `stored` capacitor volts and inductor amperes) at mains angle `angle`, to be run
    /// with steps of at most `longest` seconds.
    pub fn new(circuit: &'a Circuit, scale: f64, angle: f64, stored: &[f64], longest: f64) -> Stepper<'a> {
        let m = circuit.branches.len();
        let stored = if stored.is_empty() { vec![0.0; m] } else { stored.to_vec() };
        let mut stepper = Stepper {
            circuit,
            scale,
            time: 0.0,
            angle,
            stored,
            mode: vec![0; m],
            seen: Vec::new(),
            longest,
            cache: HashMap::new(),
            sums: Vec::new(),
            span: 0.0,
            switchings: Vec::new(),
        };
        stepper.forget();
        stepper.settle();
        stepper
    }

    /// Starts the sums anew.
    pub fn forget(&mut self) {
        let q = Quantities {
            v_max: f64::NEG_INFINITY,
            v_min: f64::INFINITY,
            i_max: f64::NEG_INFINITY,
            i_min: f64::INFINITY,
            ..Quantities::default()
        };
        let empty = Sums { q, energy: 0.0, i2t: 0.0, v2t: 0.0, vt: 0.0, it: 0.0, forward: 0.0, lit: 0.0 };
        self.sums = vec![empty; self.circuit.branches.len()];
        self.span = 0.0;
        self.switchings.clear();
    }

    /// Quantities since the sums were started.
    pub fn quantities(&self) -> Vec<Quantities> {
        let mean = |x: f64| x / self.span;
        let finish = |s: &Sums| Quantities {
            v_rms: mean(s.v2t).sqrt(),
            v_mean: mean(s.vt),
            i_rms: mean(s.i2t).sqrt(),
            i_mean: mean(s.it),
            i_forward_mean: mean(s.forward),
            power: mean(s.energy),
            ..s.q
        };
        self.sums.iter().map(finish).collect()
    }

    /// Joules taken and A²s of a branch since the sums were started.
    pub fn energy_and_i2t(&self, branch: usize) -> (f64, f64) {
        (self.sums[branch].energy, self.sums[branch].i2t)
    }

    /// Share of the time a branch spent in another state than 0.
    pub fn lit_fraction(&self, branch: usize) -> f64 {
        self.sums[branch].lit / self.span
    }

    /// Voltage of a branch now.
    pub fn volts(&self, branch: usize) -> f64 {
        self.volts_in(&self.seen, branch)
    }

    /// Current of a branch now.
    pub fn amperes(&self, branch: usize) -> f64 {
        self.amperes_in(&self.seen, branch)
    }

    fn volts_in(&self, y: &[f64], branch: usize) -> f64 {
        let b = &self.circuit.branches[branch];
        let node = |k: usize| if k == 0 { 0.0 } else { y[k - 1] };
        node(b.a) - node(b.b)
    }

    fn amperes_in(&self, y: &[f64], branch: usize) -> f64 {
        y[self.circuit.nodes - 1 + branch]
    }

    /// Line of a resistive branch in its present state: `v = volts + ohms * i`.
    fn line(device: &Device, mode: i8) -> (f64, f64) {
        let knee = |volts: f64, on: f64, off: f64| (volts * (1.0 - on / off), on);
        match *device {
            Device::Resistor { ohms } => (0.0, ohms),
            Device::Diode { forward, on_ohms, off_ohms, breakdown } => match mode {
                0 => (0.0, off_ohms),
                1 => knee(forward, on_ohms, off_ohms),
                _ => knee(-breakdown.unwrap(), on_ohms, off_ohms),
            },
            Device::Clamp { up, down, on_ohms, off_ohms } => match mode {
                0 => (0.0, off_ohms),
                1 => knee(up, on_ohms, off_ohms),
                _ => knee(-down, on_ohms, off_ohms),
            },
            Device::Neon { maintain, lit_ohms, off_ohms, .. } => match mode {
                0 => (0.0, off_ohms),
                s => (f64::from(s) * maintain, lit_ohms),
            },
            ref other => panic!("{other:?} has no line"),
        }
    }

    fn factor(&self, h: f64, weights: &[&[f64]]) -> Step {
        let (n, m, stages) = (self.circuit.nodes - 1, self.circuit.branches.len(), weights.len());
        let size = n + m;
        let mut rows = vec![vec![0.0; stages * size]; stages * size];
        for (s, own) in weights.iter().enumerate() {
            let at = s * size;
            for (k, b) in self.circuit.branches.iter().enumerate() {
                for (node, sign) in [(b.a, 1.0), (b.b, -1.0)] {
                    if node > 0 {
                        rows[at + node - 1][at + n + k] += sign; // Kirchhoff's current law
                    }
                }
                let mut volts = |stage: usize, factor: f64| {
                    for (node, sign) in [(b.a, 1.0), (b.b, -1.0)] {
                        if node > 0 {
                            rows[at + n + k][stage * size + node - 1] += sign * factor;
                        }
                    }
                };
                match b.device {
                    Device::Source { .. } => volts(s, 1.0),
                    Device::Capacitor { farads } => {
                        volts(s, farads / h);
                        for (j, weight) in own.iter().enumerate() {
                            rows[at + n + k][j * size + n + k] -= weight;
                        }
                    }
                    Device::Inductor { henries } => {
                        for (j, weight) in own.iter().enumerate() {
                            volts(j, -weight);
                        }
                        rows[at + n + k][at + n + k] += henries / h;
                        for (other, mutual) in self.partners(k).chain(self.saturated(k)) {
                            rows[at + n + k][at + n + other] += mutual / h;
                        }
                    }
                    ref device => {
                        volts(s, 1.0);
                        rows[at + n + k][at + n + k] -= Self::line(device, self.mode[k]).1;
                    }
                }
            }
        }
        Step { factored: Factored::new(&rows) }
    }

    fn partners(&self, branch: usize) -> impl Iterator<Item = (usize, f64)> + '_ {
        self.circuit.couplings.iter().filter_map(move |c| match (c.first == branch, c.second == branch) {
            (true, _) => Some((c.second, c.henries)),
            (_, true) => Some((c.first, c.henries)),
            _ => None,
        })
    }

    /// What saturated iron takes away from the inductance of a winding and of each other winding on it. The state of a core
    /// is that of its first winding's branch.
    fn saturated(&self, branch: usize) -> impl Iterator<Item = (usize, f64)> + '_ {
        let cores = self.circuit.cores.iter().filter(|c| self.mode[c.windings[0].0] != 0);
        cores.flat_map(move |c| {
            let own = c.windings.iter().find(|w| w.0 == branch).map(|w| w.1);
            c.windings.iter().filter_map(move |w| Some((w.0, (c.saturated - c.henries) * own? * w.1)))
        })
    }

    /// The stages of one step of `h` seconds from the stored quantities.
    fn advance(&self, step: &Step, h: f64, places: &[f64]) -> Vec<Vec<f64>> {
        let (n, m) = (self.circuit.nodes - 1, self.circuit.branches.len());
        let size = n + m;
        let mut right = vec![0.0; places.len() * size];
        for (s, place) in places.iter().enumerate() {
            let angle = self.angle + TAU * self.circuit.hertz * (self.time + place * h);
            for (k, b) in self.circuit.branches.iter().enumerate() {
                right[s * size + n + k] = match b.device {
                    Device::Source { dc, sine, phase } => dc + self.scale * sine * (angle + phase).sin(),
                    Device::Capacitor { farads } => farads * self.stored[k] / h,
                    Device::Inductor { henries } => {
                        let all = self.partners(k).chain(self.saturated(k));
                        let mutual: f64 = all.map(|(other, mutual)| mutual * self.stored[other]).sum();
                        (henries * self.stored[k] + mutual) / h
                    }
                    ref device => Self::line(device, self.mode[k]).0,
                };
            }
        }
        let solved = step.factored.solve(&right);
        solved.chunks(size).map(<[f64]>::to_vec).collect()
    }

    /// Conditions under which branches change state, for the unknowns `y`; met when `excess` is above zero.
    fn conditions(&self, y: &[f64]) -> Vec<Flip> {
        let mut flips = Vec::new();
        for (k, b) in self.circuit.branches.iter().enumerate() {
            let (v, i) = (self.volts_in(y, k), self.amperes_in(y, k));
            let mut may = |to: i8, excess: f64| flips.push(Flip { branch: k, to, excess });
            let (volt, ampere) = (1e-9, 1e-13);
            match (b.device, self.mode[k]) {
                (Device::Diode { forward, breakdown, .. }, 0) => {
                    may(1, (v - forward) / volt);
                    if let Some(reverse) = breakdown {
                        may(-1, (-v - reverse) / volt);
                    }
                }
                // A knee is left when the current changes sign.
                (Device::Diode { .. }, 1) => may(0, -i / ampere),
                (Device::Diode { .. }, _) => may(0, i / ampere),
                (Device::Clamp { up, down, .. }, 0) => {
                    may(1, (v - up) / volt);
                    may(-1, (-v - down) / volt);
                }
                (Device::Clamp { .. }, 1) => may(0, -i / ampere),
                (Device::Clamp { .. }, _) => may(0, i / ampere),
                (Device::Neon { strike, .. }, 0) => {
                    may(1, (v - strike) / volt);
                    may(-1, (-v - strike) / volt);
                }
                (Device::Neon { extinction, .. }, s) => may(0, (extinction - f64::from(s) * i) / ampere),
                _ => {}
            }
        }
        for core in &self.circuit.cores {
            let magnetising: f64 = core.windings.iter().map(|(k, turns)| turns * self.amperes_in(y, *k)).sum();
            let branch = core.windings[0].0;
            let mut may = |to: i8, excess: f64| flips.push(Flip { branch, to, excess: excess / 1e-10 });
            match self.mode[branch] {
                0 => {
                    may(1, magnetising - core.knee);
                    may(-1, -magnetising - core.knee);
                }
                s => may(0, core.knee - f64::from(s) * magnetising),
            }
        }
        flips
    }

    /// Finds states of the devices that agree with the stored quantities an instant later, and looks at the unknowns.
    fn settle(&mut self) {
        let instant = 1e-7 / self.circuit.hertz;
        for round in 0..200 {
            let step = self.factor(instant, &[&[1.0]]);
            let y = self.advance(&step, instant, &[1.0]).remove(0);
            let mut flips: Vec<Flip> = self.conditions(&y).into_iter().filter(|f| f.excess > 1.0).collect();
            if flips.is_empty() {
                self.seen = y;
                self.note_extremes();
                return;
            }
            if round > 10 {
                flips.sort_by(|a, b| b.excess.total_cmp(&a.excess));
                flips.truncate(1);
            }
            for flip in flips {
                self.set(flip);
            }
        }
        panic!("the stepper found no consistent states at {} s", self.time);
    }

    fn set(&mut self, flip: Flip) {
        self.mode[flip.branch] = flip.to;
        self.switchings.push((self.time, flip.branch, flip.to));
    }

    fn note_extremes(&mut self) {
        for k in 0..self.circuit.branches.len() {
            let (v, i) = (self.volts_in(&self.seen, k), self.amperes_in(&self.seen, k));
            let q = &mut self.sums[k].q;
            q.v_max = q.v_max.max(v);
            q.v_min = q.v_min.min(v);
            q.i_max = q.i_max.max(i);
            q.i_min = q.i_min.min(i);
        }
    }

    /// Runs on to `end` seconds, or until the magnitude of a branch voltage falls below a level.
    pub fn run(&mut self, end: f64, falls_below: Option<(usize, f64)>) {
        // After every switching steps double from a small one, each size used a few times: fast transients may run there.
        let mut halvings = SMALLEST * EACH;
        let mut events_here = 0;
        while self.time < end {
            let mut h = self.longest * 0.5f64.powi(halvings / EACH);
            let last = self.time + h > end - 1e-12;
            if last {
                h = end - self.time;
            }
            let key = (self.mode.clone(), h.to_bits());
            let step = match self.cache.remove(&key) {
                Some(step) => step,
                None => self.factor(h, &[&STAGES[0], &STAGES[1]]),
            };
            let mut stages = self.advance(&step, h, &NODES);
            if !last {
                self.cache.insert(key, step);
            }
            let before = self.conditions(&self.seen);
            let after = self.conditions(&stages[1]);
            let mut flips = Vec::new();
            let mut shortest = h;
            for (b, a) in before.iter().zip(&after).filter(|(b, a)| a.excess > 1.0 && a.excess > b.excess) {
                let met = |s: &Self, x: f64| s.conditions(&s.step_of(x)[1])[Self::place(&before, b)].excess;
                let reached = if b.excess >= 0.0 { 0.0 } else { self.crossing(h, b.excess, a.excess, met) };
                flips.push((reached, *a));
                shortest = shortest.min(reached);
            }
            let mut stop = false;
            if let Some((branch, level)) = falls_below {
                let level_met = |s: &Self, x: f64| level - s.volts_in(&s.step_of(x)[1], branch).abs();
                let (b, a) = (level - self.volts(branch).abs(), level - self.volts_in(&stages[1], branch).abs());
                if b < 0.0 && a >= 0.0 {
                    let reached = self.crossing(h, b, a, level_met);
                    stop = reached <= shortest;
                    shortest = shortest.min(reached);
                }
            }
            let cut = shortest < h;
            if cut {
                h = shortest;
                if h > 0.0 {
                    stages = self.step_of(h);
                }
            }
            if h > 0.0 {
                self.add(&stages, h);
                self.time = if last && !cut { end } else { self.time + h };
                events_here = 0;
            }
            halvings = (halvings - 1).max(0);
            if stop {
                return;
            }
            flips.retain(|(reached, _)| *reached <= shortest + 1e-12);
            if !flips.is_empty() {
                events_here += 1;
                assert!(events_here < 100, "the stepper switches without progress at {} s", self.time);
                for (_, flip) in flips {
                    self.set(flip);
                }
                self.settle();
                halvings = SMALLEST * EACH;
            }
        }
    }

    fn place(list: &[Flip], wanted: &Flip) -> usize {
        list.iter().position(|f| f.branch == wanted.branch && f.to == wanted.to).unwrap()
    }

    fn step_of(&self, h: f64) -> Vec<Vec<f64>> {
        self.advance(&self.factor(h, &[&STAGES[0], &STAGES[1]]), h, &NODES)
    }

    /// Step at which `value` passes zero, known to be below zero at 0 and above at `h` (bisection with secants).
    fn crossing(&self, h: f64, at_zero: f64, at_h: f64, value: impl Fn(&Self, f64) -> f64) -> f64 {
        let (mut low, mut high) = ((0.0, at_zero), (h, at_h));
        for round in 0..100 {
            if high.0 - low.0 < 1e-13 * self.longest.max(1e-3) || high.1 < 1.0 && round > 3 {
                break;
            }
            let secant = low.0 + (high.0 - low.0) * (-low.1 / (high.1 - low.1));
            let middle = 0.5 * (low.0 + high.0);
            let x = if round % 3 == 2 || !(secant > low.0 && secant < high.0) { middle } else { secant };
            let y = value(self, x);
            if y > 0.0 { high = (x, y) } else { low = (x, y) }
        }
        high.0
    }

    /// Takes a step as done: sums, extremes, stored quantities.
    fn add(&mut self, stages: &[Vec<f64>], h: f64) {
        for k in 0..self.circuit.branches.len() {
            for (stage, weight) in stages.iter().zip(STAGES[1]) {
                let (v, i, dt) = (self.volts_in(stage, k), self.amperes_in(stage, k), weight * h);
                let s = &mut self.sums[k];
                s.v2t += v * v * dt;
                s.i2t += i * i * dt;
                s.energy += v * i * dt;
                s.vt += v * dt;
                s.it += i * dt;
                s.forward += i.max(0.0) * dt;
            }
            if self.mode[k] != 0 {
                self.sums[k].lit += h;
            }
            match self.circuit.branches[k].device {
                Device::Capacitor { .. } => self.stored[k] = self.volts_in(&stages[1], k),
                Device::Inductor { .. } => self.stored[k] = self.amperes_in(&stages[1], k),
                _ => {}
            }
        }
        self.span += h;
        self.seen = stages[1].clone();
        self.note_extremes();
    }
}

/// Quantities of the last of `cycles` mains cycles from rest, with `steps` steps a cycle.
pub fn last_cycle(circuit: &Circuit, scale: f64, cycles: usize, steps: usize) -> Vec<Quantities> {
    let period = 1.0 / circuit.hertz;
    let mut stepper = Stepper::new(circuit, scale, 0.0, &[], period / steps as f64);
    stepper.run((cycles - 1) as f64 * period, None);
    stepper.forget();
    stepper.run(cycles as f64 * period, None);
    stepper.quantities()
}
