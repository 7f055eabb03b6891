//! Mode matrices, once per combination of the switching devices' segments: rows over z for every branch's voltage and
//! current, the state equations, the guards that end the mode, and propagators on dyadic steps.

use super::forest::Role;
use super::ladder::{self, LEVELS, Rate};
use super::linear::{dot, solve};
use super::netlist::Device;
use super::nodal::{potentials, stiff_currents};
use super::plan::Plan;
use super::rings::{Pace, paces};
use super::segment::{Segment, Watched, core_exits};
use super::taylor::SHORT;

/// Part of two potentials up to which what they are apart is their rounding.
const ROUNDING: f64 = 4.0 * f64::EPSILON;

/// One way to leave a mode: the device that leaves its segment, and where to.
#[derive(Debug, Clone, Copy)]
pub(super) struct Guard {
    /// Number of the switching device.
    pub device: usize,
    pub to: Segment,
}

/// The circuit while no switching device leaves its segment.
#[derive(Debug, Clone)]
pub(super) struct Mode {
    /// One a switching device.
    pub segments: Vec<Segment>,
    /// Branch volts: links × nz.
    pub v: Vec<f64>,
    /// Branch amperes: links × nz.
    pub i: Vec<f64>,
    /// n × nz: z' of the states.
    pub rate_rows: Vec<f64>,
    pub guards: Vec<Guard>,
    /// Guards × nz: `row · z` is in volts and not negative while the mode is legal.
    pub guard_rows: Vec<f64>,
    /// Guards × nz: their derivatives by time.
    pub guard_rates: Vec<f64>,
    /// Level at which a step is short against every time constant of the mode.
    pub finest: usize,
    /// exp(M h) - 1 for the steps of levels `0..=finest + BELOW`; empty until needed.
    pub ladder: Vec<Vec<f64>>,
    /// How it swings and dies away; known once the ladder is built.
    pub paces: Vec<Pace>,
}

impl Mode {
    /// The mode in which the switching devices are on these segments.
    pub(super) fn build(plan: &Plan, segments: &[Segment]) -> Mode {
        // Conductance and offset of every conducting branch.
        let mut g = vec![0.0; plan.links.len()];
        let mut j = vec![0.0; plan.links.len()];
        for (b, l) in plan.links.iter().enumerate() {
            (g[b], j[b]) = match l.role {
                Role::Ohmic(siemens) => (siemens, 0.0),
                Role::Switching(k) => segments[k].line(&l.device),
                Role::Source(_) | Role::Tree(_) | Role::Closing | Role::Coil(_) | Role::Meter => (0.0, 0.0),
            };
        }
        let (mut v, mut i) = branch_rows(plan, &g, &j);
        stiff_currents(plan, &g, &j, &mut v, &mut i);
        let rate = state_rates(plan, &v, &i, &segments[plan.forest.switching.len()..]);
        remaining_currents(plan, &rate, &mut i);
        let mut mode = Mode {
            segments: segments.to_vec(),
            v,
            i,
            finest: finest(plan, &rate),
            rate_rows: rate,
            guards: vec![],
            guard_rows: vec![],
            guard_rates: vec![],
            ladder: vec![],
            paces: vec![],
        };
        mode.add_guards(plan);
        mode
    }

    /// How many numbers it holds.
    pub(super) fn numbers(&self) -> usize {
        let rows = [&self.v, &self.i, &self.rate_rows, &self.guard_rows, &self.guard_rates];
        rows.into_iter().chain(&self.ladder).map(Vec::len).sum()
    }

    /// `z' = M z` of this mode.
    #[inline]
    pub(super) fn rate(&self, plan: &Plan) -> Rate<'_> {
        Rate { rows: &self.rate_rows, n: plan.n, nz: plan.nz, omega: plan.omega }
    }

    fn add_guards(&mut self, plan: &Plan) {
        let nz = plan.nz;
        // Two ways to leave a device's segment at most.
        self.guards.reserve_exact(2 * self.segments.len());
        self.guard_rows.reserve_exact(2 * self.segments.len() * nz);
        for (device, &b) in plan.forest.switching.iter().enumerate() {
            self.segments[device].exits(&plan.links[b].device, |exit| {
                let row = match exit.watched {
                    Watched::Volts => &self.v[b * nz..(b + 1) * nz],
                    Watched::Amperes => &self.i[b * nz..(b + 1) * nz],
                };
                self.guards.push(Guard { device, to: exit.to });
                self.guard_rows.extend(row.iter().map(|x| exit.factor * x));
                let one = self.guard_rows.len() - nz + plan.n;
                self.guard_rows[one] += exit.offset;
            });
        }
        for (k, iron) in plan.storage.cores.iter().enumerate() {
            let device = plan.forest.switching.len() + k;
            core_exits(self.segments[device], iron.knee, iron.reactance, |exit| {
                self.guards.push(Guard { device, to: exit.to });
                let row = self.guard_rows.len();
                self.guard_rows.resize(row + nz, 0.0);
                let turns = self.guard_rows[row + plan.nc..].iter_mut().zip(&iron.turns);
                turns.for_each(|(x, turns)| *x = exit.factor * turns);
                self.guard_rows[row + plan.n] += exit.offset;
            });
        }
        self.guard_rates = vec![0.0; self.guard_rows.len()];
        for (rate, row) in self.guard_rates.chunks_exact_mut(nz).zip(self.guard_rows.chunks_exact(nz)) {
            add_row_rate(plan, &self.rate_rows, row, rate);
        }
    }

    /// Level of the longest steps so many seconds after the mode began, when those of `level` have gone well: one level
    /// up, as what dies away is followed by steps that grow with the time that has passed; further where nothing is left
    /// that steps in between would have to follow; never further than what rings, unless it is `quiet`.
    #[inline]
    pub(super) fn longer(&self, level: usize, since: f64, quiet: bool) -> usize {
        let (mut left, mut rings) = (0, 0);
        for pace in self.paces.iter().filter(|pace| pace.lasts > since) {
            left = pace.level.max(left);
            if pace.counts || pace.rings && !quiet {
                rings = pace.level.max(rings);
            }
        }
        level.saturating_sub(1).min(left).max(rings)
    }

    /// Row over z of guard `k`.
    #[inline]
    pub(super) fn guard_row(&self, k: usize, nz: usize) -> &[f64] {
        &self.guard_rows[k * nz..(k + 1) * nz]
    }

    /// Builds the ladder of propagators on first use: modes that live for one Taylor step never need it.
    pub(super) fn need_ladder(&mut self, plan: &Plan) {
        if self.ladder.is_empty() {
            self.ladder = ladder::build(self.rate(plan), plan.base, self.finest + ladder::BELOW);
            self.paces = paces(plan, &self.rate_rows, self.finest);
        }
    }
}

/// Rows over z for the voltage of every branch, and for the current of those that conduct; the rest stay zero.
fn branch_rows(plan: &Plan, g: &[f64], j: &[f64]) -> (Vec<f64>, Vec<f64>) {
    let (nz, nb, one) = (plan.nz, plan.links.len(), plan.n);
    let u = potentials(plan, g, j);
    let mut v = vec![0.0; nb * nz];
    let mut i = vec![0.0; nb * nz];
    for (b, (l, (v, i))) in plan.links.iter().zip(v.chunks_exact_mut(nz).zip(i.chunks_exact_mut(nz))).enumerate() {
        let (ua, ub) = (&u[l.ua * nz..(l.ua + 1) * nz], &u[l.ub * nz..(l.ub + 1) * nz]);
        v.iter_mut().zip(ua.iter().zip(ub)).for_each(|(v, (a, b))| *v = apart(*a, *b));
        if l.driven {
            v.iter_mut().zip(plan.w(b)).for_each(|(v, w)| *v += w);
        }
        match l.role {
            Role::Ohmic(_) | Role::Switching(_) => {
                i.iter_mut().zip(v.iter()).for_each(|(i, v)| *i = g[b] * v);
                i[one] += j[b];
            }
            Role::Coil(k) => i[plan.nc + k] = 1.0,
            Role::Source(_) | Role::Tree(_) | Role::Closing | Role::Meter => {}
        }
    }
    (v, i)
}

/// How far two potentials are apart; nothing where that is rounding. On a floating circuit that only leaks hold an ampere
/// lifts all of it by gigavolts, and what is left of two of them would drive currents that are none.
#[inline]
fn apart(a: f64, b: f64) -> f64 {
    let by = a - b;
    if by.abs() <= ROUNDING * a.abs().max(b.abs()) { 0.0 } else { by }
}

/// Adds the row over z of the time derivative of `row · z` to `out`.
#[inline]
fn add_row_rate(plan: &Plan, rate: &[f64], row: &[f64], out: &mut [f64]) {
    let (n, nz) = (plan.n, plan.nz);
    for k in 0..n {
        if row[k] != 0.0 {
            for col in 0..nz {
                out[col] += row[k] * rate[k * nz + col];
            }
        }
    }
    out[n + 1] -= plan.omega * row[n + 2];
    out[n + 2] += plan.omega * row[n + 1];
}

/// State equations, n × nz, by duality: the coefficients of the branch voltages are those of the cut-set currents too.
/// `cores` are the segments of the cores.
fn state_rates(plan: &Plan, v: &[f64], i: &[f64], cores: &[Segment]) -> Vec<f64> {
    let (n, nc, nz) = (plan.n, plan.nc, plan.nz);
    let mut rate = vec![0.0; n * nz];
    if n == 0 {
        return rate;
    }
    let mut charging = charging_currents(plan, i);
    let capacitance = &plan.storage.capacitance;
    if plan.forest.closing.is_empty() {
        for k in 0..nc {
            let farads = capacitance[k * nc + k];
            for c in 0..nz {
                rate[k * nz + c] = charging[k * nz + c] / farads;
            }
        }
    } else if solve(&mut capacitance.clone(), &mut charging, nc, nz) {
        rate[..nc * nz].copy_from_slice(&charging);
    }
    let nl = n - nc;
    let saturated = || (0..cores.len()).filter(|k| cores[*k] != Segment::Off);
    let other = saturated().next().and_then(|_| plan.storage.inverse_saturated(saturated()));
    let inverse_inductance = other.as_ref().unwrap_or(&plan.storage.inverse_inductance);
    for p in 0..nl {
        for q in 0..nl {
            let f = inverse_inductance[p * nl + q];
            if f != 0.0 {
                let b = plan.forest.coils[q];
                for c in 0..nz {
                    rate[(nc + p) * nz + c] += f * v[b * nz + c];
                }
            }
        }
    }
    // Rounding in a stiff branch must not make trapped charge drift.
    for d in &plan.conserved {
        for c in 0..=n {
            let along: f64 = (0..n).map(|k| d[k] * rate[k * nz + c]).sum();
            (0..n).for_each(|k| rate[k * nz + c] -= along * d[k]);
        }
    }
    rate
}

/// What flows into each tree capacitor's cut-set, nc × nz: the currents of the branches across it, and what the mains
/// drives through closing capacitors.
fn charging_currents(plan: &Plan, i: &[f64]) -> Vec<f64> {
    let (n, nc, nz) = (plan.n, plan.nc, plan.nz);
    let mut out = vec![0.0; nc * nz];
    for (b, l) in plan.links.iter().enumerate() {
        match (l.role, l.device) {
            (Role::Ohmic(_) | Role::Switching(_) | Role::Coil(_), _) => {
                for (k, w) in plan.w(b)[..nc].iter().enumerate().filter(|(_, w)| **w != 0.0) {
                    for c in 0..nz {
                        out[k * nz + c] -= w * i[b * nz + c];
                    }
                }
            }
            (Role::Closing, Device::Capacitor { farads }) => {
                let w = plan.w(b);
                for k in 0..nc {
                    let f = w[k] * farads * plan.omega;
                    out[k * nz + n + 2] -= f * w[n + 1];
                    out[k * nz + n + 1] += f * w[n + 2];
                }
            }
            (Role::Closing | Role::Source(_) | Role::Tree(_) | Role::Meter, _) => {}
        }
    }
    out
}

/// Currents of capacitors (from their charging rates) and of sources (from the cut-sets).
fn remaining_currents(plan: &Plan, rate: &[f64], i: &mut [f64]) {
    let nz = plan.nz;
    for (b, l) in plan.links.iter().enumerate() {
        if let (Role::Tree(_) | Role::Closing, Device::Capacitor { farads }) = (l.role, l.device) {
            let row = &mut i[b * nz..(b + 1) * nz];
            add_row_rate(plan, rate, plan.w(b), row);
            row.iter_mut().for_each(|x| *x *= farads);
        }
    }
    for (k, &source) in plan.forest.sources.iter().enumerate() {
        for (b, l) in plan.links.iter().enumerate() {
            let joins = !matches!(l.role, Role::Source(_) | Role::Tree(_));
            if joins && plan.ws(b)[k] != 0.0 {
                for c in 0..nz {
                    let add = plan.ws(b)[k] * i[b * nz + c];
                    i[source * nz + c] -= add;
                }
            }
        }
    }
}

/// First level at which the step is at most half the fastest time constant; the Frobenius norm in energy
/// coordinates bounds the spectral radius tightly.
fn finest(plan: &Plan, rate: &[f64]) -> usize {
    let (n, nz, energy) = (plan.n, plan.nz, &plan.storage.energy);
    let mut sum = 0.0;
    for r in 0..n {
        for c in 0..n {
            let a = rate[r * nz + c] * energy[r] / energy[c];
            sum += a * a;
        }
    }
    let rho = sum.sqrt().max(if plan.sine > 0.0 { plan.omega } else { 0.0 });
    // Without mains a single discharge is told to more digits than a cycle.
    let short = if plan.sine == 0.0 { SHORT / 2.0 } else { SHORT };
    let mut level = 0;
    let mut h = plan.base;
    while h * rho > short && level < LEVELS {
        h /= 2.0;
        level += 1;
    }
    level
}

/// Value of row k of a matrix of rows over z.
#[inline]
pub(super) fn at(rows: &[f64], k: usize, z: &[f64]) -> f64 {
    dot(&rows[k * z.len()..(k + 1) * z.len()], z)
}
