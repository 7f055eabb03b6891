//! The extended state at five even instants of a step, exactly; and, where it is smooth between them, at any other.

use super::ladder::{self, Turn};
use super::machine::Machine;
use super::mode::Mode;
use super::taylor;
use super::trace::{Road, Trace};

/// Part of all that is stored by which the state may be off the polynomial through its quarters.
const SMOOTH: f64 = 1e-13;
/// How much nearer the polynomial is when the step is half as long: two to the power of this.
const ORDER: f64 = 5.0;

/// Samples of one step.
pub(super) struct Sampler {
    /// 5 × nz.
    z: Vec<f64>,
    nz: usize,
    /// Room for the Taylor coefficients or other samples, used again from step to step.
    room: Vec<f64>,
}

impl Sampler {
    pub(super) fn new(nz: usize) -> Sampler {
        Sampler { z: vec![0.0; 5 * nz], nz, room: vec![] }
    }

    /// The state at the start of quarter `q` (4: the end of the step).
    #[inline]
    pub(super) fn at(&self, q: usize) -> &[f64] {
        &self.z[q * self.nz..(q + 1) * self.nz]
    }

    /// Takes the samples of step `k` of a trace, exactly: down the ladder from its ends.
    pub(super) fn take(&mut self, m: &Machine, trace: &Trace, k: usize) {
        let nz = self.nz;
        let step = &trace.steps[k];
        let (start, end) = trace.ends(k, nz);
        let mode = &m.modes[step.mode];
        match step.road {
            Road::Ladder(level) => self.take_level(mode, &m.turns, level, (start, end)),
            Road::Part(level) => {
                let mut whole = std::mem::take(&mut self.room);
                whole.resize(nz, 0.0);
                ladder::step(&mode.ladder[level], m.turns[level], start, &mut whole);
                self.take_level(mode, &m.turns, level, (start, &whole));
                whole.clone_from(&self.z);
                let quarter = step.h / m.lengths[level];
                for q in 1..4 {
                    between(&whole, nz, quarter * q as f64, &mut self.z[q * nz..(q + 1) * nz]);
                }
                self.z[4 * nz..].copy_from_slice(end);
                self.room = whole;
            }
            Road::Taylor => {
                self.z[..nz].copy_from_slice(start);
                self.z[4 * nz..].copy_from_slice(end);
                self.room.resize((taylor::ORDER + 1) * nz, 0.0);
                taylor::terms(mode.rate(&m.plan), start, &mut self.room);
                for q in 1..4 {
                    let out = &mut self.z[q * nz..(q + 1) * nz];
                    taylor::polynomial(&self.room, nz, step.h * q as f64 / 4.0, out);
                }
            }
        }
    }

    /// Takes the samples of a step of a level between its two ends.
    pub(super) fn take_level(&mut self, mode: &Mode, turns: &[Turn], level: usize, (start, end): (&[f64], &[f64])) {
        let nz = self.nz;
        self.z[..nz].copy_from_slice(start);
        self.z[4 * nz..].copy_from_slice(end);
        let (half, quarter) = (level + 1, level + 2);
        let go = |by: usize, from: &[f64], to: &mut [f64]| ladder::step(&mode.ladder[by], turns[by], from, to);
        go(quarter, start, &mut self.z[nz..2 * nz]);
        go(half, start, &mut self.z[2 * nz..3 * nz]);
        let (middle, rest) = self.z.split_at_mut(3 * nz);
        go(quarter, &middle[2 * nz..], &mut rest[..nz]);
    }

    /// The same samples column by column: five products side by side suit the machine.
    pub(super) fn columns(&self, out: &mut [[f64; 5]]) {
        let (z, nz) = (&self.z, self.nz);
        for (c, column) in out.iter_mut().enumerate() {
            *column = [z[c], z[nz + c], z[2 * nz + c], z[3 * nz + c], z[4 * nz + c]];
        }
    }

    /// By how many levels the step of this level, whose samples were taken, is too long for the polynomial through them to
    /// be the state: 0 when it is, but for rounding. An eighth of the step in, where a fast part that the samples hide would
    /// show, the state is known too. `energy` makes the states comparable.
    pub(super) fn too_long_by(&mut self, mode: &Mode, turns: &[Turn], level: usize, energy: &[f64]) -> usize {
        let nz = self.nz;
        let eighth = level + 3;
        let Some(e) = mode.ladder.get(eighth) else { return 1 };
        self.room.resize(2 * nz, 0.0);
        let (exact, fitted) = self.room.split_at_mut(nz);
        ladder::step(e, turns[eighth], &self.z[..nz], exact);
        between(&self.z, nz, 0.5, &mut fitted[..nz]);
        let (mut off, mut all) = (0.0, 0.0);
        for (k, root) in energy.iter().enumerate() {
            off += (root * (exact[k] - fitted[k])).powi(2);
            all += (root * exact[k]).powi(2);
        }
        let ratio = off.sqrt() / (SMOOTH * all.sqrt());
        match ratio {
            _ if off == 0.0 || ratio <= 1.0 => 0,
            _ if ratio.is_finite() => (ratio.log2() / ORDER).ceil().max(1.0) as usize,
            // Nothing is stored there that it could be compared with.
            _ => 1,
        }
    }

    /// The state after `x` quarters of the step.
    pub(super) fn between(&self, x: f64, out: &mut [f64]) {
        between(&self.z, self.nz, x, out);
    }
}

/// The polynomial through five samples of `nz` numbers, after `x` of the four stretches between them.
fn between(z: &[f64], nz: usize, x: f64, out: &mut [f64]) {
    let weights = weights(x);
    for (c, out) in out.iter_mut().enumerate() {
        *out = (0..5).map(|q| weights[q] * z[q * nz + c]).sum();
    }
}

/// Weights of five even samples in the polynomial of fourth degree through them, `x` stretches on (Lagrange).
fn weights(x: f64) -> [f64; 5] {
    let (a, b, c, d) = (x - 1.0, x - 2.0, x - 3.0, x - 4.0);
    [a * b * c * d / 24.0, -x * b * c * d / 6.0, x * a * c * d / 4.0, -x * a * b * d / 6.0, x * a * b * c / 24.0]
}

/// Coefficients of 1, x, x² … of the same polynomial of one quantity.
pub(super) fn coefficients(y: [f64; 5]) -> [f64; 5] {
    let [y0, y1, y2, y3, y4] = y;
    [
        y0,
        (-25.0 * y0 + 48.0 * y1 - 36.0 * y2 + 16.0 * y3 - 3.0 * y4) / 12.0,
        (35.0 * y0 - 104.0 * y1 + 114.0 * y2 - 56.0 * y3 + 11.0 * y4) / 24.0,
        (-5.0 * y0 + 18.0 * y1 - 24.0 * y2 + 14.0 * y3 - 3.0 * y4) / 12.0,
        (y0 - 4.0 * y1 + 6.0 * y2 - 4.0 * y3 + y4) / 24.0,
    ]
}
