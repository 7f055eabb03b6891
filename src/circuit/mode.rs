//! Mode matrices, once per combination of device states: rows over z for every branch's voltage and current,
//! the state equations, the guards that end the mode, and propagators on dyadic steps.

use super::Device;
use super::linear::dot;
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
/// Siemens above which a branch's current, not its voltage, carries the digits.
pub(super) const STIFF: f64 = 0.5;

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
        let (m, n, nz, nb) = (plan.m, plan.n, plan.nz, plan.links.len());
        let one = n;
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
        for (b, l) in plan.links.iter().enumerate() {
            for c in 0..nz {
                v[b * nz + c] = u[l.ua * nz + c] - u[l.ub * nz + c] + l.w[c];
            }
            match l.role {
                Role::Ohmic(_) | Role::Switching(_) => {
                    for c in 0..nz {
                        i[b * nz + c] = g[b] * v[b * nz + c];
                    }
                    i[b * nz + one] += j[b];
                }
                Role::Coil(k) => i[b * nz + plan.nc + k] = 1.0,
                _ => {}
            }
        }
        stiff_currents(plan, &g, &j, m, &mut v, &mut i);
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
        // Two guards a device at most.
        self.guards.reserve(2 * plan.switching.len());
        self.guard.reserve(2 * plan.switching.len() * nz);
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
        for (slope, row) in self.slope.chunks_exact_mut(nz).zip(self.guard.chunks_exact(nz)) {
            row_rate(plan, &self.rate, row, 1.0, slope);
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

/// Row over z of `factor` times the time derivative of `row · z`, written to `out`.
fn row_rate(plan: &Plan, rate: &[f64], row: &[f64], factor: f64, out: &mut [f64]) {
    let (n, nz) = (plan.n, plan.nz);
    out.fill(0.0);
    for k in 0..n {
        let f = factor * row[k];
        if f != 0.0 {
            for (o, r) in out.iter_mut().zip(&rate[k * nz..(k + 1) * nz]) {
                *o += f * r;
            }
        }
    }
    out[n + 1] -= factor * plan.omega * row[n + 2];
    out[n + 2] += factor * plan.omega * row[n + 1];
}

/// Kirchhoff's current law by elimination without subtraction: the conductance to the reference is kept apart from
/// the others, so every number stays positive and accurate for any mixture of milliohms and gigaohms.
fn potentials(plan: &Plan, g: &[f64], j: &[f64]) -> Vec<f64> {
    let (m, n, nz) = (plan.m, plan.n, plan.nz);
    let mut a = vec![0.0; m * m];
    let mut ground = vec![0.0; m];
    let mut u = vec![0.0; (m + 1) * nz];
    for (b, l) in plan.links.iter().enumerate() {
        if l.ua == l.ub {
            continue;
        }
        if let Role::Coil(k) = l.role {
            u[l.ua * nz + plan.nc + k] -= 1.0;
            u[l.ub * nz + plan.nc + k] += 1.0;
        }
        if g[b] == 0.0 {
            continue;
        }
        for c in 0..nz {
            let f = g[b] * l.w[c];
            u[l.ua * nz + c] -= f;
            u[l.ub * nz + c] += f;
        }
        u[l.ua * nz + n] -= j[b];
        u[l.ub * nz + n] += j[b];
        if l.ua == m || l.ub == m {
            ground[l.ua.min(l.ub)] += g[b];
        } else {
            a[l.ua * m + l.ub] += g[b];
            a[l.ub * m + l.ua] += g[b];
        }
    }
    u[m * nz..].fill(0.0);
    let mut gone = vec![false; m];
    let mut around: Vec<usize> = Vec::with_capacity(m);
    let mut sums = vec![0.0; m];
    for &k in &plan.order {
        gone[k] = true;
        around.clear();
        around.extend((0..m).filter(|&i| !gone[i] && a[k * m + i] != 0.0));
        let d = ground[k] + around.iter().map(|&i| a[k * m + i]).sum::<f64>();
        sums[k] = d;
        for (at, &i) in around.iter().enumerate() {
            let f = a[k * m + i] / d;
            ground[i] += f * ground[k];
            for c in 0..nz {
                u[i * nz + c] += f * u[k * nz + c];
            }
            for &o in &around[at + 1..] {
                let add = f * a[k * m + o];
                a[i * m + o] += add;
                a[o * m + i] += add;
            }
        }
    }
    let mut back = vec![false; m];
    for &k in plan.order.iter().rev() {
        for i in 0..m {
            let f = a[k * m + i];
            if back[i] && f != 0.0 {
                for c in 0..nz {
                    u[k * nz + c] += f * u[i * nz + c];
                }
            }
        }
        for c in 0..nz {
            u[k * nz + c] /= sums[k];
        }
        back[k] = true;
    }
    u
}

/// Currents of stiff branches as a difference of nearly equal voltages carry rounding; along a forest of the
/// stiffest branches they follow from Kirchhoff's current law instead, and their voltages from the currents.
fn stiff_currents(plan: &Plan, g: &[f64], j: &[f64], m: usize, v: &mut [f64], i: &mut [f64]) {
    let nz = plan.nz;
    let mut stiff: Vec<usize> =
        (0..g.len()).filter(|&b| g[b] > STIFF && plan.links[b].ua != plan.links[b].ub).collect();
    if stiff.is_empty() {
        return;
    }
    stiff.sort_by(|&x, &y| g[y].total_cmp(&g[x]));
    let mut sets = super::linear::Sets::new(m + 1);
    stiff.retain(|&b| sets.join(plan.links[b].ua, plan.links[b].ub));
    let mut degree = vec![0usize; m + 1];
    for &b in &stiff {
        degree[plan.links[b].ua] += 1;
        degree[plan.links[b].ub] += 1;
    }
    // Sum of the currents leaving each node through everything outside the forest.
    let mut leaving = vec![0.0; (m + 1) * nz];
    for (b, l) in plan.links.iter().enumerate() {
        let carries = matches!(l.role, Role::Ohmic(_) | Role::Switching(_) | Role::Coil(_));
        if carries && l.ua != l.ub && !stiff.contains(&b) && (degree[l.ua] > 0 || degree[l.ub] > 0) {
            for c in 0..nz {
                leaving[l.ua * nz + c] += i[b * nz + c];
                leaving[l.ub * nz + c] -= i[b * nz + c];
            }
        }
    }
    // Strip leaves (never the reference, whose own currents we do not sum).
    while let Some(at) = stiff.iter().position(|&b| {
        let l = &plan.links[b];
        (l.ua < m && degree[l.ua] == 1) || (l.ub < m && degree[l.ub] == 1)
    }) {
        let b = stiff.swap_remove(at);
        let l = &plan.links[b];
        let (leaf, rest, sign) = if l.ua < m && degree[l.ua] == 1 { (l.ua, l.ub, 1.0) } else { (l.ub, l.ua, -1.0) };
        for c in 0..nz {
            let out = leaving[leaf * nz + c];
            i[b * nz + c] = -sign * out;
            v[b * nz + c] = (i[b * nz + c] - if c == plan.n { j[b] } else { 0.0 }) / g[b];
            leaving[rest * nz + c] += out;
        }
        degree[leaf] -= 1;
        degree[rest] -= 1;
    }
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
                for k in 0..nc {
                    if l.w[k] != 0.0 {
                        for c in 0..nz {
                            charge[k * nz + c] -= l.w[k] * i[b * nz + c];
                        }
                    }
                }
            }
            Role::Link => {
                if let Device::Capacitor { farads } = l.device {
                    for k in 0..nc {
                        let f = l.w[k] * farads * plan.omega;
                        charge[k * nz + n + 2] -= f * l.w[n + 1];
                        charge[k * nz + n + 1] += f * l.w[n + 2];
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
            row_rate(plan, rate, &l.w, farads, &mut i[b * nz..(b + 1) * nz]);
        }
    }
    for (k, &source) in plan.sources.iter().enumerate() {
        for (b, l) in plan.links.iter().enumerate() {
            let joins = !matches!(l.role, Role::Source(_) | Role::Tree(_));
            if joins && l.ws[k] != 0.0 {
                for c in 0..nz {
                    let add = l.ws[k] * i[b * nz + c];
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
