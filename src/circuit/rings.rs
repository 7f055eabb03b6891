//! How a mode swings and dies away: the eigenvalues of its state equations. They tell how long its steps may be: while
//! something still swings or dies away, short against that, so that samples follow it and no guard dips between two of
//! them; once it has gone, as long as what is left allows.

use nalgebra::{DMatrix, Schur};

use super::plan::Plan;

/// Radians of a swing, or time constants of a decay, that one step may cover: its quarters are then samples every fifth of
/// a radian, and Boole's rule is good to a millionth for products of two such swings.
const PER_STEP: f64 = 0.75;
/// The same without mains: a single discharge is told to more digits than a cycle.
const PER_STEP_WITHOUT_MAINS: f64 = 0.3;
/// Time constants after which a decay has gone: e^-30 of it is left.
const GONE: f64 = 30.0;
/// What is damped faster than this part of a swing is long is no ring: it has gone before a step could miss it, since
/// steps begin short and grow with the time that has passed.
const SWINGS_LEFT: f64 = 0.125;
/// Rounds that the eigenvalues may take, for each state.
const ROUNDS: usize = 60;

/// What one eigenvalue asks of the steps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pace {
    /// Level of the longest steps that follow it.
    pub level: usize,
    /// Seconds after the last event until it has gone.
    pub lasts: f64,
    /// Whether it swings: longer steps would miss it.
    pub rings: bool,
    /// Whether it counts to its end: longer steps would lose digits of it.
    pub counts: bool,
}

/// What the eigenvalues of a mode with the state equations `rate` (n × nz) ask of the steps. Where none are found, the mode
/// counts as ringing for ever at its fastest rate.
pub(super) fn paces(plan: &Plan, rate: &[f64], finest: usize) -> Vec<Pace> {
    if finest == 0 {
        return vec![];
    }
    let Some(values) = eigenvalues(plan, rate) else {
        return vec![Pace { level: finest, lasts: f64::INFINITY, rings: true, counts: true }];
    };
    // Without mains nothing comes again, and every decay counts to its end.
    let once = plan.sine == 0.0;
    let per_step = if once { PER_STEP_WITHOUT_MAINS } else { PER_STEP };
    let mut found: Vec<Pace> = vec![];
    for (re, im) in values {
        let damping = (-re).max(0.0);
        let fastest = damping.hypot(im);
        let swings = im > SWINGS_LEFT * damping;
        let per_step = if swings { PER_STEP } else { per_step };
        let level = (0..finest).find(|&k| plan.base / 2f64.powi(k as i32) * fastest <= per_step).unwrap_or(finest);
        if level > 0 {
            found.push(Pace { level, lasts: GONE / damping, rings: swings, counts: once && !swings });
        }
    }
    found
}

/// Eigenvalues, real and imaginary part; of a pair only the one above the real axis.
fn eigenvalues(plan: &Plan, rate: &[f64]) -> Option<Vec<(f64, f64)>> {
    let (n, nz, energy) = (plan.n, plan.nz, &plan.storage.energy);
    // In energy coordinates the matrix is as near to a normal one as it gets.
    let at = |r: usize, c: usize| rate[r * nz + c] * energy[r] / energy[c];
    match n {
        0 => Some(vec![]),
        1 => Some(vec![(at(0, 0), 0.0)]),
        2 => Some(of_two([at(0, 0), at(0, 1), at(1, 0), at(1, 1)])),
        _ => {
            let schur = Schur::try_new(DMatrix::from_fn(n, n, at), f64::EPSILON, ROUNDS * n)?;
            let values = schur.complex_eigenvalues();
            Some(values.iter().filter(|v| v.im >= 0.0).map(|v| (v.re, v.im)).collect())
        }
    }
}

/// Those of a matrix of two rows, row by row.
fn of_two([a, b, c, d]: [f64; 4]) -> Vec<(f64, f64)> {
    let (half, middle) = (0.5 * (a - d), 0.5 * (a + d));
    let under = half * half + b * c;
    if under < 0.0 {
        return vec![(middle, (-under).sqrt())];
    }
    // The one farther from zero first; the other from the determinant, which keeps its digits.
    let first = if middle < 0.0 { middle - under.sqrt() } else { middle + under.sqrt() };
    let second = if first == 0.0 { 0.0 } else { (a * d - b * c) / first };
    vec![(first, 0.0), (second, 0.0)]
}
