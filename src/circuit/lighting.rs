//! When glow lamps and LEDs are lit: a lamp from strike to extinction, an LED while its current is above a part of its
//! peak.

use std::f64::consts::{PI, TAU};

use super::algebraic::{Cycle, Piece};
use super::linear::dot;
use super::machine::Machine;
use super::netlist::Device;
use super::results::{Lighting, Repeats};
use super::samples::Sampler;
use super::segment::Segment;
use super::trace::{Event, Trace};

/// Part of an LED's peak current above which it counts as lit.
const LED_LIT: f64 = 0.1;
/// Halvings of a quarter of a step in search of the instant at which an LED's current crosses that: a billionth of it.
const CROSSING_HALVINGS: usize = 30;

/// Whether a branch is something that lights.
pub(super) fn lights(device: &Device) -> bool {
    matches!(device, Device::Neon { .. } | Device::Diode { .. })
}

/// A lamp (by its number among the switching devices) over a trace.
pub(super) fn lamp_in_trace(m: &Machine, trace: &Trace, device: usize, repeats: Repeats) -> Lighting {
    let period = m.plan.period();
    let span = trace.span().unwrap_or(period);
    let mut lit = 0.0;
    for s in &trace.steps {
        if m.modes[s.mode].segments[device] != Segment::Off {
            lit += s.h;
        }
    }
    let (mut out, strikes) = strikes_and_extinctions(&trace.events, device, |t| degrees_in(t, period));
    // A window cuts flashes off at its ends: there the rate is that between the first strike and the last.
    out.flashes_per_cycle = match (repeats, strikes.first(), strikes.last()) {
        (Repeats::Window { .. }, Some(a), Some(b)) if b > a => (strikes.len() - 1) as f64 * period / (b - a),
        _ => out.on_deg.len() as f64 * period / span,
    };
    finish(out, lit / span)
}

/// A lamp (by its number among the switching devices) over a cycle without storage.
pub(super) fn lamp_in_cycle(m: &Machine, cycle: &Cycle, device: usize) -> Lighting {
    let mut lit = 0.0;
    for p in &cycle.pieces {
        if m.modes[p.mode].segments[device] != Segment::Off {
            lit += p.to - p.from;
        }
    }
    let (mut out, _) = strikes_and_extinctions(&cycle.events, device, degrees_of);
    out.flashes_per_cycle = out.on_deg.len() as f64 / f64::from(cycle.cycles);
    finish(out, lit / (TAU * f64::from(cycle.cycles)))
}

/// Angles at which a device goes on and off, and the instants at which it strikes from dark.
fn strikes_and_extinctions(events: &[Event], device: usize, degrees: impl Fn(f64) -> f64) -> (Lighting, Vec<f64>) {
    let mut out = Lighting::default();
    let mut strikes = vec![];
    for e in events.iter().filter(|e| e.device == device) {
        let (dark, dark_after) = (e.from == Segment::Off, e.to == Segment::Off);
        // From lit one way to lit the other way within one instant: one flash ends, another begins.
        let turned = !dark && !dark_after && e.from.sign() != e.to.sign();
        if dark {
            strikes.push(e.t);
        }
        if dark || turned {
            out.on_deg.push(degrees(e.t));
        }
        if (dark_after && !dark) || turned {
            out.off_deg.push(degrees(e.t));
        }
    }
    (out, strikes)
}

/// An LED over a trace, `peak` being its largest current in amperes.
pub(super) fn led_in_trace(m: &Machine, trace: &Trace, branch: usize, peak: f64) -> Lighting {
    let period = m.plan.period();
    let span = trace.span().unwrap_or(period);
    let limit = LED_LIT * peak;
    let above = |mode: usize, z: &[f64]| dot(current_row(m, mode, branch), z) - limit;
    let mut out = Lighting::default();
    let mut lit = 0.0;
    let mut sampler = Sampler::new(m.plan.nz);
    let mut was: Option<f64> = None;
    for (k, step) in trace.steps.iter().enumerate() {
        sampler.take(m, trace, k);
        let y = [0, 1, 2, 3, 4].map(|q| above(step.mode, sampler.at(q)));
        // A jump of the current at an event.
        if let Some(w) = was.filter(|w| (*w > 0.0) != (y[0] > 0.0)) {
            cross(&mut out, degrees_in(step.t, period), w <= 0.0);
        }
        for q in 0..4 {
            let (a, b) = (y[q], y[q + 1]);
            let (t, h) = (step.t + step.h * q as f64 / 4.0, step.h / 4.0);
            lit += if (a > 0.0) == (b > 0.0) {
                if a > 0.0 { h } else { 0.0 }
            } else {
                let tau = crossing(m, step.mode, sampler.at(q), h, |z| above(step.mode, z));
                cross(&mut out, degrees_in(t + tau, period), b > 0.0);
                if a > 0.0 { tau } else { h - tau }
            };
        }
        was = Some(y[4]);
    }
    // Where the end of the trace meets its start.
    let first = trace.steps.first().map(|s| above(s.mode, &trace.z[..m.plan.nz]));
    if let (Some(w), Some(f)) = (was, first)
        && (w > 0.0) != (f > 0.0)
    {
        cross(&mut out, 0.0, w <= 0.0);
    }
    out.flashes_per_cycle = out.on_deg.len() as f64 * period / span;
    finish(out, lit / span)
}

/// An LED over a cycle without storage, `peak` being its largest current in amperes.
pub(super) fn led_in_cycle(m: &Machine, cycle: &Cycle, scale: f64, branch: usize, peak: f64) -> Lighting {
    let limit = LED_LIT * peak;
    let mut out = Lighting::default();
    let mut lit = 0.0;
    let mut first: Option<bool> = None;
    let mut was: Option<bool> = None;
    for p in &cycle.pieces {
        let row = current_row(m, p.mode, branch);
        let x = [row[0] - limit, row[1] * scale, row[2] * scale];
        for w in cuts_at_zeros(&x, p).windows(2) {
            let mid = 0.5 * (w[0] + w[1]);
            let on = x[0] + x[1] * mid.sin() + x[2] * mid.cos() > 0.0;
            if on {
                lit += w[1] - w[0];
            }
            if was.is_some_and(|b| b != on) {
                cross(&mut out, degrees_of(w[0]), on);
            }
            first = first.or(Some(on));
            was = Some(on);
        }
    }
    // Where the end of the cycle meets its start.
    if let (Some(a), Some(b)) = (was, first)
        && a != b
    {
        cross(&mut out, 0.0, b);
    }
    out.flashes_per_cycle = out.on_deg.len() as f64 / f64::from(cycle.cycles);
    finish(out, lit / (TAU * f64::from(cycle.cycles)))
}

/// The ends of a piece and the zeros of `x0 + xs sin + xc cos` within it, in order.
fn cuts_at_zeros(x: &[f64; 3], p: &Piece) -> Vec<f64> {
    let r = x[1].hypot(x[2]);
    let mut cuts = vec![p.from, p.to];
    if r > x[0].abs() {
        let d = x[2].atan2(x[1]);
        let s = (-x[0] / r).asin();
        for zero in [s - d, PI - s - d] {
            let a = p.from + (zero - p.from).rem_euclid(TAU);
            if a < p.to {
                cuts.push(a);
            }
        }
        cuts.sort_by(f64::total_cmp);
    }
    cuts
}

/// Instant within `h` seconds at which a quantity changes its sign, by bisection with exact sub-steps.
fn crossing(m: &Machine, mode: usize, z0: &[f64], h: f64, quantity: impl Fn(&[f64]) -> f64) -> f64 {
    let start = quantity(z0);
    let mut at = z0.to_vec();
    let (mut t, mut step) = (0.0, h);
    let mut next = vec![0.0; m.plan.nz];
    for _ in 0..CROSSING_HALVINGS {
        step /= 2.0;
        m.jump(mode, &at, step, &mut next);
        if (quantity(&next) > 0.0) == (start > 0.0) {
            std::mem::swap(&mut at, &mut next);
            t += step;
        }
    }
    t
}

/// Row over z of a branch's current.
fn current_row(m: &Machine, mode: usize, branch: usize) -> &[f64] {
    let nz = m.plan.nz;
    &m.modes[mode].i[branch * nz..(branch + 1) * nz]
}

/// Writes down that it goes on, or off.
fn cross(out: &mut Lighting, degrees: f64, on: bool) {
    if on { out.on_deg.push(degrees) } else { out.off_deg.push(degrees) }
}

/// Degrees of the mains after so many seconds.
fn degrees_in(t: f64, period: f64) -> f64 {
    360.0 * (t / period).rem_euclid(1.0)
}

/// Degrees of a mains angle in radians.
fn degrees_of(a: f64) -> f64 {
    a.to_degrees().rem_euclid(360.0)
}

/// Angles in rising order, and the part of the time it is lit: one, but for rounding, at most.
fn finish(mut out: Lighting, lit_fraction: f64) -> Lighting {
    out.lit_fraction = lit_fraction.clamp(0.0, 1.0);
    out.on_deg.sort_by(f64::total_cmp);
    out.off_deg.sort_by(f64::total_cmp);
    out
}
