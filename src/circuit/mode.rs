//! Mode matrices, once per combination of device states: rows over z for every branch's voltage and current,
//! the state equations, the guards that end the mode, and propagators on dyadic steps.

use super::Device;
use super::linear::dot;
use super::nodal::{potentials, stiff_currents};
use super::topology::{Plan, Role};

/// State of a switching device: 0 = off / dark / between the knees; 1 = on / up / lit with v > 0;
/// -1 = breakdown / down / lit with v < 0; 2 and -2 = a lamp held lit below its extinction current.
pub(super) type State = i8;

/// One way to leave a mode; `row · z` is in volts and not negative while the mode is legal.
#[derive(Debug, Clone, Copy)]
pub(super) struct Guard {
    pub device: usize,
    pub to: State,
}

/// Order of the Taylor steps: at `h * rho <= 0.5` the remainder is below 1e-13 of the fast part.
pub(super) const TAYLOR: usize = 12;
/// Finest ladder steps kept below the Taylor step, for the quarter points of the quadrature.
const BELOW: usize = 2;
const TERMS: usize = 10;
/// Most levels of a ladder.
pub(super) const LEVELS: usize = 80;

#[derive(Debug, Clone)]
pub(super) struct Mode {
    pub states: Vec<State>,
    /// nb × nz.
    pub v: Vec<f64>,
    /// nb × nz.
    pub i: Vec<f64>,
    /// n × nz: z' of the states.
    pub rate: Vec<f64>,
    pub guards: Vec<Guard>,
    /// Guard rows, then their rates: each guards × nz.
    pub guard: Vec<f64>,
    pub slope: Vec<f64>,
    /// Level at which a step is short against every time constant of the mode.
    pub finest: usize,
    /// exp(M h_k) - 1, top rows (n × nz), for k = 0..=finest + BELOW; empty until needed.
    pub ladder: Vec<Vec<f64>>,
}

/// Conductance and offset of a switching device: `i = g v + j`.
fn line(device: &Device, state: State) -> (f64, f64) {
    let knee = |at: f64, on: f64, off: f64| (1.0 / on, at / off - at / on);
    match (*device, state) {
        (Device::Diode { off_ohms, .. } | Device::Clamp { off_ohms, .. } | Device::Neon { off_ohms, .. }, 0) => {
            (1.0 / off_ohms, 0.0)
        }
        (Device::Diode { forward, on_ohms, off_ohms, .. }, 1) => knee(forward, on_ohms, off_ohms),
        (Device::Diode { on_ohms, off_ohms, breakdown, .. }, _) => {
            knee(-breakdown.unwrap_or(f64::INFINITY), on_ohms, off_ohms)
        }
        (Device::Clamp { up, on_ohms, off_ohms, .. }, 1) => knee(up, on_ohms, off_ohms),
        (Device::Clamp { down, on_ohms, off_ohms, .. }, _) => knee(-down, on_ohms, off_ohms),
        (Device::Neon { maintain, lit_ohms, .. }, s) => (1.0 / lit_ohms, -f64::from(s.signum()) * maintain / lit_ohms),
        _ => (0.0, 0.0),
    }
}

impl Mode {
    pub(super) fn build(plan: &Plan, states: &[State]) -> Mode {
        let (nz, nb, one) = (plan.nz, plan.links.len(), plan.n);
        // Conductance and offset of every conducting branch.
        let mut g = vec![0.0; nb];
        let mut j = vec![0.0; nb];
        for (b, l) in plan.links.iter().enumerate() {
            (g[b], j[b]) = match l.role {
                Role::Ohmic(siemens) => (siemens, 0.0),
                Role::Switching(k) => line(&l.device, states[k]),
                _ => (0.0, 0.0),
            };
        }
        let u = potentials(plan, &g, &j);
        let mut v = vec![0.0; nb * nz];
        let mut i = vec![0.0; nb * nz];
        for (b, (l, (v, i))) in plan.links.iter().zip(v.chunks_exact_mut(nz).zip(i.chunks_exact_mut(nz))).enumerate() {
            let (ua, ub) = (&u[l.ua * nz..(l.ua + 1) * nz], &u[l.ub * nz..(l.ub + 1) * nz]);
            v.iter_mut().zip(ua.iter().zip(ub)).for_each(|(v, (a, b))| *v = a - b);
            if l.driven {
                v.iter_mut().zip(plan.w(b)).for_each(|(v, w)| *v += w);
            }
            match l.role {
                Role::Ohmic(_) | Role::Switching(_) => {
                    i.iter_mut().zip(v.iter()).for_each(|(i, v)| *i = g[b] * v);
                    i[one] += j[b];
                }
                Role::Coil(k) => i[plan.nc + k] = 1.0,
                _ => {}
            }
        }
        stiff_currents(plan, &g, &j, &mut v, &mut i);
        let rate = state_rates(plan, &v, &i);
        remaining_currents(plan, &rate, &mut i);
        let mut mode = Mode {
            states: states.to_vec(),
            v,
            i,
            rate,
            guards: vec![],
            guard: vec![],
            slope: vec![],
            finest: 0,
            ladder: vec![],
        };
        mode.add_guards(plan);
        mode.finest = finest(plan, &mode.rate);
        mode
    }

    fn add_guards(&mut self, plan: &Plan) {
        let nz = plan.nz;
        // Two ways to leave a device's state at most.
        self.guards.reserve_exact(2 * self.states.len());
        self.guard.reserve_exact(2 * self.states.len() * nz);
        for (device, &b) in plan.switching.iter().enumerate() {
            let v = b * nz..(b + 1) * nz;
            let s = self.states[device];
            let sign = f64::from(s.signum());
            // (target state, sign of v, constant) for guards in v; currents are taken through the slope.
            let mut put = |to: State, row: &[f64], factor: f64, constant: f64| {
                self.guards.push(Guard { device, to });
                self.guard.extend(row.iter().map(|x| factor * x));
                let at = self.guard.len() - nz + plan.n;
                self.guard[at] += constant;
            };
            let (rv, ri) = (&self.v[v.clone()], &self.i[v]);
            match (plan.links[b].device, s) {
                (Device::Diode { forward, breakdown, .. }, 0) => {
                    put(1, rv, -1.0, forward);
                    if let Some(b) = breakdown {
                        put(-1, rv, 1.0, b);
                    }
                }
                // On until the current ends, a few nanovolts of hysteresis below the knee: a lamp in series with the
                // diode then goes out with it, not later on the diode's leakage.
                (Device::Diode { on_ohms, .. }, 1) => put(0, ri, on_ohms, 0.0),
                (Device::Diode { on_ohms, off_ohms, breakdown, .. }, _) => {
                    put(0, ri, -on_ohms, -on_ohms * breakdown.unwrap_or(0.0) / off_ohms);
                }
                (Device::Clamp { up, down, .. }, 0) => {
                    put(1, rv, -1.0, up);
                    put(-1, rv, 1.0, down);
                }
                (Device::Clamp { up, on_ohms, off_ohms, .. }, 1) => put(0, ri, on_ohms, -on_ohms * up / off_ohms),
                (Device::Clamp { down, on_ohms, off_ohms, .. }, _) => {
                    put(0, ri, -on_ohms, -on_ohms * down / off_ohms);
                }
                (Device::Neon { strike, .. }, 0) => {
                    put(1, rv, -1.0, strike);
                    put(-1, rv, 1.0, strike);
                }
                (Device::Neon { lit_ohms, extinction, .. }, 1 | -1) => {
                    put(0, ri, sign * lit_ohms, -lit_ohms * extinction);
                }
                (Device::Neon { lit_ohms, extinction, .. }, _) => {
                    put(0, ri, sign * lit_ohms, 0.0);
                    put(s.signum(), ri, -sign * lit_ohms, lit_ohms * extinction);
                }
                _ => {}
            }
        }
        self.slope = vec![0.0; self.guard.len()];
        for (slope, guard) in self.slope.chunks_exact_mut(nz).zip(self.guard.chunks_exact(nz)) {
            row_rate(plan, &self.rate, guard, slope);
        }
    }

    /// The ladder of propagators, built on first use: modes that live for one Taylor step never need it.
    pub(super) fn climb(&mut self, plan: &Plan) {
        if !self.ladder.is_empty() {
            return;
        }
        let (n, nz) = (plan.n, plan.nz);
        let top = self.finest + BELOW;
        let mut ladder = vec![vec![]; top + 1];
        let mut e = vec![0.0; n * nz];
        if n > 0 {
            let h = plan.base / 2f64.powi(top as i32);
            let mut term: Vec<f64> = self.rate.iter().map(|x| x * h).collect();
            for k in 2..=TERMS {
                e.iter_mut().zip(&term).for_each(|(x, t)| *x += t);
                term = times_rate(plan, &term, &self.rate, h / k as f64);
            }
            e.iter_mut().zip(&term).for_each(|(x, t)| *x += t);
        }
        for k in (0..=top).rev() {
            ladder[k] = e.clone();
            if k > 0 && n > 0 {
                let (c, s) = turn(plan.omega * plan.base / 2f64.powi(k as i32));
                e = doubled(n, nz, &e, c, s);
            }
        }
        self.ladder = ladder;
    }
}

/// cos x - 1 and sin x.
pub(super) fn turn(x: f64) -> (f64, f64) {
    let h = (x / 2.0).sin();
    (-2.0 * h * h, x.sin())
}

/// `2E + E E`, top rows, with the exact turn of the mains in the last two rows of the full matrix.
fn doubled(n: usize, nz: usize, e: &[f64], c: f64, s: f64) -> Vec<f64> {
    let mut out: Vec<f64> = e.iter().map(|x| 2.0 * x).collect();
    for r in 0..n {
        for k in 0..n {
            let f = e[r * nz + k];
            if f != 0.0 {
                for col in 0..nz {
                    out[r * nz + col] += f * e[k * nz + col];
                }
            }
        }
        let (es, ec) = (e[r * nz + n + 1], e[r * nz + n + 2]);
        out[r * nz + n + 1] += es * c - ec * s;
        out[r * nz + n + 2] += es * s + ec * c;
    }
    out
}

/// `factor * T M` for top rows T, with M's own last rows being the turning mains.
fn times_rate(plan: &Plan, t: &[f64], rate: &[f64], factor: f64) -> Vec<f64> {
    let (n, nz) = (plan.n, plan.nz);
    let mut out = vec![0.0; n * nz];
    for r in 0..n {
        for k in 0..n {
            let f = factor * t[r * nz + k];
            for col in 0..nz {
                out[r * nz + col] += f * rate[k * nz + col];
            }
        }
        out[r * nz + n + 1] -= factor * plan.omega * t[r * nz + n + 2];
        out[r * nz + n + 2] += factor * plan.omega * t[r * nz + n + 1];
    }
    out
}

/// Row over z of the time derivative of `row · z`, into `out`.
fn row_rate(plan: &Plan, rate: &[f64], row: &[f64], out: &mut [f64]) {
    let (n, nz) = (plan.n, plan.nz);
    out.fill(0.0);
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

/// State equations by duality: the coefficients of the branch voltages are those of the cut-set currents too.
fn state_rates(plan: &Plan, v: &[f64], i: &[f64]) -> Vec<f64> {
    let (n, nc, nz) = (plan.n, plan.nc, plan.nz);
    let nl = n - nc;
    let mut rate = vec![0.0; n * nz];
    if n == 0 {
        return rate;
    }
    let mut charge = vec![0.0; nc * nz];
    for (b, l) in plan.links.iter().enumerate() {
        match l.role {
            Role::Ohmic(_) | Role::Switching(_) | Role::Coil(_) => {
                for (k, w) in plan.w(b)[..nc].iter().enumerate().filter(|(_, w)| **w != 0.0) {
                    for c in 0..nz {
                        charge[k * nz + c] -= w * i[b * nz + c];
                    }
                }
            }
            Role::Link => {
                if let Device::Capacitor { farads } = l.device {
                    let w = plan.w(b);
                    for k in 0..nc {
                        let f = w[k] * farads * plan.omega;
                        charge[k * nz + n + 2] -= f * w[n + 1];
                        charge[k * nz + n + 1] += f * w[n + 2];
                    }
                }
            }
            _ => {}
        }
    }
    if plan.closing.is_empty() {
        for k in 0..nc {
            let farads = plan.capacitance[k * nc + k];
            for c in 0..nz {
                rate[k * nz + c] = charge[k * nz + c] / farads;
            }
        }
    } else if super::linear::solve(&mut plan.capacitance.clone(), &mut charge, nc, nz) {
        rate[..nc * nz].copy_from_slice(&charge);
    }
    for p in 0..nl {
        for q in 0..nl {
            let f = plan.gamma[p * nl + q];
            if f != 0.0 {
                let b = plan.coils[q];
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

/// Currents of capacitors (from their charging rates) and of sources (from the cut-sets).
fn remaining_currents(plan: &Plan, rate: &[f64], i: &mut [f64]) {
    let nz = plan.nz;
    for (b, l) in plan.links.iter().enumerate() {
        if let (Role::Tree(_) | Role::Link, Device::Capacitor { farads }) = (l.role, l.device) {
            let row = &mut i[b * nz..(b + 1) * nz];
            row_rate(plan, rate, plan.w(b), row);
            row.iter_mut().for_each(|x| *x *= farads);
        }
    }
    for (k, &source) in plan.sources.iter().enumerate() {
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
    let (n, nz) = (plan.n, plan.nz);
    let mut sum = 0.0;
    for r in 0..n {
        for c in 0..n {
            let a = rate[r * nz + c] * plan.energy[r] / plan.energy[c];
            sum += a * a;
        }
    }
    let rho = sum.sqrt().max(if plan.sine > 0.0 { plan.omega } else { 0.0 });
    let mut level = 0;
    let mut h = plan.base;
    while h * rho > 0.5 && level < LEVELS {
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
