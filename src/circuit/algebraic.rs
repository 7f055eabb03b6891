//! Circuits without storage: every guard is `g0 + gs sin + gc cos`, its next fall in closed form, every integral
//! elementary. Nothing can be missed and the result is exact.

use std::f64::consts::TAU;

use super::events::{event, settle};
use super::forest::{BEHIND, Role};
use super::machine::{Machine, Position};
use super::measure::Sum;
use super::nodal::STIFF;
use super::segment::Segment;
use super::trace::Event;
use super::unsolved::in_time;
use super::wave::{Angle, Moments, Wave, extremes, next_fall, positive_part};

/// Cycles within which the devices' segments must repeat.
const CYCLES: u32 = 12;
/// Events of one cycle before it is given up: this many, and so many more for each device. A device takes part in a
/// handful a cycle.
const EVENTS: usize = 200;
const EVENTS_PER_DEVICE: usize = 40;

/// One stretch of the cycle in one mode, radians.
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece {
    pub mode: usize,
    pub from: f64,
    pub to: f64,
}

/// A solved cycle (or several, for a subharmonic).
pub(super) struct Cycle {
    pub pieces: Vec<Piece>,
    /// Their instants are radians.
    pub events: Vec<Event>,
    /// Mains cycles.
    pub cycles: u32,
}

/// What happened in one mains cycle.
#[derive(Default)]
struct Lap {
    pieces: Vec<Piece>,
    events: Vec<Event>,
}

/// Runs the cycle from rest until the devices' segments repeat. `None` when they do not within the bound or no
/// consistent mode exists: the caller then takes the general way.
pub(super) fn solve(m: &mut Machine, scale: f64) -> Option<Cycle> {
    let mut here = m.rest(scale, 0.0);
    let mut seen: Vec<Vec<Segment>> = vec![];
    let mut laps: Vec<Lap> = vec![];
    for _ in 0..CYCLES {
        let first = settle(m, &mut here).mode_if_consistent()?;
        if let Some(back) = seen.iter().position(|s| *s == here.segments) {
            return Some(joined(&laps[back..]));
        }
        seen.push(here.segments.clone());
        laps.push(lap(m, scale, first, &mut here)?);
        (here.z[1], here.z[2]) = (0.0, scale);
    }
    None
}

/// One mains cycle from its rising zero in the mode `first`.
fn lap(m: &mut Machine, scale: f64, first: usize, here: &mut Position) -> Option<Lap> {
    let mut out = Lap::default();
    let (mut mode, mut angle) = (first, Angle::START);
    let mut budget = EVENTS + EVENTS_PER_DEVICE * here.segments.len();
    while angle.a < TAU {
        budget = budget.checked_sub(1)?;
        in_time(m.plan.until).ok()?;
        let (mut end, mut hit) = (Angle::END, None);
        for (k, row) in m.modes[mode].guard_rows.chunks_exact(BEHIND).enumerate() {
            // Columns of z: 1, e_s, e_c with e_s = A sin, e_c = A cos.
            let g = [row[0], row[1] * scale, row[2] * scale];
            if let Some(a) = next_fall(&g, &angle, &end)
                && (hit.is_none() || a < end.a)
            {
                (end, hit) = (Angle::new(a), Some(k));
            }
        }
        if end.a > angle.a {
            out.pieces.push(Piece { mode, from: angle.a, to: end.a });
        }
        angle = end;
        let Some(guard) = hit else { break };
        (here.z[1], here.z[2]) = (scale * angle.s, scale * angle.c);
        mode = event(m, mode, guard, here, angle.a, &mut out.events).mode_if_consistent()?;
    }
    Some(out)
}

/// The laps one after the other.
fn joined(laps: &[Lap]) -> Cycle {
    let mut out = Cycle { pieces: vec![], events: vec![], cycles: laps.len() as u32 };
    for (k, lap) in laps.iter().enumerate() {
        let shift = k as f64 * TAU;
        out.pieces.extend(lap.pieces.iter().map(|p| Piece { from: p.from + shift, to: p.to + shift, ..*p }));
        out.events.extend(lap.events.iter().map(|e| Event { t: e.t + shift, ..*e }));
    }
    out
}

/// Sums over the cycle in radians (the caller divides by the span in radians).
pub(super) fn sums(m: &Machine, cycle: &Cycle, scale: f64) -> Vec<Sum> {
    let mut out = vec![Sum::NEW; m.plan.links.len()];
    // Integrals add up over all pieces of a mode before they meet its branches; extremes belong to each piece.
    let mut totals = vec![Moments::NONE; m.modes.len()];
    let mut from = Angle::START;
    for p in &cycle.pieces {
        let w = Moments::over(p.from, p.to);
        totals[p.mode].add(&w);
        if from.a != p.from {
            from = Angle::new(p.from);
        }
        let to = Angle::new(p.to);
        for (b, sum) in out.iter_mut().enumerate() {
            add_extremes(waves(m, p.mode, b, scale), (&from, &to), &w, sum);
        }
        from = to;
    }
    for (mode, w) in totals.iter().enumerate().filter(|(_, w)| w.span() > 0.0) {
        for (b, sum) in out.iter_mut().enumerate() {
            add_integrals(waves(m, mode, b, scale), w, sum);
        }
    }
    out
}

/// Adds what belongs to each piece by itself: extremes, and the integral of the forward current.
#[inline]
fn add_extremes(waves: Waves, (from, to): (&Angle, &Angle), w: &Moments, sum: &mut Sum) {
    let Waves { x, to_v, to_i, other } = waves;
    let (max, min) = extremes(&x, from, to);
    (sum.v_max, sum.v_min) = (sum.v_max.max(to_v * max), sum.v_min.min(to_v * min));
    let (i, max, min) = match other {
        None => (x, max, min),
        Some(i) => {
            let (max, min) = extremes(&i, from, to);
            (i, max, min)
        }
    };
    (sum.i_max, sum.i_min) = (sum.i_max.max(to_i * max), sum.i_min.min(to_i * min));
    sum.forward += to_i
        * if min >= 0.0 {
            w.first(&i)
        } else if max <= 0.0 {
            0.0
        } else {
            positive_part(&i, from.a, to.a)
        };
}

/// Adds the integrals over all pieces of a mode.
#[inline]
fn add_integrals(waves: Waves, w: &Moments, sum: &mut Sum) {
    let Waves { x, to_v, to_i, other } = waves;
    let (first, square) = (w.first(&x), w.product(&x, &x));
    sum.v += to_v * first;
    sum.vv += to_v * to_v * square;
    match other {
        None => {
            sum.i += to_i * first;
            sum.ii += to_i * to_i * square;
            sum.vi += to_v * to_i * square;
        }
        Some(i) => {
            sum.i += w.first(&i);
            sum.ii += w.product(&i, &i);
            sum.vi += w.product(&x, &i);
        }
    }
}

/// Voltage and current of a branch in one mode: `v = to_v x`, and `i = to_i x` or the other wave.
struct Waves {
    x: Wave,
    to_v: f64,
    to_i: f64,
    other: Option<Wave>,
}

#[inline]
fn waves(m: &Machine, mode: usize, b: usize, scale: f64) -> Waves {
    let take = |rows: &[f64]| [rows[b * BEHIND], rows[b * BEHIND + 1] * scale, rows[b * BEHIND + 2] * scale];
    let mode = &m.modes[mode];
    match m.plan.links[b].role {
        // One of the two carries the digits (see the nodal equations' stiff branches), the other follows from it.
        Role::Ohmic(g) if g > STIFF => Waves { x: take(&mode.i), to_v: 1.0 / g, to_i: 1.0, other: None },
        Role::Ohmic(g) => Waves { x: take(&mode.v), to_v: 1.0, to_i: g, other: None },
        Role::Source(_) | Role::Tree(_) | Role::Closing | Role::Coil(_) | Role::Meter | Role::Switching(_) => {
            Waves { x: take(&mode.v), to_v: 1.0, to_i: 1.0, other: Some(take(&mode.i)) }
        }
    }
}
