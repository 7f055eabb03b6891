//! Circuits with storage and without a switching device: the steady state is a constant and a sine in every state, found
//! by one linear solve, and every quantity follows in closed form.

use super::linear::{dot, largest, solve, uneven};
use super::machine::Machine;
use super::measure::Sum;
use super::segment::Segment;

/// Part of what drives the states along a conserved direction from which a state ramps and does not settle; below it is
/// rounding.
const RAMP: f64 = 1e-12;
/// Rounds of inverse iteration for the slowest time constant, which is told to the user and not calculated with.
const SLOWEST_ROUNDS: usize = 6;

/// Every state as `constant + s e_s + c e_c`, by state.
pub(super) struct Phasors {
    /// The only mode there is.
    pub mode: usize,
    constant: Vec<f64>,
    /// At supply level 1.
    sine: Vec<f64>,
    cosine: Vec<f64>,
    /// The supply level.
    scale: f64,
}

/// The steady state from rest; `None` where it has none of this form (an undamped resonance at the mains, a d.c. source
/// that ramps a current): the caller then takes the general way.
pub(super) fn solve_phasors(m: &mut Machine, scale: f64) -> Option<Phasors> {
    let mode = m.mode(&vec![Segment::Off; m.plan.devices()]);
    let (sine, cosine, drive) = turning(m, mode)?;
    let constant = constant(m, mode, scale, &cosine, drive)?;
    let finite = constant.iter().chain(&sine).chain(&cosine).all(|x| x.is_finite());
    let found = Phasors { mode, constant, sine, cosine, scale };
    (finite && found.below_knees(m)).then_some(found)
}

/// The sine and the cosine of every state at supply level 1, and the largest rate at which the mains drives one.
fn turning(m: &Machine, mode: usize) -> Option<(Vec<f64>, Vec<f64>, f64)> {
    let (n, nz, omega) = (m.plan.n, m.plan.nz, m.plan.omega);
    let rate = &m.modes[mode].rate_rows;
    // x = k + s e_s + c e_c with e_s' = w e_c, e_c' = -w e_s:  A s + w c = -b_s,  A c - w s = -b_c.
    let mut a = vec![0.0; 4 * n * n];
    let mut b = vec![0.0; 2 * n];
    for r in 0..n {
        for k in 0..n {
            a[r * 2 * n + k] = rate[r * nz + k];
            a[(n + r) * 2 * n + n + k] = rate[r * nz + k];
        }
        a[r * 2 * n + n + r] = omega;
        a[(n + r) * 2 * n + r] = -omega;
        b[r] = -rate[r * nz + n + 1];
        b[n + r] = -rate[r * nz + n + 2];
    }
    let drive = largest(&b);
    solve(&mut a, &mut b, 2 * n, 1).then(|| (b[..n].to_vec(), b[n..].to_vec(), drive))
}

/// The constant part of every state. Conserved charge and flux stay as they were from rest, where `e_s = 0` and
/// `e_c = scale`.
fn constant(m: &Machine, mode: usize, scale: f64, cosine: &[f64], drive: f64) -> Option<Vec<f64>> {
    let (n, nz) = (m.plan.n, m.plan.nz);
    let rate = &m.modes[mode].rate_rows;
    let mut constant: Vec<f64> = (0..n).map(|r| -rate[r * nz + n]).collect();
    let size = drive + dot(&constant, &constant).sqrt();
    if m.plan.conserved.iter().any(|c| dot(c, &constant).abs() > RAMP * size) {
        return None;
    }
    let mut a = among_states(m, mode);
    let weight = weight(m, &a);
    for c in &m.plan.conserved {
        let kept = -scale * dot(c, cosine);
        for i in 0..n {
            for j in 0..n {
                a[i * n + j] += weight * c[i] * c[j];
            }
            constant[i] += weight * c[i] * kept;
        }
    }
    solve(&mut a, &mut constant, n, 1).then_some(constant)
}

/// The state equations without what drives them, n × n.
fn among_states(m: &Machine, mode: usize) -> Vec<f64> {
    let (n, nz) = (m.plan.n, m.plan.nz);
    (0..n * n).map(|k| m.modes[mode].rate_rows[k / n * nz + k % n]).collect()
}

/// Scale for rows added to those equations, so that they weigh what the others do.
fn weight(m: &Machine, a: &[f64]) -> f64 {
    let n = m.plan.n;
    (0..n).map(|k| a[k * n + k].abs()).fold(m.plan.omega, f64::max)
}

impl Phasors {
    /// Whether no core ever saturates: only then is it one mode all the time.
    fn below_knees(&self, m: &Machine) -> bool {
        let nc = m.plan.nc;
        m.plan.storage.cores.iter().all(|iron| {
            let [constant, sine, cosine] =
                [&self.constant, &self.sine, &self.cosine].map(|x| dot(&x[nc..], &iron.turns));
            constant.abs() + self.scale.abs() * sine.hypot(cosine) <= iron.knee
        })
    }

    /// z at a mains angle (radians).
    pub(super) fn at(&self, angle: f64, out: &mut [f64]) {
        let n = self.constant.len();
        let (s, c) = (self.scale * angle.sin(), self.scale * angle.cos());
        let parts = self.constant.iter().zip(&self.sine).zip(&self.cosine);
        for (x, ((k, ps), pc)) in out[..n].iter_mut().zip(parts) {
            *x = k + ps * s + pc * c;
        }
        (out[n], out[n + 1], out[n + 2]) = (1.0, s, c);
    }

    /// Slowest time constant, seconds, by inverse iteration: the smallest eigenvalue's. Conserved states last for ever and
    /// are not meant.
    pub(super) fn slowest(&self, m: &Machine) -> f64 {
        let n = m.plan.n;
        let mut a = among_states(m, self.mode);
        let weight = weight(m, &a);
        for c in &m.plan.conserved {
            for i in 0..n {
                for j in 0..n {
                    a[i * n + j] -= weight * c[i] * c[j];
                }
            }
        }
        let mut x = uneven(n);
        let mut size = 0.0;
        for _ in 0..SLOWEST_ROUNDS {
            if !solve(&mut a.clone(), &mut x, n, 1) {
                return 0.0;
            }
            size = largest(&x);
            if size == 0.0 || !size.is_finite() {
                return 0.0;
            }
            x.iter_mut().for_each(|v| *v /= size);
        }
        size
    }

    /// Sums over one cycle as if it lasted one second.
    pub(super) fn sums(&self, m: &Machine) -> Vec<Sum> {
        let (n, nz) = (m.plan.n, m.plan.nz);
        let mode = &m.modes[self.mode];
        let wave = |rows: &[f64], b: usize| {
            let row = &rows[b * nz..(b + 1) * nz];
            let part = |x: &[f64], own: f64| dot(&row[..n], x) + own;
            let (k, s) = (part(&self.constant, row[n]), self.scale * part(&self.sine, row[n + 1]));
            (k, s, self.scale * part(&self.cosine, row[n + 2]))
        };
        (0..m.plan.links.len())
            .map(|b| {
                let (v, i) = (wave(&mode.v, b), wave(&mode.i, b));
                let (rv, ri) = (v.1.hypot(v.2), i.1.hypot(i.2));
                Sum {
                    v: v.0,
                    i: i.0,
                    vv: v.0 * v.0 + 0.5 * rv * rv,
                    ii: i.0 * i.0 + 0.5 * ri * ri,
                    vi: v.0 * i.0 + 0.5 * (v.1 * i.1 + v.2 * i.2),
                    forward: positive_mean(i.0, ri),
                    v_max: v.0 + rv,
                    v_min: v.0 - rv,
                    i_max: i.0 + ri,
                    i_min: i.0 - ri,
                }
            })
            .collect()
    }
}

/// Mean of the positive part of `k + r cos`.
fn positive_mean(k: f64, r: f64) -> f64 {
    if k >= r {
        return k;
    }
    if k <= -r {
        return 0.0;
    }
    let half = (-k / r).acos();
    (k * half + r * half.sin()) / std::f64::consts::PI
}
