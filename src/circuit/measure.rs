//! Quantities of every branch over a trace: exact samples at the quarters of every step, Boole's rule on v, i, v², i²,
//! v·i, and peaks from the samples, both sides of every event. (Closed forms of the integrals would lose all digits of
//! the currents in stiff branches; squares of samples do not.)

use super::forest::Role;
use super::interpolation::{positive_part, widen};
use super::machine::Machine;
use super::nodal::STIFF;
use super::results::Quantities;
use super::samples::Sampler;
use super::trace::Trace;

/// Siemens below which a switching device merely leaks: its current then has all the digits of its volts. One that conducts
/// has volts of its own, in which a small current is lost.
const LEAKS: f64 = 1e-5;
/// Boole's rule: weights of five even samples, as parts of the step.
const BOOLE: [f64; 5] = [7.0 / 90.0, 32.0 / 90.0, 12.0 / 90.0, 32.0 / 90.0, 7.0 / 90.0];

/// Integrals of one branch over time (volts, amperes and seconds), and its extremes.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sum {
    pub v: f64,
    pub i: f64,
    pub vv: f64,
    pub ii: f64,
    pub vi: f64,
    /// Of the forward current `max(i, 0)`.
    pub forward: f64,
    pub v_max: f64,
    pub v_min: f64,
    pub i_max: f64,
    pub i_min: f64,
}

impl Sum {
    /// Nothing summed yet.
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

    /// Quantities over so many seconds; extremes of what was never seen are zero.
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

/// Quantities of the caller's branches (the first `own`), and the energy residual over all links. `span` is how long was
/// summed, `rounding` the watts that rounding alone may leave over.
pub(super) fn finish(sums: &[Sum], own: usize, span: f64, rounding: f64) -> (Vec<Quantities>, f64) {
    // Against volt-amperes: where hardly any real power flows, rounding is all there is of it. And less what rounding
    // alone may leave in the best conductor of a circuit in which hardly any current flows.
    let (total, size) = sums.iter().fold((0.0, 0.0), |(t, s), x| (t + x.vi, s + (x.vv * x.ii).max(0.0).sqrt()));
    let left = (total.abs() - rounding * span).max(0.0);
    let residual = if left > 0.0 { left / size } else { 0.0 };
    (sums[..own].iter().map(|s| s.over(span)).collect(), residual)
}

/// Mean power that a capacitor, or all inductors together (they pass it to one another), seem to take, the largest, over the
/// volt-amperes of all links: over a whole period it is none. `rounding` and `span` as in [`finish`].
pub(super) fn stored(m: &Machine, sums: &[Sum], span: f64, rounding: f64) -> f64 {
    let (mut most, mut coils, mut size) = (0.0f64, 0.0, 0.0);
    for (link, sum) in m.plan.links.iter().zip(sums) {
        size += (sum.vv * sum.ii).max(0.0).sqrt();
        match link.role {
            Role::Tree(_) | Role::Closing => most = most.max(sum.vi.abs()),
            Role::Coil(_) => coils += sum.vi,
            Role::Source(_) | Role::Ohmic(_) | Role::Switching(_) | Role::Meter => {}
        }
    }
    let left = most.max(f64::abs(coils)) - rounding * span;
    if left > 0.0 { left / size } else { 0.0 }
}

/// Row `b` of `rows` at the five samples.
#[inline]
fn five(rows: &[f64], b: usize, columns: &[[f64; 5]]) -> [f64; 5] {
    let nz = columns.len();
    let mut out = [0.0; 5];
    for (x, column) in rows[b * nz..(b + 1) * nz].iter().zip(columns) {
        for q in 0..5 {
            out[q] += x * column[q];
        }
    }
    out
}

/// What is worked out from the state of a branch in one mode: the other of its volts and amperes follows from it.
#[derive(Debug, Clone, Copy)]
enum Carrier {
    /// A resistor: `i = g v`, siemens.
    Ohmic(f64),
    /// A switching device that merely leaks: `i = g v + j`, siemens and amperes.
    Leak(f64, f64),
    /// Volts are state number k.
    Volts(usize),
    /// Amperes are state number k.
    Amperes(usize),
    /// Nothing flows.
    Meter,
    /// Both are worked out.
    Both,
}

/// The carriers of every link in one mode.
fn carriers(m: &Machine, mode: usize) -> impl Iterator<Item = Carrier> {
    let segments = &m.modes[mode].segments;
    m.plan.links.iter().map(move |l| match l.role {
        Role::Ohmic(g) => Carrier::Ohmic(g),
        Role::Switching(k) => {
            let (g, j) = segments[k].line(&l.device);
            if g < LEAKS { Carrier::Leak(g, j) } else { Carrier::Both }
        }
        Role::Tree(k) => Carrier::Volts(k),
        Role::Coil(k) => Carrier::Amperes(m.plan.nc + k),
        Role::Meter => Carrier::Meter,
        Role::Source(_) | Role::Closing => Carrier::Both,
    })
}

/// Adds a trace to the sums, one per link (leaks included).
pub(super) fn add(m: &Machine, trace: &Trace, sums: &mut [Sum]) {
    let mut sampler = Sampler::new(m.plan.nz);
    let mut columns = vec![[0.0; 5]; m.plan.nz];
    let (mut carried, mut of) = (vec![], usize::MAX);
    for (k, step) in trace.steps.iter().enumerate() {
        sampler.take(m, trace, k);
        sampler.columns(&mut columns);
        if of != step.mode {
            carried.clear();
            carried.extend(carriers(m, step.mode));
            of = step.mode;
        }
        let w = BOOLE.map(|x| x * step.h);
        let mode = &m.modes[step.mode];
        for (b, (sum, carrier)) in sums.iter_mut().zip(&carried).enumerate() {
            let v = || five(&mode.v, b, &columns);
            let i = || five(&mode.i, b, &columns);
            match *carrier {
                // One of the two carries the digits (see the mode's stiff branches), the other follows from it.
                Carrier::Ohmic(g) if g > STIFF => add_ohmic(sum, i(), 1.0 / g, 1.0, &w, step.h),
                Carrier::Ohmic(g) => add_ohmic(sum, v(), 1.0, g, &w, step.h),
                Carrier::Leak(g, j) => {
                    let v = v();
                    add_both(sum, v, v.map(|v| g * v + j), &w, step.h);
                }
                Carrier::Volts(k) => add_both(sum, columns[k], i(), &w, step.h),
                Carrier::Amperes(k) => add_both(sum, v(), columns[k], &w, step.h),
                Carrier::Meter => add_ohmic(sum, v(), 1.0, 0.0, &w, step.h),
                Carrier::Both => add_both(sum, v(), i(), &w, step.h),
            }
        }
    }
}

/// Adds a step of a branch of which volts and amperes are `to_v` and `to_i` times the samples `x`, neither negative.
#[inline]
fn add_ohmic(sum: &mut Sum, x: [f64; 5], to_v: f64, to_i: f64, w: &[f64; 5], h: f64) {
    let mean: f64 = (0..5).map(|q| w[q] * x[q]).sum();
    let square: f64 = (0..5).map(|q| w[q] * x[q] * x[q]).sum();
    sum.v += to_v * mean;
    sum.vv += to_v * to_v * square;
    let (mut max, mut min) = (sum.v_max / to_v, sum.v_min / to_v);
    let ends = widen(&x, &mut max, &mut min);
    (sum.v_max, sum.v_min) = (to_v * max, to_v * min);
    if to_i == 0.0 {
        (sum.i_max, sum.i_min) = (0.0, 0.0);
        return;
    }
    sum.i += to_i * mean;
    sum.ii += to_i * to_i * square;
    sum.vi += to_v * to_i * square;
    (sum.i_max, sum.i_min) = (to_i * max, to_i * min);
    sum.forward += to_i * positive_part(&x, h, mean, ends, max.max(-min));
}

/// Adds a step of a branch by the samples of its volts and amperes.
#[inline]
fn add_both(sum: &mut Sum, v: [f64; 5], i: [f64; 5], w: &[f64; 5], h: f64) {
    let first = |y: &[f64; 5]| (0..5).map(|q| w[q] * y[q]).sum::<f64>();
    let second = |x: &[f64; 5], y: &[f64; 5]| (0..5).map(|q| w[q] * x[q] * y[q]).sum::<f64>();
    let mean = first(&i);
    sum.v += first(&v);
    sum.i += mean;
    sum.vv += second(&v, &v);
    sum.ii += second(&i, &i);
    sum.vi += second(&v, &i);
    widen(&v, &mut sum.v_max, &mut sum.v_min);
    let ends = widen(&i, &mut sum.i_max, &mut sum.i_min);
    sum.forward += positive_part(&i, h, mean, ends, sum.i_max.max(-sum.i_min));
}
