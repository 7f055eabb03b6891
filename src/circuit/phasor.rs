//! Circuits with storage and without a switching device: the steady state is a constant and a sine in every state, found
//! by one linear solve, and every quantity follows in closed form.

use super::linear::{dot, solve};
use super::machine::Machine;
use super::measure::Sum;

/// Every state as `constant + s e_s + c e_c`, by state.
pub(super) struct Phasors {
    /// The only mode there is.
    pub mode: usize,
    constant: Vec<f64>,
    sine: Vec<f64>,
    cosine: Vec<f64>,
    scale: f64,
}

/// The steady state from rest; `None` where it has none of this form (an undamped resonance at the mains, a d.c. source
/// that ramps a current): the caller then takes the general way.
pub(super) fn solve_phasors(m: &mut Machine, scale: f64) -> Option<Phasors> {
    let mode = m.mode(&[]);
    let (n, nz, omega) = (m.plan.n, m.plan.nz, m.plan.omega);
    let rate = &m.modes[mode].rate;
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
    let size = b.iter().fold(0.0f64, |m, x| m.max(x.abs()));
    if !solve(&mut a, &mut b, 2 * n, 1) {
        return None;
    }
    let (sine, cosine) = (b[..n].to_vec(), b[n..].to_vec());
    // Conserved charge and flux stay as they were from rest, where e_s = 0 and e_c = scale.
    let mut a0: Vec<f64> = (0..n * n).map(|k| rate[k / n * nz + k % n]).collect();
    let mut constant: Vec<f64> = (0..n).map(|r| -rate[r * nz + n]).collect();
    let ramps =
        m.plan.conserved.iter().any(|c| dot(c, &constant).abs() > 1e-12 * (size + dot(&constant, &constant).sqrt()));
    if ramps {
        return None;
    }
    // Scaled so that the added rows weigh what the others do.
    let weight = (0..n).map(|k| a0[k * n + k].abs()).fold(omega, f64::max);
    for c in &m.plan.conserved {
        let kept = -scale * dot(c, &cosine);
        for i in 0..n {
            for j in 0..n {
                a0[i * n + j] += weight * c[i] * c[j];
            }
            constant[i] += weight * c[i] * kept;
        }
    }
    if !solve(&mut a0, &mut constant, n, 1) {
        return None;
    }
    let finite = constant.iter().chain(&sine).chain(&cosine).all(|x| x.is_finite());
    finite.then_some(Phasors { mode, constant, sine, cosine, scale })
}

impl Phasors {
    /// z at a mains angle.
    pub(super) fn at(&self, angle: f64, out: &mut [f64]) {
        let n = self.constant.len();
        let (s, c) = (self.scale * angle.sin(), self.scale * angle.cos());
        let parts = self.constant.iter().zip(&self.sine).zip(&self.cosine);
        for (x, ((k, ps), pc)) in out[..n].iter_mut().zip(parts) {
            *x = k + ps * s + pc * c;
        }
        (out[n], out[n + 1], out[n + 2]) = (1.0, s, c);
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
