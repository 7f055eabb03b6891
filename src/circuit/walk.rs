//! Walks the extended state through time: ladder steps while a mode stays legal, a Taylor step where it ends,
//! a consistent mode after every event.

use super::events::{self, Settled, saltate, settle};
use super::ladder;
use super::machine::{Machine, Position};
use super::margins::{Margins, first_event, first_event_between, violated};
use super::samples::Sampler;
use super::segment::Segment;
use super::taylor;
use super::trace::{Road, Step, Trace};
use super::unsolved::{Unsolved, in_time};

/// Part of the span that counts as nothing left: a step as short as that would be lost in the rounding of its instant.
const NOTHING_LEFT: f64 = 1e-13;
/// The same for the end of a dwell, which is met exactly but for rounding.
const DWELL_OVER: f64 = 1e-15;
/// Parts of a mains period for which an inconsistent mode is held when nothing else helps: at first one of so many, so
/// that hardly anything is lost, and at most one of so many.
const FIRST_DWELL: f64 = 16384.0;
const LONGEST_DWELL: f64 = 64.0;
/// Events at one instant before its mode is held: this many, and so many more for each device.
const STALL: usize = 40;
const STALL_PER_DEVICE: usize = 4;
/// Part of a mains period within which events count as of one instant.
const INSTANT: f64 = 1e-12;
/// Steps of one level accepted before the next longer one is tried.
const BEFORE_LONGER: usize = 2;
/// Level at which a step that violates a guard is first tried by a polynomial; those before are too long for one.
const SMOOTH_FROM: usize = 3;
/// Steps after which what rings is listened to again: four make a fourth difference.
const LISTENS: usize = 4;
/// Part of all that is stored which the fourth difference of a swing may be to count for nothing.
const QUIET: f64 = 1e-7;
/// Events after which a walk is asked whether anything still swings, and the part of all that is stored below which
/// what coils keep is let go: at the knees of diodes the last nanoamperes of a winding switch them millions of times.
const CHATTER: usize = 2048;
const LET_GO: f64 = 1e-9;
/// Steps that one walk, and one solution altogether, may try before they are given up: hundreds of times what a
/// circuit in use needs.
const MOST_STEPS: usize = 400_000;
/// Most numbers that the modes of one circuit hold: 256 MiB.
const MOST_HELD: usize = 1 << 25;
/// Steps between two looks at the clock.
const STEPS_A_LOOK: usize = 16;
const MOST_STEPS_IN_ALL: usize = 2_000_000;

/// A walk on its way.
struct Walk<'a> {
    machine: &'a mut Machine,
    here: &'a mut Position,
    trace: &'a mut Trace,
    /// Sensitivity (n × n) of where the walk is to where it began, where it is wanted.
    phi: Option<&'a mut [f64]>,
    /// Seconds to walk, and walked.
    span: f64,
    t: f64,
    mode: usize,
    /// Whether every guard of the mode held when it was entered.
    consistent: bool,
    /// Instant at which the mode was entered.
    entered: f64,
    /// Whether nothing of what could ring in this mode does.
    quiet: bool,
    /// Level of the step to try, and how many of it were accepted in a row.
    level: usize,
    accepted: usize,
    /// End of a step that was rejected: a guard is violated before it, so no step is tried across it again.
    rejected_end: f64,
    hold: Hold,
    stall: Stall,
    /// Events so far.
    passed: usize,
    /// The guards here, and at the end of the step under trial.
    now: Margins,
    ahead: Margins,
    /// End of the step under trial.
    next: Vec<f64>,
    /// Taylor coefficients of z from here.
    taylor: Vec<f64>,
    /// Samples of the step under trial, where its end violates a guard.
    samples: Sampler,
    /// Level from which on such a step may be smooth enough to be followed by a polynomial.
    smooth_from: usize,
}

/// Keeps an inconsistent mode for a while when nothing else helps.
struct Hold {
    /// Seconds for which the next one is kept.
    dwell: f64,
    /// Instant until which the present one is kept; 0 when none is.
    until: f64,
}

/// Counts events that fall on one instant.
struct Stall {
    events: usize,
    at: f64,
}

/// Walks `here` for `span` seconds into `trace`. With `phi` (n × n) the sensitivity of the end to the start is multiplied
/// onto it.
///
/// # Errors
/// [`Unsolved::Lost`] when more steps than any circuit needs bring no end, or numbers leave the finite range.
pub(super) fn walk(
    machine: &mut Machine,
    here: &mut Position,
    span: f64,
    trace: &mut Trace,
    phi: Option<&mut [f64]>,
) -> Result<(), Unsolved> {
    trace.clear();
    machine.need_lengths();
    let Settled { mode, consistent } = settle(machine, here);
    trace.z.extend_from_slice(&here.z);
    let mut now = Margins::default();
    now.fill(&machine.modes[mode], &here.z);
    let nz = machine.plan.nz;
    let walk = Walk {
        phi,
        span,
        t: 0.0,
        mode,
        consistent,
        level: machine.modes[mode].finest,
        accepted: 0,
        entered: 0.0,
        quiet: false,
        rejected_end: f64::INFINITY,
        hold: Hold { dwell: machine.plan.period() / FIRST_DWELL, until: 0.0 },
        stall: Stall { events: 0, at: 0.0 },
        passed: 0,
        now,
        ahead: Margins::default(),
        next: vec![0.0; nz],
        taylor: vec![0.0; (taylor::ORDER + 1) * nz],
        samples: Sampler::new(nz),
        smooth_from: SMOOTH_FROM,
        machine,
        here,
        trace,
    };
    walk.run()
}

impl Walk<'_> {
    fn run(mut self) -> Result<(), Unsolved> {
        let mut budget = MOST_STEPS;
        while self.span - self.t > NOTHING_LEFT * self.span {
            if budget.is_multiple_of(STEPS_A_LOOK) {
                in_time(self.machine.plan.until)?;
                if self.machine.held > MOST_HELD {
                    return Err(Unsolved::Lost { what: "its devices are in more states than there is memory for" });
                }
            }
            budget -= 1;
            self.machine.effort += 1;
            if budget == 0 || self.machine.effort > MOST_STEPS_IN_ALL || !self.here.z.iter().all(|x| x.is_finite()) {
                return Err(Unsolved::Lost { what: "the walk through time did not come to an end" });
            }
            if !self.consistent {
                self.begin_hold();
            }
            if self.t >= self.rejected_end {
                // Passed without an event: the cubic through the ends of a step had seen a dip that was none.
                self.rejected_end = f64::INFINITY;
            }
            self.choose_level();
            if self.hold.until > self.t {
                self.held_step();
            } else if self.fits(self.level) {
                self.ladder_step();
            } else {
                self.taylor_step();
            }
        }
        Ok(())
    }

    /// Whether a step of this level ends within the span and before the end of the step that was rejected.
    #[inline]
    fn fits(&self, level: usize) -> bool {
        let h = self.machine.lengths[level];
        h <= self.span - self.t && self.t + h < self.rejected_end
    }

    /// Goes to shorter steps until one fits or there is none shorter.
    fn choose_level(&mut self) {
        let finest = self.machine.modes[self.mode].finest;
        while self.level < finest && !self.fits(self.level) {
            self.level += 1;
            self.accepted = 0;
        }
    }

    /// Begins to hold the present mode though it is not consistent, each time for twice as long.
    fn begin_hold(&mut self) {
        self.hold.until = self.t + self.hold.dwell;
        self.hold.dwell = (2.0 * self.hold.dwell).min(self.machine.plan.period() / LONGEST_DWELL);
        self.trace.forced = true;
        let mode = &self.machine.modes[self.mode];
        let falls = (0..mode.guards.len()).find(|&k| violated(mode, k, &self.here.z)).map(|k| mode.guards[k].device);
        let moved = || self.trace.events.last().map(|e| e.device);
        self.trace.held = self.trace.held.or_else(|| falls.or_else(moved));
        self.consistent = true;
    }

    /// A step in a mode that is held, towards the end of the dwell, without looking at the guards.
    fn held_step(&mut self) {
        let left = (self.span - self.t).min(self.hold.until - self.t);
        let finest = self.machine.modes[self.mode].finest;
        let level = (0..=finest).find(|&k| self.machine.lengths[k] <= left);
        let h = level.map_or(left, |k| self.machine.lengths[k]);
        if let Some(k) = level {
            self.machine.need_ladder(self.mode);
            let e = &self.machine.modes[self.mode].ladder[k];
            ladder::step(e, self.machine.turns[k], &self.here.z, &mut self.next);
            if let Some(phi) = self.phi.as_deref_mut() {
                ladder::multiply(self.machine.plan.n, e, phi);
            }
        } else {
            let rate = self.machine.modes[self.mode].rate(&self.machine.plan);
            taylor::terms(rate, &self.here.z, &mut self.taylor);
            taylor::polynomial(&self.taylor, rate.nz, h, &mut self.next);
            if let Some(phi) = self.phi.as_deref_mut() {
                taylor::multiply(rate, h, phi);
            }
        }
        self.accept(level.map_or(Road::Taylor, Road::Ladder), h);
        if self.hold.until - self.t <= DWELL_OVER * self.span {
            self.hold.until = 0.0;
            let settled = settle(self.machine, self.here);
            self.enter(settled);
            self.now.fill(&self.machine.modes[self.mode], &self.here.z);
        }
    }

    /// A step of the ladder, taken when it violates no guard; otherwise a shorter one is tried next.
    fn ladder_step(&mut self) {
        let h = self.machine.lengths[self.level];
        self.machine.need_ladder(self.mode);
        let mode = &self.machine.modes[self.mode];
        let e = &mode.ladder[self.level];
        ladder::step(e, self.machine.turns[self.level], &self.here.z, &mut self.next);
        self.ahead.fill(mode, &self.next);
        if !self.now.stays_legal(&self.ahead, h) {
            if self.meets_event(h) {
                return;
            }
            self.rejected_end = self.rejected_end.min(self.t + h);
            self.level = (self.level + 1).min(self.machine.modes[self.mode].finest);
            self.accepted = 0;
            return;
        }
        if let Some(phi) = self.phi.as_deref_mut() {
            ladder::multiply(self.machine.plan.n, e, phi);
        }
        self.accept(Road::Ladder(self.level), h);
        std::mem::swap(&mut self.now, &mut self.ahead);
        self.accepted += 1;
        if self.accepted >= BEFORE_LONGER && self.level > 0 {
            let mode = &self.machine.modes[self.mode];
            let since = self.t - self.entered;
            let longer = mode.longer(self.level, since, self.quiet || since > self.machine.follow);
            if longer < self.level {
                self.level = longer;
                self.accepted = 0;
            } else if self.accepted.is_multiple_of(LISTENS) && !self.quiet {
                self.quiet = self.is_quiet();
            }
        }
    }

    /// Goes to the event inside the ladder step of `h` seconds under trial, whose end violates a guard, where the polynomial
    /// through its quarters is exact but for rounding: the ladder would have to go down to its finest steps for it.
    fn meets_event(&mut self, h: f64) -> bool {
        if self.level < self.smooth_from {
            return false;
        }
        let mode = &self.machine.modes[self.mode];
        let (level, turns) = (self.level, &self.machine.turns);
        self.samples.take_level(mode, turns, level, (&self.here.z, &self.next));
        let too_long = self.samples.too_long_by(mode, turns, level, &self.machine.plan.storage.energy);
        if too_long > 0 {
            self.smooth_from = level + too_long;
            return false;
        }
        let Some(fall) = first_event_between(mode, &self.samples, h) else { return false };
        if fall.tau > 0.0 {
            self.samples.between(4.0 * fall.tau / h, &mut self.next);
            if let Some(phi) = self.phi.as_deref_mut() {
                self.machine.jump_sensitivity(self.mode, fall.tau, phi);
            }
            self.accept(Road::Part(level), fall.tau);
        }
        self.pass_event(fall.guard);
        self.now.fill(&self.machine.modes[self.mode], &self.here.z);
        true
    }

    /// Whether the last states, even steps apart that what rings asks for, lie on a smooth curve: their fourth difference
    /// then has next to nothing of a swing, of which it would have a quarter.
    fn is_quiet(&self) -> bool {
        let (n, nz) = (self.machine.plan.n, self.machine.plan.nz);
        let last = &self.trace.steps[self.trace.steps.len().saturating_sub(LISTENS)..];
        if last.len() < LISTENS || last.iter().any(|s| s.mode != self.mode || s.road != Road::Ladder(self.level)) {
            return false;
        }
        let states = &self.trace.z[self.trace.z.len() - (LISTENS + 1) * nz..];
        let energy = &self.machine.plan.storage.energy;
        let (mut swing, mut all) = (0.0, 0.0);
        for (k, root) in energy.iter().enumerate().take(n) {
            let at = |j: usize| root * states[j * nz + k];
            let fourth = at(0) - 4.0 * at(1) + 6.0 * at(2) - 4.0 * at(3) + at(4);
            swing += fourth * fourth;
            all += at(4) * at(4);
        }
        swing <= QUIET * QUIET * all
    }

    /// A Taylor step: the end of the span, or the neighbourhood of an event, at which it ends.
    fn taylor_step(&mut self) {
        let mode = &self.machine.modes[self.mode];
        let rate = mode.rate(&self.machine.plan);
        let h = self.machine.lengths[mode.finest].min(self.span - self.t);
        taylor::terms(rate, &self.here.z, &mut self.taylor);
        let fall = first_event(mode, &self.taylor, rate.nz, h);
        // A guard that creeps below zero may need longer than this step to pass the tolerance; where a longer step
        // has shown that it will, it is an event now.
        let fall = fall.or_else(|| if self.t + h >= self.rejected_end { self.now.creeping() } else { None });
        let tau = fall.map_or(h, |f| f.tau);
        if tau > 0.0 {
            taylor::polynomial(&self.taylor, rate.nz, tau, &mut self.next);
            if let Some(phi) = self.phi.as_deref_mut() {
                taylor::multiply(rate, tau, phi);
            }
            self.accept(Road::Taylor, tau);
        }
        if let Some(fall) = fall {
            self.pass_event(fall.guard);
        }
        self.now.fill(&self.machine.modes[self.mode], &self.here.z);
    }

    /// Writes down the step under trial and goes to its end.
    #[inline]
    fn accept(&mut self, road: Road, h: f64) {
        self.trace.steps.push(Step { mode: self.mode, road, t: self.t, h });
        self.trace.z.extend_from_slice(&self.next);
        std::mem::swap(&mut self.here.z, &mut self.next);
        self.t += h;
    }

    /// The devices whose guards fall here leave their segments.
    fn pass_event(&mut self, guard: usize) {
        let before = self.mode;
        let period = self.machine.plan.period();
        self.stall.events = if self.t - self.stall.at > INSTANT * period { 0 } else { self.stall.events + 1 };
        self.stall.at = self.t;
        let settled = events::event(self.machine, before, guard, self.here, self.t, &mut self.trace.events);
        self.enter(settled);
        self.passed += 1;
        self.accepted = 0;
        if self.stall.events > STALL + STALL_PER_DEVICE * self.here.segments.len() {
            self.consistent = false;
            self.stall.events = 0;
        }
        if let Some(phi) = self.phi.as_deref_mut() {
            saltate(self.machine, before, self.mode, guard, &self.here.z, phi);
        }
        if self.passed.is_multiple_of(CHATTER) {
            self.let_go();
        }
    }

    /// Ends what coils still drive once it is next to nothing of all that is stored: in transients all of it, else that of
    /// single windings, whose flux then goes on in the windings about the same iron.
    fn let_go(&mut self) {
        let (n, nc) = (self.machine.plan.n, self.machine.plan.nc);
        let storage = &self.machine.plan.storage;
        let of = |k: usize| (storage.energy[k] * self.here.z[k]).powi(2);
        let coils: f64 = (nc..n).map(of).sum();
        let next_to_nothing = LET_GO * (0..n).map(of).sum::<f64>();
        if self.machine.lets_go && coils > 0.0 && coils <= next_to_nothing {
            self.here.z[nc..n].fill(0.0);
        } else {
            // Of what a winding stores for itself alone: not the flux that it shares.
            let inverse = &storage.inverse_inductance;
            let nl = n - nc;
            let alone = |k: usize| self.here.z[nc + k].powi(2) / inverse[k * nl + k];
            let small = |&k: &usize| alone(k) > 0.0 && alone(k) <= next_to_nothing;
            let Some(k) = (0..nl).filter(small).max_by(|a, b| alone(*a).total_cmp(&alone(*b))) else { return };
            let column: Vec<f64> = (0..nl).map(|row| inverse[row * nl + k] / inverse[k * nl + k]).collect();
            let let_go = self.here.z[nc + k];
            self.here.z[nc..n].iter_mut().zip(&column).for_each(|(z, part)| *z -= part * let_go);
            if let Some(phi) = self.phi.as_deref_mut() {
                let row = phi[(nc + k) * n..(nc + k + 1) * n].to_vec();
                for (other, part) in column.iter().enumerate() {
                    let to = &mut phi[(nc + other) * n..(nc + other + 1) * n];
                    to.iter_mut().zip(&row).for_each(|(to, from)| *to -= part * from);
                }
            }
        }
        self.here.segments.fill(Segment::Off);
        let settled = settle(self.machine, self.here);
        self.enter(settled);
    }

    /// Goes on in another mode, with its shortest steps: a fast transient may run.
    fn enter(&mut self, settled: Settled) {
        self.mode = settled.mode;
        self.consistent = settled.consistent;
        self.entered = self.t;
        self.quiet = false;
        self.level = self.machine.modes[self.mode].finest;
        self.rejected_end = f64::INFINITY;
        self.smooth_from = SMOOTH_FROM;
    }
}
