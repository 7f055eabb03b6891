//! Walks the extended state through time: ladder steps while a mode stays legal, a Taylor step where it ends,
//! a consistent mode after every event.

use std::collections::HashMap;

use super::linear::dot;
use super::mode::{LEVELS, Mode, State, TAYLOR, at, turn};
use super::topology::Plan;
use super::{Device, Unsolved};

/// Volts below zero at which a guard counts as violated.
const TOLERANCE: f64 = 1e-9;
/// Volts above zero from which a guard counts as clear of it: it then falls at zero, not at the tolerance, which is
/// there for guards that an event has left at zero but for rounding.
const CLEAR: f64 = 1e-11;

/// Rounding in a guard, as a multiple of the sum of the magnitudes it is made of: at a node that only a leak of many
/// megohms holds, an ampere that cancels another leaves nanovolts.
const ROUNDING: f64 = 8.0 * f64::EPSILON;

/// Value a guard must not go below, by where it was and its rounding.
#[inline]
fn floor(before: f64, rounding: f64) -> f64 {
    if before > CLEAR + rounding { 0.0 } else { -TOLERANCE - rounding }
}

/// A guard's value and its rounding.
#[inline]
fn weigh(row: &[f64], z: &[f64]) -> (f64, f64) {
    row.iter().zip(z).fold((0.0, 0.0), |(v, r), (a, b)| (v + a * b, r + (a * b).abs() * ROUNDING))
}
/// Parts of a mains period for which an inconsistent mode is held when nothing else helps.
const DWELL: f64 = 1.0 / 16384.0;

/// Modes up to which a look along the list beats hashing.
const FEW: usize = 12;
/// Steps that one walk, and one solution altogether, may try before they are given up: hundreds of times what a
/// circuit of the bench needs.
const WALK: usize = 400_000;
const EFFORT: usize = 2_000_000;

/// One accepted step.
#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    pub mode: usize,
    /// Level of the ladder, or `None` for a Taylor step.
    pub level: Option<usize>,
    pub t: f64,
    pub h: f64,
}

/// A device that changed state.
#[derive(Debug, Clone, Copy)]
pub(super) struct Event {
    pub t: f64,
    pub device: usize,
    pub from: State,
    pub to: State,
}

/// What happened between two instants: `z` holds the state at the start of every step and at the end.
#[derive(Debug, Clone, Default)]
pub(super) struct Trace {
    pub steps: Vec<Step>,
    pub z: Vec<f64>,
    pub events: Vec<Event>,
    pub forced: bool,
}

impl Trace {
    /// With room for a cycle or two of steps, so that it need not grow while it is written.
    pub(super) fn roomy(nz: usize) -> Trace {
        const STEPS: usize = 160;
        Trace { steps: Vec::with_capacity(STEPS), z: Vec::with_capacity(STEPS * nz), ..Trace::default() }
    }

    fn clear(&mut self) {
        self.steps.clear();
        self.z.clear();
        self.events.clear();
        self.forced = false;
    }
}

/// Where the walk is.
#[derive(Debug, Clone)]
pub(super) struct Walk {
    pub z: Vec<f64>,
    pub states: Vec<State>,
}

/// What one instant did to each lamp, for the rules that make a consistent mode exist.
#[derive(Default)]
struct Instant {
    struck: Vec<usize>,
    quenched: Vec<usize>,
    held: Vec<usize>,
}

/// A plan with its cache of modes.
#[derive(Debug, Clone)]
pub(super) struct Machine {
    pub plan: Plan,
    pub modes: Vec<Mode>,
    index: HashMap<Vec<State>, usize>,
    last: usize,
    /// Length of the ladder's steps, and the mains' turn over each (cos - 1, sin), by level.
    lengths: std::sync::Arc<[f64]>,
    pub turns: Vec<(f64, f64)>,
    /// Steps tried since the caller last asked for a solution.
    pub effort: usize,
}

impl Machine {
    pub(super) fn new(plan: Plan) -> Self {
        Machine {
            lengths: std::sync::Arc::from([]),
            turns: vec![],
            plan,
            modes: vec![],
            index: HashMap::new(),
            last: usize::MAX,
            effort: 0,
        }
    }

    pub(super) fn mode(&mut self, states: &[State]) -> usize {
        if let Some(m) = self.modes.get(self.last)
            && m.states == states
        {
            return self.last;
        }
        let found = if self.modes.len() <= FEW {
            self.modes.iter().position(|m| m.states == states)
        } else {
            self.index.get(states).copied()
        };
        self.last = found.unwrap_or_else(|| {
            self.modes.push(Mode::build(&self.plan, states));
            // The index begins when the list grows past a few.
            let fresh = self.modes.len() - 1;
            let from = if fresh == FEW { 0 } else { fresh };
            if fresh >= FEW {
                self.index.extend((from..=fresh).map(|k| (self.modes[k].states.clone(), k)));
            }
            fresh
        });
        self.last
    }

    /// The ladder of a mode, and the mains' turn over each of its steps.
    fn climb(&mut self, m: usize) {
        self.modes[m].climb(&self.plan);
        for k in self.turns.len()..self.modes[m].ladder.len() {
            self.turns.push(turn(self.plan.omega * self.lengths[k]));
        }
    }

    /// States from rest at a mains angle, `z` filled for the amplitude.
    pub(super) fn rest(&self, scale: f64, angle: f64) -> Walk {
        let p = &self.plan;
        let mut z = vec![0.0; p.nz];
        z[p.n] = 1.0;
        z[p.n + 1] = scale * angle.sin();
        z[p.n + 2] = scale * angle.cos();
        Walk { z, states: vec![0; p.switching.len()] }
    }

    /// A mode whose guards all hold at `z`; `None` when there is none within the bound.
    fn settle(&mut self, z: &[f64], states: &mut [State], instant: &mut Instant) -> (usize, bool) {
        let mut round = 0;
        loop {
            let m = self.mode(states);
            let mode = &self.modes[m];
            let limit = 8 + 2 * mode.guards.len();
            let nz = z.len();
            let mut flips = vec![];
            for (k, guard) in mode.guards.iter().enumerate() {
                // A lamp put on hold in this event re-arms only in a later one.
                let rearm = mode.states[guard.device].abs() == 2 && guard.to.abs() == 1;
                if rearm && instant.held.contains(&guard.device) {
                    continue;
                }
                let (value, rounding) = weigh(&mode.guard[k * nz..(k + 1) * nz], z);
                if value < -TOLERANCE - rounding {
                    flips.push(*guard);
                    if round >= 8 {
                        break;
                    }
                }
            }
            if flips.is_empty() {
                return (m, true);
            }
            if round >= limit {
                return (m, false);
            }
            for g in flips {
                let to = self.lamp_rule(m, g.device, g.to, z, instant);
                states[g.device] = to;
            }
            round += 1;
        }
    }

    /// Lamps are hysteretic; these rules always end (see the module's design notes in DEVELOPERS.md).
    fn lamp_rule(&self, mode: usize, device: usize, to: State, z: &[f64], instant: &mut Instant) -> State {
        let b = self.plan.switching[device];
        if !matches!(self.plan.links[b].device, Device::Neon { .. }) {
            return to;
        }
        let old = self.modes[mode].states[device];
        let i = at(&self.modes[mode].i, b, z) * f64::from(old.signum());
        match (old, to) {
            (0, s) if instant.quenched.contains(&device) => {
                instant.held.push(device);
                2 * s.signum()
            }
            (0, s) => {
                instant.struck.push(device);
                s
            }
            (1 | -1, 0) if instant.struck.contains(&device) && i > 0.0 => {
                instant.held.push(device);
                2 * old
            }
            (_, 0) => {
                instant.quenched.push(device);
                0
            }
            (_, s) => s,
        }
    }

    /// Walks for `span` seconds. With `phi` (n × n) the sensitivity of the end to the start is multiplied onto it.
    pub(super) fn walk(
        &mut self,
        walk: &mut Walk,
        span: f64,
        trace: &mut Trace,
        mut phi: Option<&mut Vec<f64>>,
    ) -> Result<(), Unsolved> {
        trace.clear();
        let (n, nz) = (self.plan.n, self.plan.nz);
        if self.lengths.is_empty() {
            self.lengths = (0..=LEVELS + 2).map(|k| self.plan.base / 2f64.powi(k as i32)).collect();
        }
        let lengths = self.lengths.clone();
        let devices = self.plan.switching.len();
        let period = 2.0 * std::f64::consts::PI / self.plan.omega;
        let (mut m, mut settled) = self.settle(&walk.z, &mut walk.states, &mut Instant::default());
        let mut t = 0.0;
        let mut level = self.modes[m].finest;
        let mut accepted = 0;
        let mut bad = f64::INFINITY;
        let (mut dwell, mut blind) = (DWELL * period, 0.0);
        let (mut stalled, mut stalled_at) = (0usize, 0.0);
        let stall_limit = 40 + 4 * devices;
        let mut now = Guards::default();
        let mut ahead = Guards::default();
        now.fill(&self.modes[m], &walk.z);
        let mut z1 = vec![0.0; nz];
        let mut taylor = vec![0.0; (TAYLOR + 1) * nz];
        let mut budget = WALK;
        trace.z.extend_from_slice(&walk.z);
        while span - t > 1e-13 * span {
            budget -= 1;
            self.effort += 1;
            if budget == 0 || self.effort > EFFORT || !walk.z.iter().all(|x| x.is_finite()) {
                return Err(Unsolved::Lost { what: "the walk through time did not come to an end" });
            }
            if !settled {
                blind = t + dwell;
                dwell = (2.0 * dwell).min(period / 64.0);
                trace.forced = true;
                settled = true;
            }
            if t >= bad {
                // Passed without an event: the cubic through the ends of a step had seen a dip that was none.
                bad = f64::INFINITY;
            }
            let finest = self.modes[m].finest;
            let h_of = |k: usize| lengths[k];
            while level < finest && (h_of(level) > span - t || t + h_of(level) >= bad) {
                level += 1;
                accepted = 0;
            }
            if blind > t {
                // Held in a mode that is not consistent: to the end of the dwell without looking at the guards.
                let left = (span - t).min(blind - t);
                let k = (0..=finest).find(|&k| h_of(k) <= left);
                let h = k.map_or(left, h_of);
                if k.is_some() {
                    self.climb(m);
                    let k = k.unwrap_or(finest);
                    let (c, s) = self.turns[k];
                    ladder_step(n, nz, &self.modes[m].ladder[k], &walk.z, c, s, &mut z1);
                    if let Some(p) = phi.as_deref_mut() {
                        multiply(n, nz, &self.modes[m].ladder[k], p);
                    }
                } else {
                    taylor_terms(&self.plan, &self.modes[m].rate, &walk.z, &mut taylor);
                    polynomial(&taylor, nz, h, &mut z1);
                    if let Some(p) = phi.as_deref_mut() {
                        taylor_matrix(&self.plan, &self.modes[m].rate, h, p);
                    }
                }
                trace.steps.push(Step { mode: m, level: k, t, h });
                trace.z.extend_from_slice(&z1);
                std::mem::swap(&mut walk.z, &mut z1);
                t += h;
                if blind - t <= 1e-15 * span {
                    blind = 0.0;
                    (m, settled) = self.settle(&walk.z, &mut walk.states, &mut Instant::default());
                    level = self.modes[m].finest;
                    bad = f64::INFINITY;
                    now.fill(&self.modes[m], &walk.z);
                }
                continue;
            }
            let h = h_of(level);
            if h <= span - t && t + h < bad {
                self.climb(m);
                let mode = &self.modes[m];
                let (c, s) = self.turns[level];
                ladder_step(n, nz, &mode.ladder[level], &walk.z, c, s, &mut z1);
                ahead.fill(mode, &z1);
                if now.stays_legal(&ahead, h) {
                    if let Some(p) = phi.as_deref_mut() {
                        multiply(n, nz, &mode.ladder[level], p);
                    }
                    trace.steps.push(Step { mode: m, level: Some(level), t, h });
                    trace.z.extend_from_slice(&z1);
                    std::mem::swap(&mut walk.z, &mut z1);
                    std::mem::swap(&mut now, &mut ahead);
                    t += h;
                    accepted += 1;
                    if accepted >= 2 && level > 0 {
                        level -= 1;
                        accepted = 0;
                    }
                } else {
                    bad = bad.min(t + h);
                    level = (level + 1).min(finest);
                    accepted = 0;
                }
                continue;
            }
            // Taylor step: the end of the span, or the neighbourhood of an event.
            let h = h_of(finest).min(span - t);
            taylor_terms(&self.plan, &self.modes[m].rate, &walk.z, &mut taylor);
            let hit = first_event(&self.modes[m], &taylor, nz, h);
            // A guard that creeps below zero may need longer than this step to pass the tolerance; where a longer step
            // has shown that it will, it is an event now.
            let hit = hit.or_else(|| if t + h >= bad { now.creeping() } else { None });
            let tau = hit.map_or(h, |(tau, _)| tau);
            if tau > 0.0 {
                polynomial(&taylor, nz, tau, &mut z1);
                if let Some(p) = phi.as_deref_mut() {
                    taylor_matrix(&self.plan, &self.modes[m].rate, tau, p);
                }
                trace.steps.push(Step { mode: m, level: None, t, h: tau });
                trace.z.extend_from_slice(&z1);
                std::mem::swap(&mut walk.z, &mut z1);
                t += tau;
            }
            if let Some((_, guard)) = hit {
                let before = m;
                stalled = if t - stalled_at > 1e-12 * period { 0 } else { stalled + 1 };
                stalled_at = t;
                (m, settled) = self.event(m, guard, walk, t, trace);
                if stalled > stall_limit {
                    settled = false;
                    stalled = 0;
                }
                if let Some(p) = phi.as_deref_mut() {
                    self.saltate(before, m, guard, &walk.z, p);
                }
                level = self.modes[m].finest;
                accepted = 0;
                bad = f64::INFINITY;
            }
            now.fill(&self.modes[m], &walk.z);
        }
        Ok(())
    }

    /// Settles from given states; `None` when there is no consistent mode.
    pub(super) fn settle_at(&mut self, z: &[f64], states: &mut [State]) -> Option<usize> {
        let (m, ok) = self.settle(z, states, &mut Instant::default());
        ok.then_some(m)
    }

    /// One event outside a walk; `None` when there is no consistent mode after it.
    pub(super) fn event_at(
        &mut self,
        m: usize,
        guard: usize,
        walk: &mut Walk,
        t: f64,
        events: &mut Vec<Event>,
    ) -> Option<usize> {
        let mut trace = Trace::default();
        let (m, ok) = self.event(m, guard, walk, t, &mut trace);
        events.append(&mut trace.events);
        ok.then_some(m)
    }

    /// Flips the device whose guard fell, and all whose guards fall with it, then settles.
    fn event(&mut self, m: usize, guard: usize, walk: &mut Walk, t: f64, trace: &mut Trace) -> (usize, bool) {
        let nz = walk.z.len();
        let before = walk.states.clone();
        let mut instant = Instant::default();
        let mut flips = vec![self.modes[m].guards[guard]];
        for (k, g) in self.modes[m].guards.iter().enumerate() {
            let rows = k * nz..(k + 1) * nz;
            let (value, rounding) = weigh(&self.modes[m].guard[rows.clone()], &walk.z);
            let together = k != guard
                && value <= TOLERANCE + rounding
                && dot(&self.modes[m].slope[rows], &walk.z) < 0.0
                && flips.iter().all(|f| f.device != g.device);
            if together {
                flips.push(*g);
            }
        }
        for g in flips {
            let to = self.lamp_rule(m, g.device, g.to, &walk.z, &mut instant);
            walk.states[g.device] = to;
        }
        let found = self.settle(&walk.z, &mut walk.states, &mut instant);
        for (device, (&from, &to)) in before.iter().zip(&walk.states).enumerate() {
            if from != to {
                trace.events.push(Event { t, device, from, to });
            }
        }
        found
    }

    /// Sensitivity across an event: the instant itself moves with the state.
    fn saltate(&self, before: usize, after: usize, guard: usize, z: &[f64], phi: &mut [f64]) {
        let (n, nz) = (self.plan.n, self.plan.nz);
        let row = &self.modes[before].guard[guard * nz..(guard + 1) * nz];
        let speed = dot(&self.modes[before].slope[guard * nz..(guard + 1) * nz], z);
        if speed.abs() < 1e-12 {
            return;
        }
        let jump: Vec<f64> =
            (0..n).map(|k| at(&self.modes[after].rate, k, z) - at(&self.modes[before].rate, k, z)).collect();
        for c in 0..n {
            let moved: f64 = (0..n).map(|k| row[k] * phi[k * n + c]).sum::<f64>() / speed;
            for k in 0..n {
                phi[k * n + c] += jump[k] * moved;
            }
        }
    }
}

/// Guard values and slopes at one state.
#[derive(Default)]
struct Guards {
    value: Vec<f64>,
    rounding: Vec<f64>,
    slope: Vec<f64>,
}

impl Guards {
    fn fill(&mut self, mode: &Mode, z: &[f64]) {
        self.value.clear();
        self.rounding.clear();
        self.slope.clear();
        for k in 0..mode.guards.len() {
            let (value, rounding) = weigh(&mode.guard[k * z.len()..(k + 1) * z.len()], z);
            self.value.push(value);
            self.rounding.push(rounding);
            self.slope.push(at(&mode.slope, k, z));
        }
    }

    /// The lowest guard that is at zero, but for rounding, and falling: an event at once.
    fn creeping(&self) -> Option<(f64, usize)> {
        let below = (0..self.value.len()).filter(|&k| self.value[k] < CLEAR + self.rounding[k] && self.slope[k] < 0.0);
        below.min_by(|&a, &b| self.value[a].total_cmp(&self.value[b])).map(|k| (0.0, k))
    }

    /// Whether no guard is violated at the end of the step nor, by the cubic through both ends, inside it.
    fn stays_legal(&self, end: &Guards, h: f64) -> bool {
        for k in 0..self.value.len() {
            let (a, b) = (self.value[k], end.value[k]);
            let floor = floor(a, self.rounding[k].max(end.rounding[k]));
            if b < floor {
                return false;
            }
            let (da, db) = (self.slope[k] * h, end.slope[k] * h);
            if da < 0.0 && db > 0.0 {
                // Hermite cubic a + da x + (3(b-a) - 2da - db) x² + (2(a-b) + da + db) x³ on 0..1
                let (p, q) = (3.0 * (b - a) - 2.0 * da - db, 2.0 * (a - b) + da + db);
                let disc = p * p - 3.0 * q * da;
                if disc >= 0.0 {
                    let x = if p + disc.sqrt() != 0.0 { -da / (p + disc.sqrt()) } else { 0.5 };
                    if (0.0..=1.0).contains(&x) && a + x * (da + x * (p + x * q)) < floor {
                        return false;
                    }
                }
            }
        }
        true
    }
}

/// z + E z with the exact turn of the mains.
pub(super) fn ladder_step(n: usize, nz: usize, e: &[f64], z: &[f64], c: f64, s: f64, out: &mut [f64]) {
    for r in 0..n {
        out[r] = z[r] + dot(&e[r * nz..(r + 1) * nz], z);
    }
    out[n] = z[n];
    out[n + 1] = z[n + 1] + z[n + 1] * c + z[n + 2] * s;
    out[n + 2] = z[n + 2] + z[n + 2] * c - z[n + 1] * s;
}

fn multiply(n: usize, nz: usize, e: &[f64], phi: &mut [f64]) {
    if n == 1 {
        phi[0] += e[0] * phi[0];
        return;
    }
    let old = phi.to_vec();
    for r in 0..n {
        for k in 0..n {
            let f = e[r * nz + k];
            for c in 0..n {
                phi[r * n + c] += f * old[k * n + c];
            }
        }
    }
}

/// Taylor coefficients of z(t): row j is M^j z / j!.
pub(super) fn taylor_terms(plan: &Plan, rate: &[f64], z: &[f64], out: &mut [f64]) {
    let (n, nz) = (plan.n, plan.nz);
    out[..nz].copy_from_slice(z);
    for j in 1..=TAYLOR {
        let (done, rest) = out.split_at_mut(j * nz);
        let (last, next) = (&done[(j - 1) * nz..], &mut rest[..nz]);
        let f = 1.0 / j as f64;
        for k in 0..n {
            next[k] = f * dot(&rate[k * nz..(k + 1) * nz], last);
        }
        next[n] = 0.0;
        next[n + 1] = f * plan.omega * last[n + 2];
        next[n + 2] = -f * plan.omega * last[n + 1];
    }
}

/// Value of the Taylor polynomial at `tau`.
pub(super) fn polynomial(terms: &[f64], nz: usize, tau: f64, out: &mut [f64]) {
    out.copy_from_slice(&terms[TAYLOR * nz..]);
    for j in (0..TAYLOR).rev() {
        for c in 0..nz {
            out[c] = out[c] * tau + terms[j * nz + c];
        }
    }
}

/// phi <- exp(A tau) phi by the same Taylor polynomial.
fn taylor_matrix(plan: &Plan, rate: &[f64], tau: f64, phi: &mut [f64]) {
    let (n, nz) = (plan.n, plan.nz);
    let mut term = phi.to_vec();
    for j in 1..=TAYLOR {
        let mut next = vec![0.0; n * n];
        for r in 0..n {
            for k in 0..n {
                let f = rate[r * nz + k] * tau / j as f64;
                for c in 0..n {
                    next[r * n + c] += f * term[k * n + c];
                }
            }
        }
        phi.iter_mut().zip(&next).for_each(|(p, x)| *p += x);
        term = next;
    }
}

fn value(p: &[f64], x: f64) -> f64 {
    p.iter().rev().fold(0.0, |s, c| s * x + c)
}

fn derivative(p: &[f64], x: f64) -> f64 {
    (1..p.len()).rev().fold(0.0, |s, j| s * x + j as f64 * p[j])
}

/// Earliest instant in 0..=h at which a guard falls through zero, with the guard's number.
fn first_event(mode: &Mode, taylor: &[f64], nz: usize, h: f64) -> Option<(f64, usize)> {
    let mut best: Option<(f64, usize)> = None;
    let mut p = [0.0; TAYLOR + 1];
    for k in 0..mode.guards.len() {
        let row = &mode.guard[k * nz..(k + 1) * nz];
        for (j, c) in p.iter_mut().enumerate() {
            *c = dot(row, &taylor[j * nz..(j + 1) * nz]);
        }
        let end = best.map_or(h, |b| b.0);
        let rounding = weigh(row, &taylor[..nz]).1;
        if let Some(tau) = first_fall(&p, end, rounding)
            && best.is_none_or(|b| tau < b.0)
        {
            best = Some((tau, k));
        }
    }
    best
}

/// First fall of a polynomial through zero on 0..=h, if it goes below the tolerance there.
fn first_fall(p: &[f64], h: f64, rounding: f64) -> Option<f64> {
    const PARTS: usize = 8;
    let mut low = 0.0;
    for j in 1..=PARTS {
        let high = h * j as f64 / PARTS as f64;
        if value(p, high) < floor(p[0], rounding) {
            return Some(root(p, low, high));
        }
        low = high;
    }
    None
}

/// Root between `low` (not below the tolerance) and `high` (below it).
fn root(p: &[f64], mut low: f64, mut high: f64) -> f64 {
    if value(p, low) <= 0.0 {
        // It starts at zero. If it rises first, its fall lies later in the step, not at zero.
        let rises = (1..=40).map(|k| low + (high - low) / 2f64.powi(k)).find(|&x| value(p, x) > 0.0);
        match rises {
            Some(x) => low = x,
            None => return low,
        }
    }
    let mut x = 0.5 * (low + high);
    for _ in 0..100 {
        let f = value(p, x);
        if f.abs() <= 0.02 * TOLERANCE {
            break;
        }
        if f > 0.0 {
            low = x
        } else {
            high = x
        }
        let newton = x - f / derivative(p, x);
        let next = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
        if next == x || high - low <= 1e-16 * high {
            break;
        }
        x = next;
    }
    x
}
