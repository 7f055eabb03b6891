//! Quantities of every branch over a trace: exact samples at the quarters of every step, Boole's rule on v, i, v², i²,
//! v·i, and peaks from the samples, both sides of every event. (Closed forms of the integrals would lose all digits of
//! the currents in stiff branches; squares of samples do not.)

use super::linear::dot;
use super::machine::{Machine, Trace, ladder_step, polynomial, taylor_terms};
use super::mode::TAYLOR;
use super::nodal::STIFF;
use super::topology::Role;
use super::{Device, Lighting, Quantities, Repeats};

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

/// Widens `max` and `min` by five even samples of a step, and by the vertex of the cubic through the four samples about
/// the extreme one where it may matter. Gives the least and the largest sample.
#[inline]
fn widen(y: &[f64; 5], max: &mut f64, min: &mut f64) -> (f64, f64) {
    // Plain comparisons: the samples are finite, and the library's rules for NaN cost several times as much here.
    let more = |a: f64, b: f64| if a > b { a } else { b };
    let less = |a: f64, b: f64| if a < b { a } else { b };
    let high = more(more(more(y[0], y[1]), more(y[2], y[3])), y[4]);
    let low = less(less(less(y[0], y[1]), less(y[2], y[3])), y[4]);
    // A crest between two samples is at most a quarter of their difference above the higher one: most steps of a
    // cycle are nowhere near the extremes and end here.
    let room = 0.25 * (high - low);
    if high + room > *max {
        *max = max.max(high + beyond(y, high, 1.0));
    }
    if low - room < *min {
        *min = min.min(low - beyond(y, low, -1.0));
    }
    (low, high)
}

/// By how much the quantity may go beyond its extreme sample within the step.
fn beyond(y: &[f64; 5], extreme: f64, sign: f64) -> f64 {
    let m = y.iter().position(|x| *x == extreme).unwrap_or(0);
    // At an end of the step the crest is inside only if the slope there (of the parabola through the last three samples)
    // points back into the step.
    let slope = match m {
        0 => 4.0 * y[1] - 3.0 * y[0] - y[2],
        4 => 4.0 * y[3] - 3.0 * y[4] - y[2],
        _ => 1.0 * sign,
    };
    if slope * sign <= 0.0 {
        return 0.0;
    }
    let beside = |k: usize| y.get(k).map_or(0.0, |o| (y[m] - o).abs());
    vertex(y, m, sign).min(0.25 * beside(m + 1).max(beside(m.wrapping_sub(1))))
}

/// By how much the cubic through the samples about sample `m` goes beyond it (`sign` 1 for a crest, -1 for a trough).
fn vertex(y: &[f64; 5], m: usize, sign: f64) -> f64 {
    let from = m.saturating_sub(1).min(1);
    let at = (m - from) as f64;
    let [a, b, c, d] = [y[from], y[from + 1], y[from + 2], y[from + 3]].map(|x| sign * x);
    let (d1, d2, d3) = (b - a, c - 2.0 * b + a, d - 3.0 * c + 3.0 * b - a);
    // Derivative of the cubic in Newton's form: p x² + q x + r.
    let (p, q, r) = (0.5 * d3, d2 - d3, d1 - 0.5 * d2 + d3 / 3.0);
    let disc = q * q - 4.0 * p * r;
    if disc < 0.0 {
        return 0.0;
    }
    // The root with a falling derivative is the crest: stable form for small p.
    let x = if q <= 0.0 { 2.0 * r / (-q + disc.sqrt()) } else { (-q - disc.sqrt()) / (2.0 * p) };
    if !(0.0..=3.0).contains(&x) || (x - at).abs() > 1.0 {
        return 0.0;
    }
    let value = a + x * (d1 + (x - 1.0) * (0.5 * d2 + (x - 2.0) * d3 / 6.0));
    (value - sign * y[m]).max(0.0)
}

/// The five samples of z over a step, `z0` given, the rest written behind it.
///
/// `terms` is room for the Taylor coefficients, used again from step to step.
pub(super) fn samples(
    m: &Machine,
    step: &super::machine::Step,
    z0: &[f64],
    end: &[f64],
    out: &mut [f64],
    terms: &mut Vec<f64>,
) {
    let (n, nz) = (m.plan.n, m.plan.nz);
    out[..nz].copy_from_slice(z0);
    out[4 * nz..].copy_from_slice(end);
    let mode = &m.modes[step.mode];
    match step.level {
        Some(k) => {
            let (quarter, half) = (m.turns[k + 2], m.turns[k + 1]);
            ladder_step(n, nz, &mode.ladder[k + 2], z0, quarter.0, quarter.1, &mut out[nz..2 * nz]);
            ladder_step(n, nz, &mode.ladder[k + 1], z0, half.0, half.1, &mut out[2 * nz..3 * nz]);
            let (a, b) = out.split_at_mut(3 * nz);
            ladder_step(n, nz, &mode.ladder[k + 2], &a[2 * nz..], quarter.0, quarter.1, &mut b[..nz]);
        }
        None => {
            terms.resize((TAYLOR + 1) * nz, 0.0);
            taylor_terms(&m.plan, &mode.rate, z0, terms);
            for q in 1..4 {
                polynomial(terms, nz, step.h * q as f64 / 4.0, &mut out[q * nz..(q + 1) * nz]);
            }
        }
    }
}

/// Adds a trace to the sums, one per link (leaks included).
pub(super) fn add(m: &Machine, trace: &Trace, sums: &mut [Sum]) {
    const BOOLE: [f64; 5] = [7.0 / 90.0, 32.0 / 90.0, 12.0 / 90.0, 32.0 / 90.0, 7.0 / 90.0];
    let nz = m.plan.nz;
    let mut z = vec![0.0; 5 * nz];
    let mut terms = vec![];
    // The same samples column by column: five products side by side suit the machine.
    let mut columns = vec![[0.0; 5]; nz];
    for (k, step) in trace.steps.iter().enumerate() {
        samples(m, step, &trace.z[k * nz..(k + 1) * nz], &trace.z[(k + 1) * nz..(k + 2) * nz], &mut z, &mut terms);
        for (c, column) in columns.iter_mut().enumerate() {
            *column = [z[c], z[nz + c], z[2 * nz + c], z[3 * nz + c], z[4 * nz + c]];
        }
        let five = |rows: &[f64], b: usize| {
            let mut out = [0.0; 5];
            for (x, column) in rows[b * nz..(b + 1) * nz].iter().zip(&columns) {
                for q in 0..5 {
                    out[q] += x * column[q];
                }
            }
            out
        };
        let w = BOOLE.map(|x| x * step.h);
        let first = |y: &[f64; 5]| (0..5).map(|q| w[q] * y[q]).sum::<f64>();
        let second = |x: &[f64; 5], y: &[f64; 5]| (0..5).map(|q| w[q] * x[q] * y[q]).sum::<f64>();
        let mode = &m.modes[step.mode];
        for (b, sum) in sums.iter_mut().enumerate() {
            if let Role::Ohmic(g) = m.plan.links[b].role {
                // One of the two carries the digits (see the mode's stiff branches), the other follows from it.
                let (x, to_v, to_i) =
                    if g > STIFF { (five(&mode.i, b), 1.0 / g, 1.0) } else { (five(&mode.v, b), 1.0, g) };
                let (mean, square) = (first(&x), second(&x, &x));
                sum.v += to_v * mean;
                sum.i += to_i * mean;
                sum.vv += to_v * to_v * square;
                sum.ii += to_i * to_i * square;
                sum.vi += to_v * to_i * square;
                let (mut max, mut min) = (sum.v_max / to_v, sum.v_min / to_v);
                let ends = widen(&x, &mut max, &mut min);
                (sum.v_max, sum.v_min) = (to_v * max, to_v * min);
                (sum.i_max, sum.i_min) = (to_i * max, to_i * min);
                sum.forward += to_i * positive_part(&x, step.h, mean, ends, max.max(-min));
            } else {
                let (v, i) = (five(&mode.v, b), five(&mode.i, b));
                sum.v += first(&v);
                let mean = first(&i);
                sum.i += mean;
                sum.vv += second(&v, &v);
                sum.ii += second(&i, &i);
                sum.vi += second(&v, &i);
                widen(&v, &mut sum.v_max, &mut sum.v_min);
                let ends = widen(&i, &mut sum.i_max, &mut sum.i_min);
                sum.forward += positive_part(&i, step.h, mean, ends, sum.i_max.max(-sum.i_min));
            }
        }
    }
}

/// Integral of max(i, 0) over a step from five even samples: the whole integral while the sign holds; otherwise the
/// cubic through the samples about the crossing splits the quarter it falls in.
#[inline]
fn positive_part(y: &[f64; 5], h: f64, whole: f64, (low, high): (f64, f64), largest: f64) -> f64 {
    if low >= 0.0 {
        whole
    } else if high <= 0.0 {
        0.0
    } else if high - low < 1e-9 * largest {
        // Rounding about zero.
        whole.max(0.0)
    } else {
        split(y, h)
    }
}

fn split(y: &[f64; 5], h: f64) -> f64 {
    let quarter = h / 4.0;
    (0..4)
        .map(|k: usize| {
            // Cubic through four samples that hold this quarter, in x from its start (unit: a quarter).
            let from = k.saturating_sub(1).min(1);
            let p = |x: f64| cubic(&y[from..from + 4], x + (k - from) as f64);
            let gauss = |a: f64, b: f64| {
                let (mid, half) = (0.5 * (a + b), 0.5 * (b - a));
                let d = half / 3f64.sqrt();
                half * (p(mid - d) + p(mid + d))
            };
            let whole = match (y[k] >= 0.0, y[k + 1] >= 0.0) {
                (true, true) => gauss(0.0, 1.0),
                (false, false) => 0.0,
                (up, _) => {
                    // Regula falsi with the stale end halved: a cubic with one crossing needs a handful of steps.
                    let (mut low, mut high) = (0.0, 1.0);
                    let (mut f_low, mut f_high) = (y[k], y[k + 1]);
                    for _ in 0..8 {
                        let x = low - f_low * (high - low) / (f_high - f_low);
                        let f = p(x);
                        if (f >= 0.0) == up {
                            (low, f_low) = (x, f);
                            f_high *= 0.5;
                        } else {
                            (high, f_high) = (x, f);
                            f_low *= 0.5;
                        }
                    }
                    let x = 0.5 * (low + high);
                    if up { gauss(0.0, x) } else { gauss(x, 1.0) }
                }
            };
            whole * quarter
        })
        .sum()
}

/// Value at `x` of the cubic through `y` at 0, 1, 2, 3.
fn cubic(y: &[f64], x: f64) -> f64 {
    let (a, b, c) = (x - 1.0, x - 2.0, x - 3.0);
    -y[0] * a * b * c / 6.0 + y[1] * x * b * c / 2.0 - y[2] * x * a * c / 2.0 + y[3] * x * a * b / 6.0
}

/// When a lamp is lit: strike and extinction of a glow lamp from the events.
pub(super) fn neon_lighting(
    m: &Machine,
    trace: &Trace,
    device: usize,
    span: f64,
    period: f64,
    repeats: Repeats,
) -> Lighting {
    let degrees = |t: f64| 360.0 * (t / period).rem_euclid(1.0);
    let mut out = Lighting::default();
    let mut lit = 0.0;
    for s in &trace.steps {
        if m.modes[s.mode].states[device] != 0 {
            lit += s.h;
        }
    }
    let mut flashes = 0usize;
    let mut strikes: Vec<f64> = vec![];
    for e in trace.events.iter().filter(|e| e.device == device) {
        match (e.from, e.to) {
            (0, _) => {
                out.on_deg.push(degrees(e.t));
                strikes.push(e.t);
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
    // A window cuts flashes off at its ends: there the rate is that between the first strike and the last.
    out.flashes_per_cycle = match (repeats, strikes.first(), strikes.last()) {
        (Repeats::Window { .. }, Some(a), Some(b)) if b > a => (strikes.len() - 1) as f64 * period / (b - a),
        _ => flashes as f64 * period / span,
    };
    sort(&mut out);
    out
}

/// When an LED is lit: its current above a tenth of its peak.
pub(super) fn led_lighting(m: &Machine, trace: &Trace, branch: usize, peak: f64, span: f64, period: f64) -> Lighting {
    let nz = m.plan.nz;
    let mut out = Lighting::default();
    let mut z = vec![0.0; 5 * nz];
    let mut terms = vec![];
    let limit = 0.1 * peak;
    let (mut lit, mut flashes) = (0.0, 0usize);
    let mut was: Option<f64> = None;
    let degrees = |t: f64| 360.0 * (t / period).rem_euclid(1.0);
    let first = trace.steps.first().map(|s| dot(row(m, s.mode, branch), &trace.z[..nz]));
    for (k, step) in trace.steps.iter().enumerate() {
        samples(m, step, &trace.z[k * nz..(k + 1) * nz], &trace.z[(k + 1) * nz..(k + 2) * nz], &mut z, &mut terms);
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
    if let (Some(w), Some(f)) = (was, first)
        && (w > 0.0) != (f - limit > 0.0)
    {
        if w <= 0.0 {
            out.on_deg.push(0.0);
            flashes += 1;
        } else {
            out.off_deg.push(0.0);
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
