//! Periodic steady state by shooting: from rest, one plain cycle, then Newton on the one-cycle map with its exact
//! sensitivity; safeguards for the networks on which Newton plays ping-pong; an honest "not periodic" otherwise.

use super::linear::{largest, solve, uneven};
use super::machine::{Machine, Position};
use super::netlist::Device;
use super::results::Repeats;
use super::segment::Segment;
use super::trace::Trace;
use super::unsolved::Unsolved;
use super::walk::walk;

/// Cycles after which a circuit counts as not periodic with the mains; fewer for one with a glow lamp, which may well flash
/// at a pace of its own.
const CYCLES: u32 = 300;
const CYCLES_WITH_LAMP: u32 = 40;
/// Newton step, as part of the supply amplitude, at which the state counts as periodic.
const CLOSE: f64 = 1e-9;
/// Change of the state over a cycle, as part of the supply amplitude, that is rounding: the state then counts as periodic
/// whatever Newton makes of it, once more than so many cycles have run.
const UNCHANGED: f64 = 1e-13;
const UNCHANGED_AFTER: u32 = 6;
/// Least amplitude by which states are scaled, volts: circuits without any source are at rest.
const LEAST_AMPLITUDE: f64 = 1e-9;

/// Cycles up to which a Newton step must bring the residual down to this part of it, or plain cycles follow; after them
/// steps are damped.
const BOLD_CYCLES: u32 = 16;
const GAIN: f64 = 0.5;
/// Plain cycles that follow the first step without gain; twice as many after each further one, up to a most.
const PLAIN: u32 = 2;
const MOST_PLAIN: u32 = 64;
/// Least part of a damped step that is tried.
const LEAST_PART: f64 = 1.0 / 32.0;

/// Cycles after which a start that was to be near the steady state was not.
const NEAR_CYCLES: u32 = 10;

/// Longest subharmonic looked for, and the window averaged when there is none.
const SUBHARMONIC: u32 = 10;
const WINDOW: u32 = 50;
/// Cycles run from rest before a subharmonic is looked for.
const SETTLE: u32 = 100;
/// Difference of two cycles, as part of the supply amplitude, at which one counts as a repetition of the other: plain
/// cycles come no closer in the time they are given.
const REPEATED: f64 = 1e-7;

/// Rounds of power iteration for the slowest time constant, which is told to the user and not calculated with.
const SLOWEST_ROUNDS: usize = 12;
/// How near to 1 the largest eigenvalue of the one-cycle map is 1 but for rounding.
const LASTING: f64 = 1e-15;

/// A steady state as a trace over one period or one window.
pub(super) struct SteadyTrace {
    pub trace: Trace,
    pub repeats: Repeats,
    pub cycles_run: u32,
    /// Slowest time constant, seconds.
    pub slowest_s: f64,
}

/// A damped search along one Newton step.
struct Search {
    /// End of the cycle the step was computed from.
    base: Vec<f64>,
    /// The whole step.
    full: Vec<f64>,
    segments: Vec<Segment>,
    /// Residual the step has to beat.
    residual: f64,
    /// Part of the step under trial.
    part: f64,
}

/// How boldly Newton goes on: what keeps it from going to and fro between two pieces of a network.
struct Pace {
    /// Plain cycles still to run.
    plain: u32,
    /// Plain cycles to run next time.
    extra: u32,
    /// Residual from which the last bold step was made.
    previous: Option<f64>,
    search: Option<Search>,
}

impl Pace {
    fn run_plain(&mut self) {
        self.plain = self.extra;
        self.extra = (2 * self.extra).min(MOST_PLAIN);
    }

    /// Takes back half of a damped step that did not gain enough, or all of it when hardly any is left. Whether it did.
    fn step_back(&mut self, residual: f64, here: &mut Position) -> bool {
        let Some(mut s) = self.search.take() else { return false };
        let worse = residual.is_nan() || residual > (1.0 - s.part / 4.0) * s.residual;
        if !worse {
            return false;
        }
        s.part /= 2.0;
        here.segments.clone_from(&s.segments);
        if s.part >= LEAST_PART {
            (0..s.base.len()).for_each(|k| here.z[k] = s.base[k] + s.part * s.full[k]);
            self.search = Some(s);
        } else {
            here.z[..s.base.len()].copy_from_slice(&s.base);
            self.run_plain();
        }
        true
    }

    /// Counts off a plain cycle. Whether there was one to run.
    fn count_plain(&mut self) -> bool {
        let any = self.plain > 0;
        if any {
            self.plain -= 1;
            self.previous = None;
        }
        any
    }

    /// Whether the last bold step gained too little, so that plain cycles are to be run.
    fn without_gain(&mut self, residual: f64) -> bool {
        let without = self.previous.is_some_and(|p| residual > GAIN * p);
        if without {
            self.run_plain();
            self.previous = None;
        } else {
            self.previous = Some(residual);
        }
        without
    }
}

/// Size of a change of the states as part of the supply amplitude.
fn scaled(m: &Machine, d: &[f64], amplitude: f64) -> f64 {
    d.iter().zip(&m.plan.storage.unit).map(|(x, u)| (x / (u * amplitude)).abs()).fold(0.0, f64::max)
}

/// The steady state at a supply level: that which a start from rest leads to. `near` gives capacitor volts and inductor
/// amperes, one a branch, of a state that is near it, where one is known: it saves cycles, and is used only where there is
/// one steady state for whatever start (no lamp that remembers, nothing that is conserved).
///
/// # Errors
/// [`Unsolved::Lost`] when a walk through time fails.
pub(super) fn steady(m: &mut Machine, scale: f64, near: Option<&[f64]>) -> Result<SteadyTrace, Unsolved> {
    if let Some(near) = near
        && !remembers(m)
        && m.plan.conserved.is_empty()
        && let Some(found) = shoot(m, scale, Some(near))?
    {
        return Ok(found);
    }
    shoot(m, scale, None)?.ok_or(Unsolved::Lost { what: "the walk through time did not come to an end" })
}

/// Whether a device is in it that remembers: a glow lamp stays lit below the volts at which it strikes.
fn remembers(m: &Machine) -> bool {
    m.plan.links.iter().any(|l| matches!(l.device, Device::Neon { .. }))
}

/// The same; `None` where the start near it was none.
fn shoot(m: &mut Machine, scale: f64, near: Option<&[f64]>) -> Result<Option<SteadyTrace>, Unsolved> {
    m.effort = 0;
    m.follow = f64::INFINITY;
    m.lets_go = false;
    let most = if remembers(m) { CYCLES_WITH_LAMP } else { CYCLES };
    let n = m.plan.n;
    let period = m.plan.period();
    let amplitude = (m.plan.sine * scale.abs()).max(m.plan.dc).max(LEAST_AMPLITUDE);
    let rest = m.rest(scale, 0.0);
    let mut here = rest.clone();
    let mut trace = Trace::with_room(m.plan.nz);
    let mut run = 0;
    if let Some(near) = near {
        here.z[..n].copy_from_slice(&m.plan.states(near));
    } else {
        walk(m, &mut here, period, &mut trace, None)?;
        run = 1;
    }
    let mut pace = Pace { plain: 0, extra: PLAIN, previous: None, search: None };
    loop {
        let start = Position { z: reset(&rest.z, &here.z, n), segments: here.segments.clone() };
        here = start.clone();
        let mut phi = identity(n);
        walk(m, &mut here, period, &mut trace, Some(&mut phi))?;
        run += 1;
        let r: Vec<f64> = (0..n).map(|k| here.z[k] - start.z[k]).collect();
        let residual = scaled(m, &r, amplitude);
        let newton = newton_step(m, &phi, &r);
        let same = here.segments == start.segments;
        let step = newton.as_ref().map_or(f64::INFINITY, |d| scaled(m, d, amplitude));
        if same && (step < CLOSE || (run > UNCHANGED_AFTER && residual < UNCHANGED)) {
            let slowest_s = slowest(&phi, n, period);
            let repeats = Repeats::Mains { cycles: 1 };
            return Ok(Some(SteadyTrace { trace, repeats, cycles_run: run, slowest_s }));
        }
        if near.is_some() && run >= NEAR_CYCLES {
            return Ok(None);
        }
        if run >= most {
            return window(m, &rest, amplitude, run).map(Some);
        }
        if pace.step_back(residual, &mut here) || pace.count_plain() {
            continue;
        }
        let Some(d) = newton else { continue };
        let bold = run <= BOLD_CYCLES;
        if bold && pace.without_gain(residual) {
            continue;
        }
        // Update as x_T + phi d, not x_0 + d: the same in exact arithmetic, but fast modes stay slaved.
        let full: Vec<f64> = (0..n).map(|k| (0..n).map(|c| phi[k * n + c] * d[c]).sum()).collect();
        let base = here.z[..n].to_vec();
        (0..n).for_each(|k| here.z[k] = base[k] + full[k]);
        if !bold {
            pace.search = Some(Search { base, full, segments: here.segments.clone(), residual, part: 1.0 });
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

/// Slowest time constant, seconds, from the largest eigenvalue of the one-cycle map (power iteration):
/// -T / ln(eigenvalue).
fn slowest(phi: &[f64], n: usize, period: f64) -> f64 {
    if n == 0 {
        return 0.0;
    }
    let mut x = uneven(n);
    let mut size = 0.0f64;
    for _ in 0..SLOWEST_ROUNDS {
        let y: Vec<f64> = (0..n).map(|r| (0..n).map(|c| phi[r * n + c] * x[c]).sum()).collect();
        let (norm, old) = (largest(&y), largest(&x));
        if norm == 0.0 || !norm.is_finite() {
            return 0.0;
        }
        size = norm / old;
        x = y.iter().map(|v| v / norm).collect();
    }
    if size < 1.0 - LASTING { -period / size.ln() } else { f64::INFINITY }
}

/// Not periodic with the mains within the bound: from rest, settle, then look for a subharmonic, else average.
fn window(m: &mut Machine, rest: &Position, amplitude: f64, run: u32) -> Result<SteadyTrace, Unsolved> {
    let (n, nz, period) = (m.plan.n, m.plan.nz, m.plan.period());
    let mut here = rest.clone();
    let mut trace = Trace::default();
    let mut ends: Vec<Position> = vec![];
    for _ in 0..SETTLE {
        here.z = reset(&rest.z, &here.z, n);
        walk(m, &mut here, period, &mut trace, None)?;
        ends.push(here.clone());
    }
    let last = &ends[ends.len() - 1];
    let repeats = (1..=SUBHARMONIC).find(|&k| {
        let other = &ends[ends.len() - 1 - k as usize];
        let d: Vec<f64> = (0..n).map(|i| last.z[i] - other.z[i]).collect();
        other.segments == last.segments && scaled(m, &d, amplitude) < REPEATED
    });
    let cycles = repeats.unwrap_or(WINDOW);
    let mut whole = Trace::default();
    for k in 0..cycles {
        here.z = reset(&rest.z, &here.z, n);
        walk(m, &mut here, period, &mut trace, None)?;
        whole.append(&trace, f64::from(k) * period, nz);
    }
    let repeats = match repeats {
        Some(cycles) => Repeats::Mains { cycles },
        None => Repeats::Window { cycles },
    };
    Ok(SteadyTrace { trace: whole, repeats, cycles_run: run + SETTLE + cycles, slowest_s: 0.0 })
}
