//! Quantities of every branch over a trace: exact samples at the quarters of every step, Boole's rule on v, i, v², i²,
//! v·i, and peaks from the samples, both sides of every event. (Closed forms of the integrals would lose all digits of
//! the currents in stiff branches; squares of samples do not.)

use super::linear::dot;
use super::machine::{Machine, Trace, ladder_step, polynomial, taylor_terms};
use super::mode::{TAYLOR, turn};
use super::{Device, Lighting, Quantities};

/// Sums of one branch, volts, amperes and seconds.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sum {
    pub v: f64,
    pub i: f64,
    pub vv: f64,
    pub ii: f64,
    pub vi: f64,
    pub forward: f64,
    pub v_max: f64,
    pub v_min: f64,
    pub i_max: f64,
    pub i_min: f64,
}

impl Sum {
    pub(super) const NEW: Sum = Sum {
        v: 0.0,
        i: 0.0,
        vv: 0.0,
        ii: 0.0,
        vi: 0.0,
        forward: 0.0,
        v_max: f64::NEG_INFINITY,
        v_min: f64::INFINITY,
        i_max: f64::NEG_INFINITY,
        i_min: f64::INFINITY,
    };

    pub(super) fn over(&self, seconds: f64) -> Quantities {
        let mean = |x: f64| x / seconds;
        let clean = |x: f64| if x.is_finite() { x } else { 0.0 };
        Quantities {
            v_rms: mean(self.vv).max(0.0).sqrt(),
            v_mean: mean(self.v),
            v_max: clean(self.v_max),
            v_min: clean(self.v_min),
            i_rms: mean(self.ii).max(0.0).sqrt(),
            i_mean: mean(self.i),
            i_forward_mean: mean(self.forward),
            i_max: clean(self.i_max),
            i_min: clean(self.i_min),
            power: mean(self.vi),
        }
    }
}

/// Samples of one quantity that may form a smooth peak between them.
#[derive(Clone, Copy)]
struct Recent {
    t: [f64; 2],
    y: [f64; 2],
    count: usize,
}

impl Recent {
    const NEW: Recent = Recent { t: [0.0; 2], y: [0.0; 2], count: 0 };

    /// Takes a sample; widens `max` and `min` by it and by a parabola's vertex where the middle one is extreme.
    #[inline]
    fn take(&mut self, t: f64, y: f64, max: &mut f64, min: &mut f64) {
        *max = max.max(y);
        *min = min.min(y);
        if self.count >= 2 {
            let [y0, y1] = self.y;
            if (y1 > y0 && y1 >= y) || (y1 < y0 && y1 <= y) {
                let (a, b) = (self.t[1] - self.t[0], t - self.t[1]);
                let (p, q) = ((y1 - y0) / a, (y - y1) / b);
                let bend = (q - p) / (a + b);
                let slope = (p * b + q * a) / (a + b);
                if bend != 0.0 {
                    let top = y1 - slope * slope / (4.0 * bend);
                    if y1 > y0 { *max = max.max(top) } else { *min = min.min(top) }
                }
            }
        }
        self.t = [self.t[1], t];
        self.y = [self.y[1], y];
        self.count += 1;
    }
}

/// The five samples of z over a step, `z0` given, the rest written behind it.
pub(super) fn samples(m: &Machine, step: &super::machine::Step, z0: &[f64], end: &[f64], out: &mut [f64]) {
    let (n, nz) = (m.plan.n, m.plan.nz);
    out[..nz].copy_from_slice(z0);
    out[4 * nz..].copy_from_slice(end);
    let mode = &m.modes[step.mode];
    match step.level {
        Some(k) => {
            let (quarter, half) = (turn(m.plan.omega * step.h / 4.0), turn(m.plan.omega * step.h / 2.0));
            ladder_step(n, nz, &mode.ladder[k + 2], z0, quarter.0, quarter.1, &mut out[nz..2 * nz]);
            ladder_step(n, nz, &mode.ladder[k + 1], z0, half.0, half.1, &mut out[2 * nz..3 * nz]);
            let (a, b) = out.split_at_mut(3 * nz);
            ladder_step(n, nz, &mode.ladder[k + 2], &a[2 * nz..], quarter.0, quarter.1, &mut b[..nz]);
        }
        None => {
            let mut terms = vec![0.0; (TAYLOR + 1) * nz];
            taylor_terms(&m.plan, &mode.rate, z0, &mut terms);
            for q in 1..4 {
                polynomial(&terms, nz, step.h * q as f64 / 4.0, &mut out[q * nz..(q + 1) * nz]);
            }
        }
    }
}

/// Adds a trace to the sums, one per link (leaks included).
pub(super) fn add(m: &Machine, trace: &Trace, sums: &mut [Sum]) {
    const BOOLE: [f64; 5] = [7.0 / 90.0, 32.0 / 90.0, 12.0 / 90.0, 32.0 / 90.0, 7.0 / 90.0];
    let nz = m.plan.nz;
    let nb = sums.len();
    let mut z = vec![0.0; 5 * nz];
    let mut recent = vec![[Recent::NEW; 2]; nb];
    let mut before = usize::MAX;
    for (k, step) in trace.steps.iter().enumerate() {
        samples(m, step, &trace.z[k * nz..(k + 1) * nz], &trace.z[(k + 1) * nz..(k + 2) * nz], &mut z);
        let mode = &m.modes[step.mode];
        if before != step.mode {
            recent.fill([Recent::NEW; 2]);
            before = step.mode;
        }
        for (b, sum) in sums.iter_mut().enumerate() {
            let (rv, ri) = (&mode.v[b * nz..(b + 1) * nz], &mode.i[b * nz..(b + 1) * nz]);
            let [keep_v, keep_i] = &mut recent[b];
            for (q, weight) in BOOLE.iter().enumerate() {
                let at = &z[q * nz..(q + 1) * nz];
                let (v, i) = (dot(rv, at), dot(ri, at));
                // The first sample of a step is the last of the one before, unless the mode changed.
                if q > 0 || keep_v.count == 0 {
                    let t = step.t + step.h * q as f64 / 4.0;
                    keep_v.take(t, v, &mut sum.v_max, &mut sum.v_min);
                    keep_i.take(t, i, &mut sum.i_max, &mut sum.i_min);
                }
                let w = weight * step.h;
                sum.v += w * v;
                sum.i += w * i;
                sum.vv += w * v * v;
                sum.ii += w * i * i;
                sum.vi += w * v * i;
                sum.forward += w * i.max(0.0);
            }
        }
    }
}

/// When a lamp is lit: strike and extinction of a glow lamp from the events.
pub(super) fn neon_lighting(m: &Machine, trace: &Trace, device: usize, span: f64, period: f64) -> Lighting {
    let degrees = |t: f64| 360.0 * (t / period).rem_euclid(1.0);
    let mut out = Lighting::default();
    let mut lit = 0.0;
    for s in &trace.steps {
        if m.modes[s.mode].states[device] != 0 {
            lit += s.h;
        }
    }
    let mut flashes = 0usize;
    for e in trace.events.iter().filter(|e| e.device == device) {
        match (e.from, e.to) {
            (0, _) => {
                out.on_deg.push(degrees(e.t));
                flashes += 1;
            }
            (_, 0) => out.off_deg.push(degrees(e.t)),
            // From lit one way to lit the other way within one instant: one flash ends, another begins.
            (a, b) if a.signum() != b.signum() => {
                out.on_deg.push(degrees(e.t));
                out.off_deg.push(degrees(e.t));
                flashes += 1;
            }
            _ => {}
        }
    }
    out.lit_fraction = (lit / span).min(1.0);
    out.flashes_per_cycle = flashes as f64 * period / span;
    sort(&mut out);
    out
}

/// When an LED is lit: its current above a tenth of its peak.
pub(super) fn led_lighting(m: &Machine, trace: &Trace, branch: usize, peak: f64, span: f64, period: f64) -> Lighting {
    let nz = m.plan.nz;
    let mut out = Lighting::default();
    let mut z = vec![0.0; 5 * nz];
    let limit = 0.1 * peak;
    let (mut lit, mut flashes) = (0.0, 0usize);
    let mut was: Option<f64> = None;
    let degrees = |t: f64| 360.0 * (t / period).rem_euclid(1.0);
    let first = trace.steps.first().map(|s| dot(row(m, s.mode, branch), &trace.z[..nz]));
    for (k, step) in trace.steps.iter().enumerate() {
        samples(m, step, &trace.z[k * nz..(k + 1) * nz], &trace.z[(k + 1) * nz..(k + 2) * nz], &mut z);
        let y: Vec<f64> = (0..5).map(|q| dot(row(m, step.mode, branch), &z[q * nz..(q + 1) * nz]) - limit).collect();
        let mut cross = |t: f64, up: bool| {
            if up {
                out.on_deg.push(degrees(t));
                flashes += 1;
            } else {
                out.off_deg.push(degrees(t));
            }
        };
        // A jump of the current at an event.
        if let Some(w) = was.filter(|w| (*w > 0.0) != (y[0] > 0.0)) {
            cross(step.t, w <= 0.0);
        }
        for q in 0..4 {
            let (a, b) = (y[q], y[q + 1]);
            let (t, h) = (step.t + step.h * q as f64 / 4.0, step.h / 4.0);
            let part = if (a > 0.0) == (b > 0.0) {
                if a > 0.0 { h } else { 0.0 }
            } else {
                let tau = crossing(m, step.mode, branch, &z[q * nz..(q + 1) * nz], h, limit);
                cross(t + tau, b > 0.0);
                if a > 0.0 { tau } else { h - tau }
            };
            lit += part;
        }
        was = Some(y[4]);
    }
    if let (Some(w), Some(f)) = (was, first) {
        if (w > 0.0) != (f - limit > 0.0) {
            if w <= 0.0 {
                out.on_deg.push(0.0);
                flashes += 1;
            } else {
                out.off_deg.push(0.0);
            }
        }
    }
    out.lit_fraction = (lit / span).clamp(0.0, 1.0);
    out.flashes_per_cycle = flashes as f64 * period / span;
    sort(&mut out);
    out
}

fn row(m: &Machine, mode: usize, branch: usize) -> &[f64] {
    let nz = m.plan.nz;
    &m.modes[mode].i[branch * nz..(branch + 1) * nz]
}

/// Instant within `h` at which the branch current crosses `limit`, by bisection with exact sub-steps.
fn crossing(m: &Machine, mode: usize, branch: usize, z0: &[f64], h: f64, limit: f64) -> f64 {
    let start = dot(row(m, mode, branch), z0) - limit;
    let mut at = z0.to_vec();
    let (mut t, mut step) = (0.0, h);
    let nz = m.plan.nz;
    let mut next = vec![0.0; nz];
    for _ in 0..30 {
        step /= 2.0;
        super::solver::jump(m, mode, &at, step, &mut next);
        if (dot(row(m, mode, branch), &next) - limit > 0.0) == (start > 0.0) {
            std::mem::swap(&mut at, &mut next);
            t += step;
        }
    }
    t
}

pub(super) fn sort(l: &mut Lighting) {
    l.on_deg.sort_by(f64::total_cmp);
    l.off_deg.sort_by(f64::total_cmp);
}

/// Whether a branch is something that lights.
pub(super) fn lights(device: &Device) -> bool {
    matches!(device, Device::Neon { .. } | Device::Diode { .. })
}
