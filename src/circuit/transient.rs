//! Transients: from a given state until a time or a threshold.

use super::ladder::step_length;
use super::linear::{dot, solve};
use super::machine::{Machine, Position};
use super::measure::{self, Sum, finish};
use super::mode::at;
use super::netlist::Device;
use super::results::Quantities;
use super::trace::{Road, Step, Trace};
use super::unsolved::Unsolved;
use super::walk::walk;

/// A run is walked in parts, each looked at for the threshold before the next: parts of this many longest steps, and at
/// most so many parts in all.
const STEPS_PER_PART: f64 = 32.0;
const MOST_PARTS: f64 = 64.0;
/// Seconds from which a run without a threshold is a wait, and for how long what rings is then followed.
const LONG_WAIT: f64 = 0.5;
const FOLLOWED: f64 = 0.01;
/// Halvings of a step in search of the instant of the threshold: more bring no other number.
const THRESHOLD_HALVINGS: usize = 60;
/// Most short steps to which the last step of a run is cut up.
const MOST_CUTS: f64 = 1e6;

/// Start of a transient.
#[derive(Debug, Clone, Default)]
pub struct Start {
    /// Angle of the mains at the start, radians (0 = rising zero of a source with phase 0).
    pub angle: f64,
    /// Capacitor volts and inductor amperes, one a branch (0 for others); empty = rest.
    pub state: Vec<f64>,
}

/// End of a transient.
#[derive(Debug, Clone, Copy, Default)]
pub struct Until {
    /// Seconds at most.
    pub seconds: f64,
    /// Ends earlier when the magnitude of this branch's voltage has fallen below so many volts.
    pub falls_below: Option<(usize, f64)>,
}

/// A transient.
#[derive(Debug, Clone)]
pub struct Transient {
    /// Quantities over the run, one a branch.
    pub branches: Vec<Quantities>,
    /// Capacitor volts and inductor amperes at the end, one a branch (0 for others).
    pub state: Vec<f64>,
    /// Branch volts at the end, one a branch.
    pub volts: Vec<f64>,
    /// When it ended, seconds.
    pub seconds: f64,
    /// Energy taken, joules, one a branch.
    pub energy: Vec<f64>,
    /// Integral of the squared current, A² s, one a branch.
    pub i2t: Vec<f64>,
    /// |sum of all energies| over the sum of the volt-ampere-seconds (a plain number).
    pub residual: f64,
    /// True when a device had to be held where its voltage and current do not put it, to get past one instant.
    pub forced: bool,
    /// The branch of the first device that was held so, where it is known.
    pub held: Option<usize>,
}

/// Runs a transient at a supply level. Filament lamps keep the resistance they have.
///
/// # Errors
/// [`Unsolved::Lost`] for a run of no duration, capacitors that cannot share their charge, or a walk that fails.
pub(super) fn run(m: &mut Machine, scale: f64, start: &Start, until: &Until) -> Result<Transient, Unsolved> {
    // Which segment every device takes shows in the first step only.
    if until.seconds.is_nan() || until.seconds <= 0.0 {
        return Err(Unsolved::Lost { what: "a transient of no duration was asked for" });
    }
    let mut here = begin(m, scale, start)?;
    m.effort = 0;
    m.lets_go = true;
    // After a long wait only its end counts: what rings meanwhile need not be followed to where it dies away.
    m.follow = if until.falls_below.is_none() && until.seconds >= LONG_WAIT { FOLLOWED } else { f64::INFINITY };
    let own = m.plan.own;
    // Without a threshold there is nothing to look at on the way.
    let part = match until.falls_below {
        Some(_) => (STEPS_PER_PART * m.plan.base).max(until.seconds / MOST_PARTS),
        None => until.seconds,
    };
    let mut sums = vec![Sum::NEW; m.plan.links.len()];
    let mut trace = Trace::default();
    let (mut t, mut forced, mut last_mode, mut fallen) = (0.0, false, 0, false);
    let mut held = None;
    while t < until.seconds && !fallen {
        let mut span = part.min(until.seconds - t);
        walk(m, &mut here, span, &mut trace, None)?;
        forced |= trace.forced;
        held = held.or(trace.held);
        if let Some((branch, volts)) = until.falls_below
            && let Some(end) = fall(m, &trace, branch, volts)
        {
            cut_at(m, &mut trace, end);
            here.z.copy_from_slice(&trace.z[trace.z.len() - m.plan.nz..]);
            (span, fallen) = (end, true);
        }
        measure::add(m, &trace, &mut sums);
        last_mode = trace.steps.last().map_or(last_mode, |s| s.mode);
        t += span;
    }
    let over = if t > 0.0 { t } else { 1.0 };
    let (branches, residual) = finish(&sums, own, over, m.plan.rounding(scale));
    Ok(Transient {
        energy: sums[..own].iter().map(|s| s.vi).collect(),
        i2t: sums[..own].iter().map(|s| s.ii).collect(),
        branches,
        state: m.plan.branch_state(&here.z),
        volts: (0..own).map(|b| at(&m.modes[last_mode].v, b, &here.z)).collect(),
        seconds: t,
        residual,
        forced,
        held: held.and_then(|device| m.plan.branch_of_device(device)),
    })
}

/// Where a transient starts. Capacitors in a loop share their charge before anything else happens.
fn begin(m: &Machine, scale: f64, start: &Start) -> Result<Position, Unsolved> {
    let p = &m.plan;
    let mut here = m.rest(scale, start.angle);
    let given = |b: usize| start.state.get(b).copied().unwrap_or(0.0);
    for (k, &b) in p.forest.coils.iter().enumerate() {
        here.z[p.nc + k] = given(b);
    }
    // (Ct + F' Cl F) x = Ct v_tree + F' Cl (v_link - F_e e): identical to v_tree when the loop is consistent.
    let mut x: Vec<f64> = p.forest.tree.iter().map(|&b| given(b)).collect();
    if !p.forest.closing.is_empty() {
        for (k, &b) in p.forest.tree.iter().enumerate() {
            if let Device::Capacitor { farads } = p.links[b].device {
                x[k] *= farads;
            }
        }
        for &b in &p.forest.closing {
            let Device::Capacitor { farads } = p.links[b].device else {
                continue;
            };
            let w = p.w(b);
            let driven = dot(&w[p.n..], &here.z[p.n..]);
            for (x, w) in x.iter_mut().zip(w) {
                *x += w * farads * (given(b) - driven);
            }
        }
        if !solve(&mut p.storage.capacitance.clone(), &mut x, p.nc, 1) {
            return Err(Unsolved::Lost { what: "capacitors in a loop could not share their charge" });
        }
    }
    here.z[..p.nc].copy_from_slice(&x);
    Ok(here)
}

/// First instant of a trace at which the magnitude of the branch's voltage is below `volts`, seconds.
fn fall(m: &Machine, trace: &Trace, branch: usize, volts: f64) -> Option<f64> {
    let nz = m.plan.nz;
    let mut z = vec![0.0; nz];
    let below = |mode: usize, z: &[f64]| at(&m.modes[mode].v, branch, z).abs() < volts;
    for (k, step) in trace.steps.iter().enumerate() {
        let (start, end) = trace.ends(k, nz);
        if below(step.mode, start) {
            return Some(step.t);
        }
        if below(step.mode, end) {
            let (mut low, mut high) = (0.0, step.h);
            for _ in 0..THRESHOLD_HALVINGS {
                let mid = 0.5 * (low + high);
                m.jump(step.mode, start, mid, &mut z);
                if below(step.mode, &z) { high = mid } else { low = mid }
            }
            return Some(step.t + high);
        }
    }
    None
}

/// Ends a trace at `t` seconds.
fn cut_at(m: &Machine, trace: &mut Trace, t: f64) {
    let nz = m.plan.nz;
    let keep = trace.steps.iter().take_while(|s| s.t + s.h <= t).count();
    let rest = trace.steps.get(keep).map(|s| (s.mode, t - s.t, s.t));
    trace.steps.truncate(keep);
    trace.z.truncate((keep + 1) * nz);
    let Some((mode, left, mut from)) = rest else { return };
    // The quadrature wants Taylor steps short against the mode.
    let finest = step_length(m.plan.base, m.modes[mode].finest);
    let parts = (left / finest).ceil().max(1.0);
    if left > 0.0 && parts <= MOST_CUTS {
        let mut z = vec![0.0; nz];
        for _ in 0..parts as usize {
            m.jump(mode, &trace.z[trace.z.len() - nz..], left / parts, &mut z);
            trace.steps.push(Step { mode, road: Road::Taylor, t: from, h: left / parts });
            trace.z.extend_from_slice(&z);
            from += left / parts;
        }
    }
}
