//! How far the guards of a mode are from zero, and when the first of them falls through it.

use super::linear::dot;
use super::mode::{Mode, at};
use super::samples::{Sampler, coefficients};
use super::taylor::ORDER;

/// Volts below zero at which a guard counts as violated.
const TOLERANCE: f64 = 1e-9;
/// Volts above zero from which a guard counts as clear of it: it then falls at zero, not at the tolerance, which is
/// there for guards that an event has left at zero but for rounding.
const CLEAR: f64 = 1e-11;
/// Rounding in a guard, as a multiple of the sum of the magnitudes it is made of: at a node that only a leak of many
/// megohms holds, an ampere that cancels another leaves nanovolts.
const ROUNDING: f64 = 8.0 * f64::EPSILON;

/// Quarters of a step.
const QUARTERS: f64 = 4.0;
/// Parts of a Taylor step at whose ends a guard is looked at: over half a time constant it turns once or twice.
const PARTS: usize = 8;
/// Volts from zero at which a root counts as found: well inside the tolerance.
const ON_ZERO: f64 = 0.02 * TOLERANCE;
/// Halvings of a stretch in search of an instant at which a guard that starts at zero is above it.
const RISE_HALVINGS: i32 = 40;
/// Rounds of the search for a root: plain halving alone would end before.
const ROOT_ROUNDS: usize = 100;
/// Relative width of a stretch that holds no number between its ends.
const NO_WIDTH: f64 = 1e-16;

/// A guard's value and its rounding.
#[inline]
fn weigh(row: &[f64], z: &[f64]) -> (f64, f64) {
    let n = row.len().min(z.len());
    let (a, b) = (row[..n].chunks_exact(2), z[..n].chunks_exact(2));
    let last = a.remainder().iter().zip(b.remainder()).map(|(x, y)| x * y).sum::<f64>();
    let (mut value, mut size) = ([0.0; 2], [0.0; 2]);
    for (x, y) in a.zip(b) {
        for k in 0..2 {
            let product = x[k] * y[k];
            value[k] += product;
            size[k] += product.abs();
        }
    }
    (value[0] + value[1] + last, (size[0] + size[1] + last.abs()) * ROUNDING)
}

/// Value a guard must not go below, by where it was and its rounding.
#[inline]
fn floor(before: f64, rounding: f64) -> f64 {
    if before > CLEAR + rounding { 0.0 } else { -TOLERANCE - rounding }
}

/// Whether guard `k` is violated at `z`.
pub(super) fn violated(mode: &Mode, k: usize, z: &[f64]) -> bool {
    let (value, rounding) = weigh(mode.guard_row(k, z.len()), z);
    value < -TOLERANCE - rounding
}

/// Whether guard `k` is at zero or below, but for the tolerance, and falling.
pub(super) fn falls_now(mode: &Mode, k: usize, z: &[f64]) -> bool {
    let (value, rounding) = weigh(mode.guard_row(k, z.len()), z);
    value <= TOLERANCE + rounding && at(&mode.guard_rates, k, z) < 0.0
}

/// A guard that falls within a step.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fall {
    /// Seconds from the start of the step.
    pub tau: f64,
    /// Number of the guard.
    pub guard: usize,
}

/// The guards of a mode at one instant.
#[derive(Default)]
pub(super) struct Margins {
    /// Volts.
    value: Vec<f64>,
    /// Rounding of the values, volts.
    rounding: Vec<f64>,
    /// Volts a second.
    slope: Vec<f64>,
}

impl Margins {
    /// Takes them at `z`.
    pub(super) fn fill(&mut self, mode: &Mode, z: &[f64]) {
        self.value.clear();
        self.rounding.clear();
        self.slope.clear();
        for k in 0..mode.guards.len() {
            let (value, rounding) = weigh(mode.guard_row(k, z.len()), z);
            self.value.push(value);
            self.rounding.push(rounding);
            self.slope.push(at(&mode.guard_rates, k, z));
        }
    }

    /// The lowest guard that is at zero, but for rounding, and falling: an event at once.
    pub(super) fn creeping(&self) -> Option<Fall> {
        let below = (0..self.value.len()).filter(|&k| self.value[k] < CLEAR + self.rounding[k] && self.slope[k] < 0.0);
        below.min_by(|&a, &b| self.value[a].total_cmp(&self.value[b])).map(|guard| Fall { tau: 0.0, guard })
    }

    /// Whether no guard is violated at the end of a step of `h` seconds nor, by the cubic through both ends, inside it.
    pub(super) fn stays_legal(&self, end: &Margins, h: f64) -> bool {
        for k in 0..self.value.len() {
            let (a, b) = (self.value[k], end.value[k]);
            let floor = floor(a, self.rounding[k].max(end.rounding[k]));
            if b < floor {
                return false;
            }
            let (da, db) = (self.slope[k] * h, end.slope[k] * h);
            if da < 0.0 && db > 0.0 && dips_below(floor, (a, da), (b, db)) {
                return false;
            }
        }
        true
    }
}

/// Whether the cubic with these values and slopes at 0 and 1, falling at first and rising at the end, goes below `floor`.
#[inline]
fn dips_below(floor: f64, (a, da): (f64, f64), (b, db): (f64, f64)) -> bool {
    // Hermite cubic a + da x + (3(b-a) - 2da - db) x² + (2(a-b) + da + db) x³ on 0..1
    let (p, q) = (3.0 * (b - a) - 2.0 * da - db, 2.0 * (a - b) + da + db);
    let disc = p * p - 3.0 * q * da;
    if disc < 0.0 {
        return false;
    }
    // Where its slope rises through zero; a sum of zero leaves no such place, and any will do.
    let x = if p + disc.sqrt() != 0.0 { -da / (p + disc.sqrt()) } else { 0.5 };
    (0.0..=1.0).contains(&x) && a + x * (da + x * (p + x * q)) < floor
}

/// Earliest instant within `h` seconds at which a guard falls through zero, from the Taylor coefficients of z.
pub(super) fn first_event(mode: &Mode, taylor: &[f64], nz: usize, h: f64) -> Option<Fall> {
    let mut best: Option<Fall> = None;
    let mut p = [0.0; ORDER + 1];
    for guard in 0..mode.guards.len() {
        let row = mode.guard_row(guard, nz);
        for (j, c) in p.iter_mut().enumerate() {
            *c = dot(row, &taylor[j * nz..(j + 1) * nz]);
        }
        let end = best.map_or(h, |b| b.tau);
        let rounding = weigh(row, &taylor[..nz]).1;
        if let Some(tau) = first_fall(&p, end, rounding)
            && best.is_none_or(|b| tau < b.tau)
        {
            best = Some(Fall { tau, guard });
        }
    }
    best
}

/// The same within a step of the ladder of `h` seconds, from the samples at its quarters.
pub(super) fn first_event_between(mode: &Mode, samples: &Sampler, h: f64) -> Option<Fall> {
    let mut best: Option<Fall> = None;
    for guard in 0..mode.guards.len() {
        let row = mode.guard_row(guard, samples.at(0).len());
        let p = coefficients([0, 1, 2, 3, 4].map(|q| dot(row, samples.at(q))));
        let end = best.map_or(QUARTERS, |b| b.tau);
        let rounding = weigh(row, samples.at(0)).1.max(weigh(row, samples.at(4)).1);
        if let Some(tau) = first_fall(&p, end, rounding)
            && best.is_none_or(|b| tau < b.tau)
        {
            best = Some(Fall { tau, guard });
        }
    }
    best.map(|fall| Fall { tau: fall.tau * h / QUARTERS, ..fall })
}

/// First fall of a polynomial through zero on 0..=h, if it goes below the tolerance there.
fn first_fall(p: &[f64], h: f64, rounding: f64) -> Option<f64> {
    let mut low = 0.0;
    for j in 1..=PARTS {
        let high = h * j as f64 / PARTS as f64;
        if value(p, high) < floor(p[0], rounding) {
            return Some(root(p, low, high));
        }
        low = high;
    }
    None
}

/// Root between `low` (not below the tolerance) and `high` (below it): Newton's steps while they stay between.
fn root(p: &[f64], mut low: f64, mut high: f64) -> f64 {
    if value(p, low) <= 0.0 {
        // It starts at zero. If it rises first, its fall lies later in the step, not at zero.
        let rises = (1..=RISE_HALVINGS).map(|k| low + (high - low) / 2f64.powi(k)).find(|&x| value(p, x) > 0.0);
        match rises {
            Some(x) => low = x,
            None => return low,
        }
    }
    let mut x = 0.5 * (low + high);
    for _ in 0..ROOT_ROUNDS {
        let f = value(p, x);
        if f.abs() <= ON_ZERO {
            break;
        }
        if f > 0.0 {
            low = x
        } else {
            high = x
        }
        let newton = x - f / derivative(p, x);
        let next = if newton > low && newton < high { newton } else { 0.5 * (low + high) };
        if next == x || high - low <= NO_WIDTH * high {
            break;
        }
        x = next;
    }
    x
}

fn value(p: &[f64], x: f64) -> f64 {
    p.iter().rev().fold(0.0, |s, c| s * x + c)
}

fn derivative(p: &[f64], x: f64) -> f64 {
    (1..p.len()).rev().fold(0.0, |s, j| s * x + j as f64 * p[j])
}
