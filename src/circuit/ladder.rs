//! Propagators of a mode on dyadic steps: exact whatever the stiffness, which costs only more doublings. Kept as
//! `exp(M h) - 1`, so that modes that last for hours keep their digits beside a step of microseconds.

use super::forest::BEHIND;
use super::linear::dot;

/// Most levels of a ladder: 2^80 halvings of a step of milliseconds make 1e-27 s, faster than anything with two ends.
pub(super) const LEVELS: usize = 80;
/// Finer levels kept below the finest step walked, for the quarter points of the quadrature.
pub(super) const BELOW: usize = 2;
/// Terms of the series at the finest level, where the step is at most an eighth of every time constant: the next term
/// is then below rounding.
const TERMS: usize = 10;

/// Length of the steps of a level when those of level 0 last `base` seconds.
#[inline]
pub(super) fn step_length(base: f64, level: usize) -> f64 {
    base / 2f64.powi(level as i32)
}

/// How far the mains turns in a step.
#[derive(Debug, Clone, Copy)]
pub(super) struct Turn {
    /// cos - 1, without the loss of digits that the difference would bring.
    pub cos_m1: f64,
    pub sin: f64,
}

impl Turn {
    /// The turn by `x` radians.
    pub(super) fn by(x: f64) -> Turn {
        let h = (x / 2.0).sin();
        Turn { cos_m1: -2.0 * h * h, sin: x.sin() }
    }
}

/// `z' = M z` in one mode: the top rows of M, and the mains that turns below them.
#[derive(Clone, Copy)]
pub(super) struct Rate<'a> {
    /// n × nz.
    pub rows: &'a [f64],
    /// Number of states.
    pub n: usize,
    /// Columns of z.
    pub nz: usize,
    /// Mains, radians a second.
    pub omega: f64,
}

/// exp(M h) - 1 for the steps of levels `0..=top`, top rows (n × nz); level 0 lasts `base` seconds.
pub(super) fn build(m: Rate, base: f64, top: usize) -> Vec<Vec<f64>> {
    let (n, nz) = (m.n, m.nz);
    let mut ladder = vec![vec![]; top + 1];
    let mut e = vec![0.0; n * nz];
    if n > 0 {
        let h = step_length(base, top);
        let mut term: Vec<f64> = m.rows.iter().map(|x| x * h).collect();
        for k in 2..=TERMS {
            e.iter_mut().zip(&term).for_each(|(x, t)| *x += t);
            term = times(m, &term, h / k as f64);
        }
        e.iter_mut().zip(&term).for_each(|(x, t)| *x += t);
    }
    for k in (0..=top).rev() {
        ladder[k] = e.clone();
        if k > 0 && n > 0 {
            e = doubled(n, nz, &e, Turn::by(m.omega * base / 2f64.powi(k as i32)));
        }
    }
    ladder
}

/// `factor * T M` for top rows T.
fn times(m: Rate, t: &[f64], factor: f64) -> Vec<f64> {
    let (n, nz) = (m.n, m.nz);
    let mut out = vec![0.0; n * nz];
    for r in 0..n {
        for k in 0..n {
            let f = factor * t[r * nz + k];
            for col in 0..nz {
                out[r * nz + col] += f * m.rows[k * nz + col];
            }
        }
        out[r * nz + n + 1] -= factor * m.omega * t[r * nz + n + 2];
        out[r * nz + n + 2] += factor * m.omega * t[r * nz + n + 1];
    }
    out
}

/// `2E + E E`, top rows, with the exact turn of the mains in the last two rows of the full matrix.
fn doubled(n: usize, nz: usize, e: &[f64], turn: Turn) -> Vec<f64> {
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
        out[r * nz + n + 1] += es * turn.cos_m1 - ec * turn.sin;
        out[r * nz + n + 2] += es * turn.sin + ec * turn.cos_m1;
    }
    out
}

/// One step: `z + E z` for the states, the exact turn for the mains.
pub(super) fn step(e: &[f64], turn: Turn, z: &[f64], out: &mut [f64]) {
    let nz = z.len();
    let n = nz - BEHIND;
    for r in 0..n {
        out[r] = z[r] + dot(&e[r * nz..(r + 1) * nz], z);
    }
    out[n] = z[n];
    out[n + 1] = z[n + 1] + z[n + 1] * turn.cos_m1 + z[n + 2] * turn.sin;
    out[n + 2] = z[n + 2] + z[n + 2] * turn.cos_m1 - z[n + 1] * turn.sin;
}

/// `phi + E phi` over the n states: the sensitivity of the end of a step to the start of the walk.
pub(super) fn multiply(n: usize, e: &[f64], phi: &mut [f64]) {
    let nz = n + BEHIND;
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
