//! A plan with the modes it has been in so far, and the extended state at one instant.

use std::collections::HashMap;

use super::ladder::{self, BELOW, LEVELS, Turn, step_length};
use super::mode::Mode;
use super::plan::Plan;
use super::segment::Segment;
use super::taylor;

/// Modes up to which a look along the list beats hashing.
const FEW: usize = 12;

/// Where a circuit is: what it stores and on which segments its devices work.
#[derive(Debug, Clone)]
pub(super) struct Position {
    /// Extended state: capacitor volts, inductor amperes, 1, e_s, e_c.
    pub z: Vec<f64>,
    /// One a switching device.
    pub segments: Vec<Segment>,
}

/// A plan with its cache of modes.
#[derive(Debug, Clone)]
pub(super) struct Machine {
    pub plan: Plan,
    pub modes: Vec<Mode>,
    /// Modes by their segments, once there are more than a few.
    index: HashMap<Vec<Segment>, usize>,
    /// The mode last asked for.
    last: usize,
    /// Length of the ladder's steps by level, seconds; empty until the first walk.
    pub lengths: Vec<f64>,
    /// The mains' turn over each of them, as far as ladders go.
    pub turns: Vec<Turn>,
    /// Seconds for which what rings after an event is followed.
    pub follow: f64,
    /// Whether what coils drive may be let go once it is next to nothing: in transients, of which only sums and the end count.
    pub lets_go: bool,
    /// Numbers that the modes hold.
    pub held: usize,
    /// Steps tried since the caller last asked for a solution.
    pub effort: usize,
}

impl Machine {
    pub(super) fn new(plan: Plan) -> Self {
        Machine {
            lengths: vec![],
            turns: vec![],
            plan,
            modes: vec![],
            index: HashMap::new(),
            last: usize::MAX,
            follow: f64::INFINITY,
            lets_go: false,
            held: 0,
            effort: 0,
        }
    }

    /// Number of the mode in which the devices are on these segments, built when it is new.
    pub(super) fn mode(&mut self, segments: &[Segment]) -> usize {
        if let Some(m) = self.modes.get(self.last)
            && m.segments == segments
        {
            return self.last;
        }
        let found = if self.modes.len() <= FEW {
            self.modes.iter().position(|m| m.segments == segments)
        } else {
            self.index.get(segments).copied()
        };
        self.last = found.unwrap_or_else(|| {
            self.modes.push(Mode::build(&self.plan, segments));
            self.held += self.modes[self.modes.len() - 1].numbers();
            // The index begins when the list grows past a few.
            let fresh = self.modes.len() - 1;
            let from = if fresh == FEW { 0 } else { fresh };
            if fresh >= FEW {
                self.index.extend((from..=fresh).map(|k| (self.modes[k].segments.clone(), k)));
            }
            fresh
        });
        self.last
    }

    /// Works out how long the ladder's steps are: once, and only where time is walked through.
    pub(super) fn need_lengths(&mut self) {
        if self.lengths.is_empty() {
            self.lengths = (0..=LEVELS + BELOW).map(|k| step_length(self.plan.base, k)).collect();
        }
    }

    /// Builds the ladder of a mode, and the mains' turn over each of its steps, where they are not there yet.
    pub(super) fn need_ladder(&mut self, mode: usize) {
        if self.modes[mode].ladder.is_empty() {
            let before = self.modes[mode].numbers();
            self.modes[mode].need_ladder(&self.plan);
            self.held += self.modes[mode].numbers() - before;
        }
        for k in self.turns.len()..self.modes[mode].ladder.len() {
            self.turns.push(Turn::by(self.plan.omega * self.lengths[k]));
        }
    }

    /// At rest at a mains angle (radians), every device off, the mains at an amplitude of `scale`.
    pub(super) fn rest(&self, scale: f64, angle: f64) -> Position {
        let p = &self.plan;
        let mut z = vec![0.0; p.nz];
        z[p.n] = 1.0;
        z[p.n + 1] = scale * angle.sin();
        z[p.n + 2] = scale * angle.cos();
        Position { z, segments: vec![Segment::Off; p.devices()] }
    }

    /// Multiplies the sensitivity `phi` (n × n) by that of `h` seconds in a mode whose ladder is built.
    pub(super) fn jump_sensitivity(&self, mode: usize, h: f64, phi: &mut [f64]) {
        let mode = &self.modes[mode];
        let mut left = h;
        for (e, &step) in mode.ladder.iter().zip(&self.lengths).take(mode.finest + 1) {
            while left >= step {
                ladder::multiply(self.plan.n, e, phi);
                left -= step;
            }
        }
        if left > 0.0 {
            taylor::multiply(mode.rate(&self.plan), left, phi);
        }
    }

    /// z after `h` seconds in one mode, for any `h`: down the ladder as far as it is built, the rest in Taylor steps.
    pub(super) fn jump(&self, mode: usize, z: &[f64], h: f64, out: &mut [f64]) {
        let (plan, mode) = (&self.plan, &self.modes[mode]);
        let finest = step_length(plan.base, mode.finest);
        out.copy_from_slice(z);
        let mut left = h;
        let mut next = vec![0.0; plan.nz];
        if !mode.ladder.is_empty() {
            for k in 0..=mode.finest {
                let step = step_length(plan.base, k);
                while left >= step {
                    ladder::step(&mode.ladder[k], Turn::by(plan.omega * step), out, &mut next);
                    out.copy_from_slice(&next);
                    left -= step;
                }
            }
        }
        let mut terms = vec![0.0; (taylor::ORDER + 1) * plan.nz];
        while left > 0.0 {
            let step = left.min(finest);
            taylor::terms(mode.rate(plan), out, &mut terms);
            taylor::polynomial(&terms, plan.nz, step, &mut next);
            out.copy_from_slice(&next);
            left -= step;
        }
    }
}
