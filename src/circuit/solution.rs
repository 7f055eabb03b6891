//! The steady state by whichever way suits the circuit, kept so that waveforms and lighting can be read from it.

use std::f64::consts::TAU;

use super::algebraic::{self, Cycle};
use super::lighting;
use super::machine::Machine;
use super::measure::{self, Sum, finish};
use super::mode::at;
use super::netlist::Device;
use super::phasor::{Phasors, solve_phasors};
use super::results::{Lighting, Repeats, Steady};
use super::shooting::{self, SteadyTrace};
use super::trace::Trace;
use super::unsolved::Unsolved;

/// A steady state over its period, or over the window that was averaged.
pub(super) enum Solution {
    /// Without storage: modes by the angle of the mains, at a supply level.
    Algebraic(Cycle, f64),
    /// With storage and no switching device.
    Linear(Phasors),
    /// With both: walked through time.
    Walked(Trace, Repeats),
}

/// The steady state from rest at a supply level; `near` gives capacitor volts and inductor amperes, one a branch, of a state
/// near it.
///
/// # Errors
/// [`Unsolved::Lost`] when no trustworthy solution exists.
pub(super) fn solve(m: &mut Machine, scale: f64, near: Option<&[f64]>) -> Result<(Steady, Solution), Unsolved> {
    if m.plan.n == 0
        && let Some(cycle) = algebraic::solve(m, scale)
    {
        return Ok(of_cycle(m, cycle, scale));
    }
    if m.plan.n > 0
        && m.plan.forest.switching.is_empty()
        && let Some(phasors) = solve_phasors(m, scale)
    {
        return Ok(of_phasors(m, phasors, scale));
    }
    let steady = shooting::steady(m, scale, near)?;
    of_trace(m, steady, scale)
}

fn of_cycle(m: &Machine, cycle: Cycle, scale: f64) -> (Steady, Solution) {
    let sums = algebraic::sums(m, &cycle, scale);
    let span = TAU * f64::from(cycle.cycles);
    let (branches, residual) = finish(&sums, m.plan.own, span, m.plan.rounding(scale));
    let steady = Steady {
        repeats: Repeats::Mains { cycles: cycle.cycles },
        branches,
        residual,
        stored: 0.0,
        cycles_run: cycle.cycles + 1,
        slowest_s: 0.0,
        leaks: m.plan.leaks,
        felt: vec![],
        forced: false,
        held: None,
        state: vec![0.0; m.plan.own],
    };
    (steady, Solution::Algebraic(cycle, scale))
}

fn of_phasors(m: &Machine, phasors: Phasors, scale: f64) -> (Steady, Solution) {
    let (branches, residual) = finish(&phasors.sums(m), m.plan.own, 1.0, m.plan.rounding(scale));
    let mut z = vec![0.0; m.plan.nz];
    phasors.at(0.0, &mut z);
    let steady = Steady {
        repeats: Repeats::Mains { cycles: 1 },
        branches,
        residual,
        stored: 0.0,
        cycles_run: 1,
        slowest_s: phasors.slowest(m),
        leaks: m.plan.leaks,
        felt: vec![],
        forced: false,
        held: None,
        state: m.plan.branch_state(&z),
    };
    (steady, Solution::Linear(phasors))
}

fn of_trace(m: &Machine, found: SteadyTrace, scale: f64) -> Result<(Steady, Solution), Unsolved> {
    let SteadyTrace { trace, repeats, cycles_run, slowest_s } = found;
    let mut sums = vec![Sum::NEW; m.plan.links.len()];
    measure::add(m, &trace, &mut sums);
    let span = m.plan.period() * f64::from(repeats.cycles());
    let (branches, residual) = finish(&sums, m.plan.own, span, m.plan.rounding(scale));
    if branches.iter().any(|q| !q.v_rms.is_finite() || !q.i_rms.is_finite()) {
        return Err(Unsolved::Lost { what: "numbers left the finite range" });
    }
    let steady = Steady {
        repeats,
        branches,
        residual,
        stored: match repeats {
            Repeats::Mains { .. } => measure::stored(m, &sums, span, m.plan.rounding(scale)),
            Repeats::Window { .. } => 0.0,
        },
        cycles_run,
        slowest_s,
        leaks: m.plan.leaks,
        felt: vec![],
        forced: trace.forced,
        held: trace.held.and_then(|device| m.plan.branch_of_device(device)),
        state: m.plan.branch_state(&trace.z[..m.plan.nz]),
    };
    Ok((steady, Solution::Walked(trace, repeats)))
}

impl Solution {
    /// When a branch that lights is lit, `peak` being its largest current in amperes; `None` for other parts, and
    /// without a device that switches.
    pub(super) fn lighting(&self, m: &Machine, branch: usize, peak: f64) -> Option<Lighting> {
        let device = m.plan.links.get(branch)?.device;
        if !lighting::lights(&device) {
            return None;
        }
        let lamp = if matches!(device, Device::Neon { .. }) { m.plan.switching_number(branch) } else { None };
        match (self, lamp) {
            (Solution::Linear(_), _) => None,
            (Solution::Algebraic(cycle, _), Some(lamp)) => Some(lighting::lamp_in_cycle(m, cycle, lamp)),
            (Solution::Algebraic(cycle, scale), None) => Some(lighting::led_in_cycle(m, cycle, *scale, branch, peak)),
            (Solution::Walked(trace, repeats), Some(lamp)) => Some(lighting::lamp_in_trace(m, trace, lamp, *repeats)),
            (Solution::Walked(trace, _), None) => Some(lighting::led_in_trace(m, trace, branch, peak)),
        }
    }

    /// Volts and amperes of every branch at `points` instants evenly over the period or the window (outer index =
    /// branch).
    pub(super) fn waveform(&self, m: &Machine, points: usize) -> Vec<Vec<(f64, f64)>> {
        let mut out = vec![Vec::with_capacity(points); m.plan.own];
        let mut put = |mode: usize, z: &[f64]| {
            for (b, list) in out.iter_mut().enumerate() {
                list.push((at(&m.modes[mode].v, b, z), at(&m.modes[mode].i, b, z)));
            }
        };
        match self {
            Solution::Algebraic(cycle, scale) => {
                let span = TAU * f64::from(cycle.cycles);
                for k in 0..points {
                    let a = span * k as f64 / points as f64;
                    if let Some(p) = cycle.pieces.iter().find(|p| a < p.to).or(cycle.pieces.last()) {
                        put(p.mode, &[1.0, scale * a.sin(), scale * a.cos()]);
                    }
                }
            }
            Solution::Linear(phasors) => {
                let mut z = vec![0.0; m.plan.nz];
                for k in 0..points {
                    phasors.at(TAU * k as f64 / points as f64, &mut z);
                    put(phasors.mode, &z);
                }
            }
            Solution::Walked(trace, _) => along(m, trace, trace.span().unwrap_or(0.0), points, put),
        }
        out
    }

    /// Sums of signed branch volts at `points` instants evenly over the first cycle (outer index = sum).
    pub(super) fn sums_over_cycle<'a>(
        &self,
        m: &Machine,
        sums: impl Iterator<Item = &'a [(usize, f64)]>,
        points: usize,
    ) -> Vec<Vec<f64>> {
        let sums: Vec<&[(usize, f64)]> = sums.collect();
        let mut out = vec![Vec::with_capacity(points); sums.len()];
        self.over_cycle(m, points, |mode, z| {
            let volts = |sum: &&[(usize, f64)]| sum.iter().map(|(b, sign)| sign * at(&m.modes[mode].v, *b, z)).sum();
            out.iter_mut().zip(&sums).for_each(|(list, sum)| list.push(volts(sum)));
        });
        out
    }

    /// Hands the mode and the extended state at `points` angles evenly over the first cycle to `visit`.
    fn over_cycle(&self, m: &Machine, points: usize, mut visit: impl FnMut(usize, &[f64])) {
        let angle = |k: usize| TAU * k as f64 / points as f64;
        match self {
            Solution::Algebraic(cycle, scale) => {
                for a in (0..points).map(angle) {
                    if let Some(p) = cycle.pieces.iter().find(|p| a < p.to).or(cycle.pieces.last()) {
                        visit(p.mode, &[1.0, scale * a.sin(), scale * a.cos()]);
                    }
                }
            }
            Solution::Linear(phasors) => {
                let mut z = vec![0.0; m.plan.nz];
                for a in (0..points).map(angle) {
                    phasors.at(a, &mut z);
                    visit(phasors.mode, &z);
                }
            }
            Solution::Walked(trace, _) => along(m, trace, m.plan.period(), points, visit),
        }
    }

    /// Capacitor volts and inductor amperes, one a branch, at `points` angles evenly over the first cycle (outer index =
    /// point).
    pub(super) fn states_over_cycle(&self, m: &Machine, points: usize) -> Vec<Vec<f64>> {
        let mut out = Vec::with_capacity(points);
        self.over_cycle(m, points, |_, z| out.push(m.plan.branch_state(z)));
        out
    }
}

/// Hands the mode and the extended state at `points` instants evenly over the first `span` seconds of a trace to `visit`.
fn along(m: &Machine, trace: &Trace, span: f64, points: usize, mut visit: impl FnMut(usize, &[f64])) {
    let mut z = vec![0.0; m.plan.nz];
    let mut k = 0;
    for point in 0..points {
        let t = span * point as f64 / points as f64;
        while k + 1 < trace.steps.len() && trace.steps[k + 1].t <= t {
            k += 1;
        }
        let step = &trace.steps[k];
        m.jump(step.mode, trace.ends(k, m.plan.nz).0, t - step.t, &mut z);
        visit(step.mode, &z);
    }
}
