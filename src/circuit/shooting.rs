//! Periodic steady state by shooting: from rest, one plain cycle, then Newton on the one-cycle map with its exact
//! sensitivity; safeguards for the networks on which Newton plays ping-pong; an honest "not periodic" otherwise.

use super::linear::solve;
use super::machine::{Machine, Trace, Walk};
use super::mode::State;
use super::{Repeats, Unsolved};

/// Cycles after which a circuit counts as not periodic with the mains.
const CYCLES: u32 = 300;
/// Update, as part of the supply amplitude, at which the state counts as periodic.
const CLOSE: f64 = 1e-9;
/// Longest subharmonic looked for, and the window averaged when there is none.
const SUBHARMONIC: u32 = 10;
const WINDOW: u32 = 50;

/// A steady state as a trace over one period or one window.
pub(super) struct Found {
    pub trace: Trace,
    pub repeats: Repeats,
    pub cycles_run: u32,
    pub slowest_s: f64,
}

/// A damped search along one Newton step.
struct Search {
    /// End of the cycle the step was computed from.
    base: Vec<f64>,
    /// The whole step.
    full: Vec<f64>,
    states: Vec<State>,
    /// Residual the step has to beat.
    residual: f64,
    /// Fraction of the step under trial.
    lambda: f64,
}

fn scaled(m: &Machine, d: &[f64], amplitude: f64) -> f64 {
    d.iter().zip(&m.plan.unit).map(|(x, u)| (x / (u * amplitude)).abs()).fold(0.0, f64::max)
}

pub(super) fn steady(m: &mut Machine, scale: f64) -> Result<Found, Unsolved> {
    m.effort = 0;
    let n = m.plan.n;
    let period = 2.0 * std::f64::consts::PI / m.plan.omega;
    let amplitude = (m.plan.sine * scale.abs()).max(m.plan.dc).max(1e-9);
    let rest = m.rest(scale, 0.0);
    let mut walk = rest.clone();
    let mut trace = Trace::roomy(m.plan.nz);
    m.walk(&mut walk, period, &mut trace, None)?;
    let mut run = 1;
    let (mut plain, mut extra) = (0u32, 2u32);
    let mut previous: Option<f64> = None;
    let mut search: Option<Search> = None;
    loop {
        let start = Walk { z: reset(&rest.z, &walk.z, n), states: walk.states.clone() };
        walk = start.clone();
        let mut phi = identity(n);
        m.walk(&mut walk, period, &mut trace, Some(&mut phi))?;
        run += 1;
        let r: Vec<f64> = (0..n).map(|k| walk.z[k] - start.z[k]).collect();
        let residual = scaled(m, &r, amplitude);
        let newton = newton_step(m, &phi, &r);
        let same = walk.states == start.states;
        let step = newton.as_ref().map_or(f64::INFINITY, |d| scaled(m, d, amplitude));
        if same && (step < CLOSE || (run > 6 && residual < 1e-13)) {
            let slowest_s = slowest(&phi, n, period);
            return Ok(Found { trace, repeats: Repeats::Mains { cycles: 1 }, cycles_run: run, slowest_s });
        }
        if run >= CYCLES {
            return window(m, rest, period, amplitude, run);
        }
        if let Some(mut s) = search.take()
            && (residual.is_nan() || residual > (1.0 - s.lambda / 4.0) * s.residual)
        {
            s.lambda /= 2.0;
            walk.states.clone_from(&s.states);
            if s.lambda >= 1.0 / 32.0 {
                (0..n).for_each(|k| walk.z[k] = s.base[k] + s.lambda * s.full[k]);
                search = Some(s);
            } else {
                (0..n).for_each(|k| walk.z[k] = s.base[k]);
                plain = extra;
                extra = (2 * extra).min(64);
            }
            continue;
        }
        if plain > 0 {
            plain -= 1;
            previous = None;
            continue;
        }
        let Some(d) = newton else { continue };
        if run <= 16 {
            if previous.is_some_and(|p| residual > 0.5 * p) {
                plain = extra;
                extra = (2 * extra).min(64);
                previous = None;
                continue;
            }
            previous = Some(residual);
        }
        // Update as x_T + phi d, not x_0 + d: the same in exact arithmetic, but fast modes stay slaved.
        let full: Vec<f64> = (0..n).map(|k| (0..n).map(|c| phi[k * n + c] * d[c]).sum()).collect();
        let base = walk.z[..n].to_vec();
        (0..n).for_each(|k| walk.z[k] = base[k] + full[k]);
        if run > 16 {
            search = Some(Search { base, full, states: walk.states.clone(), residual, lambda: 1.0 });
        }
    }
}

/// The states of `z` with the mains turned back to its rising zero.
fn reset(rest: &[f64], z: &[f64], n: usize) -> Vec<f64> {
    let mut out = rest.to_vec();
    out[..n].copy_from_slice(&z[..n]);
    out
}

fn identity(n: usize) -> Vec<f64> {
    let mut p = vec![0.0; n * n];
    (0..n).for_each(|k| p[k * n + k] = 1.0);
    p
}

/// Solves (1 - phi + sum of c c') d = r; the c are the left null vectors of 1 - phi, so conserved charge and flux
/// stay as they were from rest and the matrix is regular.
fn newton_step(m: &Machine, phi: &[f64], r: &[f64]) -> Option<Vec<f64>> {
    let n = r.len();
    let mut a = identity(n);
    a.iter_mut().zip(phi).for_each(|(x, p)| *x -= p);
    for c in &m.plan.conserved {
        for i in 0..n {
            for j in 0..n {
                a[i * n + j] += c[i] * c[j];
            }
        }
    }
    let mut d = r.to_vec();
    (solve(&mut a, &mut d, n, 1) && d.iter().all(|x| x.is_finite())).then_some(d)
}

/// Slowest time constant from the largest eigenvalue of the one-cycle map (power iteration): -T / ln(eigenvalue).
fn slowest(phi: &[f64], n: usize, period: f64) -> f64 {
    if n == 0 {
        return 0.0;
    }
    let mut x: Vec<f64> = (0..n).map(|k| 1.0 + k as f64 * 0.1).collect();
    let mut size = 0.0f64;
    for _ in 0..12 {
        let y: Vec<f64> = (0..n).map(|r| (0..n).map(|c| phi[r * n + c] * x[c]).sum()).collect();
        let norm = y.iter().map(|v: &f64| v.abs()).fold(0.0, f64::max);
        let old = x.iter().map(|v| v.abs()).fold(0.0, f64::max);
        if norm == 0.0 || !norm.is_finite() {
            return 0.0;
        }
        size = norm / old;
        x = y.iter().map(|v| v / norm).collect();
    }
    if size < 1.0 - 1e-15 { -period / size.ln() } else { f64::INFINITY }
}

/// Not periodic with the mains within the bound: from rest, settle, then look for a subharmonic, else average.
fn window(m: &mut Machine, rest: Walk, period: f64, amplitude: f64, run: u32) -> Result<Found, Unsolved> {
    let n = m.plan.n;
    let mut walk = rest.clone();
    let mut trace = Trace::default();
    let mut ends: Vec<Walk> = vec![];
    const SETTLE: u32 = 100;
    for _ in 0..SETTLE {
        walk.z = reset(&rest.z, &walk.z, n);
        m.walk(&mut walk, period, &mut trace, None)?;
        ends.push(walk.clone());
    }
    let last = &ends[ends.len() - 1];
    let repeats = (1..=SUBHARMONIC).find(|&k| {
        let other = &ends[ends.len() - 1 - k as usize];
        let d: Vec<f64> = (0..n).map(|i| last.z[i] - other.z[i]).collect();
        other.states == last.states && scaled(m, &d, amplitude) < 1e-7
    });
    let cycles = repeats.unwrap_or(WINDOW);
    let mut whole = Trace::default();
    for k in 0..cycles {
        walk.z = reset(&rest.z, &walk.z, n);
        m.walk(&mut walk, period, &mut trace, None)?;
        append(&mut whole, &trace, f64::from(k) * period, m.plan.nz, k + 1 == cycles);
    }
    let repeats = match repeats {
        Some(cycles) => Repeats::Mains { cycles },
        None => Repeats::Window { cycles },
    };
    Ok(Found { trace: whole, repeats, cycles_run: run + SETTLE + cycles, slowest_s: 0.0 })
}

fn append(whole: &mut Trace, part: &Trace, t: f64, nz: usize, last: bool) {
    whole.steps.extend(part.steps.iter().map(|s| super::machine::Step { t: s.t + t, ..*s }));
    whole.events.extend(part.events.iter().map(|e| super::machine::Event { t: e.t + t, ..*e }));
    // The end of one cycle is the start of the next.
    let z = if last { &part.z[..] } else { &part.z[..part.z.len() - nz] };
    whole.z.extend_from_slice(z);
    whole.forced |= part.forced;
}
