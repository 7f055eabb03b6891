//! Circuits without storage: every guard is `g0 + gs sin + gc cos`, its next fall in closed form, every integral
//! elementary. Nothing can be missed and the result is exact.

use std::f64::consts::{PI, TAU};

use super::machine::{Event, Machine};
use super::measure::{Sum, sort};
use super::mode::State;
use super::nodal::STIFF;
use super::topology::Role;
use super::{Device, Lighting};

/// One stretch of the cycle in one mode.
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece {
    pub mode: usize,
    pub from: f64,
    pub to: f64,
}

/// A solved cycle (or several, for a subharmonic).
pub(super) struct Cycle {
    pub pieces: Vec<Piece>,
    pub events: Vec<Event>,
    pub cycles: u32,
}

/// Radians; two events closer than this are one instant.
const HAIR: f64 = 1e-12;

/// An angle with its sine and cosine.
#[derive(Debug, Clone, Copy)]
struct Angle {
    a: f64,
    s: f64,
    c: f64,
}

impl Angle {
    const START: Angle = Angle { a: 0.0, s: 0.0, c: 1.0 };
    const END: Angle = Angle { a: TAU, s: 0.0, c: 1.0 };

    fn new(a: f64) -> Self {
        let (s, c) = a.sin_cos();
        Angle { a, s, c }
    }
    /// `x0 + xs sin + xc cos` here.
    #[inline]
    fn value(&self, x: &[f64; 3]) -> f64 {
        x[0] + x[1] * self.s + x[2] * self.c
    }
    /// Its derivative by the angle.
    #[inline]
    fn slope(&self, x: &[f64; 3]) -> f64 {
        x[1] * self.c - x[2] * self.s
    }
}

/// Whether `x0 + xs sin + xc cos` has its crest, and its trough, between two angles at most a turn apart. (At an end,
/// rounding decides; the value there is the extreme one either way.)
#[inline]
fn turns(x: &[f64; 3], from: &Angle, to: &Angle) -> (bool, bool) {
    let (da, db) = (from.slope(x), to.slope(x));
    if to.a - from.a <= PI {
        (da > 0.0 && db < 0.0, da < 0.0 && db > 0.0)
    } else {
        // They are not in the other part of the turn, which is shorter than a half.
        (!(db > 0.0 && da < 0.0), !(db < 0.0 && da > 0.0))
    }
}

#[inline]
fn amplitude(x: &[f64; 3]) -> f64 {
    (x[1] * x[1] + x[2] * x[2]).sqrt()
}

/// `a` plus or minus as many turns as bring it to 0..TAU.
fn within_turn(a: f64) -> f64 {
    if (0.0..TAU).contains(&a) { a } else { a.rem_euclid(TAU) }
}

/// Next angle in (from, to] at which `g0 + gs sin + gc cos` falls through zero.
fn next_fall(g: &[f64; 3], from: &Angle, to: &Angle) -> Option<f64> {
    // Most guards stay clear of zero: seen from both ends and from the lack of a trough, without inverse functions.
    let clear = 1e-9 * (g[1].abs() + g[2].abs());
    if from.value(g) > clear && to.value(g) > clear && !turns(g, from, to).1 {
        return None;
    }
    let r = amplitude(g);
    if r == 0.0 || g[0] >= r {
        return None;
    }
    // g0 + r sin(a + d) falls through zero where sin(a + d) = -g0 / r with a falling sine.
    let d = g[2].atan2(g[1]);
    let fall = PI + (g[0] / r).clamp(-1.0, 1.0).asin() - d;
    let ahead = within_turn(fall - from.a);
    // A fall at this very instant (a hair before it, by rounding) is an event now.
    let ahead = if ahead < HAIR || TAU - ahead < HAIR { 0.0 } else { ahead };
    (from.a + ahead <= to.a).then_some(from.a + ahead)
}

/// Runs the cycle from rest until the device states repeat. `None` when they do not within the bound or no
/// consistent mode exists: the caller then takes the general way.
pub(super) fn solve(m: &mut Machine, scale: f64) -> Option<Cycle> {
    let mut walk = m.rest(scale, 0.0);
    let mut seen: Vec<Vec<State>> = vec![];
    let mut laps: Vec<Vec<Piece>> = vec![];
    let mut happened: Vec<Vec<Event>> = vec![];
    for lap in 0..12u32 {
        let first = m.settle_at(&walk.z, &mut walk.states)?;
        if let Some(back) = seen.iter().position(|s| *s == walk.states) {
            let cycles = lap - back as u32;
            let (mut pieces, mut events) = (vec![], vec![]);
            for k in back..lap as usize {
                let shift = (k - back) as f64 * TAU;
                pieces.extend(laps[k].iter().map(|p| Piece { from: p.from + shift, to: p.to + shift, ..*p }));
                events.extend(happened[k].iter().map(|e| Event { t: e.t + shift, ..*e }));
            }
            return Some(Cycle { pieces, events, cycles });
        }
        seen.push(walk.states.clone());
        let (mut mode, mut angle) = (first, Angle::START);
        let (mut pieces, mut events) = (vec![], vec![]);
        let mut budget = 200 + 40 * walk.states.len();
        while angle.a < TAU {
            budget = budget.checked_sub(1)?;
            let md = &m.modes[mode];
            let (mut end, mut hit) = (Angle::END, None);
            for (k, row) in md.guard.chunks_exact(3).enumerate() {
                // Columns of z: 1, e_s, e_c with e_s = A sin, e_c = A cos.
                let g = [row[0], row[1] * scale, row[2] * scale];
                if let Some(a) = next_fall(&g, &angle, &end)
                    && (hit.is_none() || a < end.a)
                {
                    (end, hit) = (Angle::new(a), Some(k));
                }
            }
            if end.a > angle.a {
                pieces.push(Piece { mode, from: angle.a, to: end.a });
            }
            angle = end;
            let Some(guard) = hit else { break };
            (walk.z[1], walk.z[2]) = (scale * angle.s, scale * angle.c);
            mode = m.event_at(mode, guard, &mut walk, angle.a, &mut events)?;
        }
        (walk.z[1], walk.z[2]) = (0.0, scale);
        laps.push(pieces);
        happened.push(events);
    }
    None
}

/// Integrals of 1, sin and cos over an interval: differences as products, so that short intervals keep their digits.
/// With them the sine and cosine of its middle and of half its length.
fn first_moments(a: f64, b: f64) -> ([f64; 3], (f64, f64), (f64, f64)) {
    let (middle, half) = ((0.5 * (a + b)).sin_cos(), (0.5 * (b - a)).sin_cos());
    ([b - a, 2.0 * middle.0 * half.0, 2.0 * middle.1 * half.0], middle, half)
}

/// Integrals of 1, sin, cos, sin², sin cos, cos² over an interval.
fn moments(a: f64, b: f64) -> [f64; 6] {
    let ([h, s, c], (sm, cm), (sh, ch)) = first_moments(a, b);
    // int sin² = h/2 - (sin 2b - sin 2a)/4, int cos² likewise, int sin cos = -(cos 2b - cos 2a)/4
    let double = 2.0 * sh * ch;
    let (ss, sc) = (2.0 * sm * cm * double, (cm - sm) * (cm + sm) * double);
    [h, s, c, 0.5 * h - 0.5 * sc, 0.5 * ss, 0.5 * h + 0.5 * sc]
}

/// Sums over the cycle in radians (the caller divides by the span in radians).
pub(super) fn sums(m: &Machine, cycle: &Cycle, scale: f64) -> Vec<Sum> {
    let mut out = vec![Sum::NEW; m.plan.links.len()];
    // Integrals add up over all pieces of a mode before they meet its branches; extremes belong to each piece.
    let mut totals = vec![[0.0; 6]; m.modes.len()];
    let mut from = Angle::START;
    for p in &cycle.pieces {
        let w = moments(p.from, p.to);
        totals[p.mode].iter_mut().zip(&w).for_each(|(t, w)| *t += w);
        if from.a != p.from {
            from = Angle::new(p.from);
        }
        let to = Angle::new(p.to);
        for (b, sum) in out.iter_mut().enumerate() {
            let Waves { x, to_v, to_i, other } = waves(m, p.mode, b, scale);
            let (max, min) = extremes(&x, &from, &to);
            (sum.v_max, sum.v_min) = (sum.v_max.max(to_v * max), sum.v_min.min(to_v * min));
            let (i, max, min) = match other {
                None => (x, max, min),
                Some(i) => {
                    let (max, min) = extremes(&i, &from, &to);
                    (i, max, min)
                }
            };
            (sum.i_max, sum.i_min) = (sum.i_max.max(to_i * max), sum.i_min.min(to_i * min));
            sum.forward += to_i
                * if min >= 0.0 {
                    i[0] * w[0] + i[1] * w[1] + i[2] * w[2]
                } else if max <= 0.0 {
                    0.0
                } else {
                    forward(&i, p)
                };
        }
        from = to;
    }
    for (mode, w) in totals.iter().enumerate().filter(|(_, w)| w[0] > 0.0) {
        let mean = |x: &[f64; 3]| x[0] * w[0] + x[1] * w[1] + x[2] * w[2];
        let product = |x: &[f64; 3], y: &[f64; 3]| {
            x[0] * y[0] * w[0]
                + (x[0] * y[1] + x[1] * y[0]) * w[1]
                + (x[0] * y[2] + x[2] * y[0]) * w[2]
                + x[1] * y[1] * w[3]
                + (x[1] * y[2] + x[2] * y[1]) * w[4]
                + x[2] * y[2] * w[5]
        };
        for (b, sum) in out.iter_mut().enumerate() {
            let Waves { x, to_v, to_i, other } = waves(m, mode, b, scale);
            let (first, square) = (mean(&x), product(&x, &x));
            sum.v += to_v * first;
            sum.vv += to_v * to_v * square;
            match other {
                None => {
                    sum.i += to_i * first;
                    sum.ii += to_i * to_i * square;
                    sum.vi += to_v * to_i * square;
                }
                Some(i) => {
                    sum.i += mean(&i);
                    sum.ii += product(&i, &i);
                    sum.vi += product(&x, &i);
                }
            }
        }
    }
    out
}

/// Voltage and current of a branch in one mode: `v = to_v x`, and `i = to_i x` or the other wave.
struct Waves {
    x: [f64; 3],
    to_v: f64,
    to_i: f64,
    other: Option<[f64; 3]>,
}

#[inline]
fn waves(m: &Machine, mode: usize, b: usize, scale: f64) -> Waves {
    let take = |rows: &[f64]| [rows[b * 3], rows[b * 3 + 1] * scale, rows[b * 3 + 2] * scale];
    let mode = &m.modes[mode];
    match m.plan.links[b].role {
        // One of the two carries the digits (see the nodal equations' stiff branches), the other follows from it.
        Role::Ohmic(g) if g > STIFF => Waves { x: take(&mode.i), to_v: 1.0 / g, to_i: 1.0, other: None },
        Role::Ohmic(g) => Waves { x: take(&mode.v), to_v: 1.0, to_i: g, other: None },
        _ => Waves { x: take(&mode.v), to_v: 1.0, to_i: 1.0, other: Some(take(&mode.i)) },
    }
}

/// Largest and smallest value of `x0 + xs sin + xc cos` between two angles: the ends and what turns inside.
#[inline]
fn extremes(x: &[f64; 3], from: &Angle, to: &Angle) -> (f64, f64) {
    let (a, b) = (from.value(x), to.value(x));
    let (mut max, mut min) = (a.max(b), a.min(b));
    let (crest, trough) = turns(x, from, to);
    if crest || trough {
        let r = amplitude(x);
        if crest {
            max = max.max(x[0] + r);
        }
        if trough {
            min = min.min(x[0] - r);
        }
    }
    (max, min)
}

/// Integral of the positive part of a wave that changes sign.
fn forward(x: &[f64; 3], p: &Piece) -> f64 {
    // Zeros of x0 + r sin(a + d) split the piece: at most two a turn.
    let d = x[2].atan2(x[1]);
    let s = (-x[0] / amplitude(x)).clamp(-1.0, 1.0).asin();
    let first = p.from + within_turn(s - d - p.from);
    let second = p.from + within_turn(PI - s - d - p.from);
    let cuts = [p.from, first.min(second).min(p.to), first.max(second).min(p.to), p.to];
    cuts.windows(2)
        .map(|cut| {
            let (w, (sm, cm), _) = first_moments(cut[0], cut[1]);
            if x[0] + x[1] * sm + x[2] * cm > 0.0 { x[0] * w[0] + x[1] * w[1] + x[2] * w[2] } else { 0.0 }
        })
        .sum()
}

/// When the branch is lit.
pub(super) fn lighting(m: &Machine, cycle: &Cycle, scale: f64, branch: usize, peak: f64) -> Lighting {
    let degrees = |a: f64| a.to_degrees().rem_euclid(360.0);
    let span = TAU * f64::from(cycle.cycles);
    let mut out = Lighting::default();
    let device = m.plan.switching.iter().position(|&b| b == branch);
    let neon = matches!(m.plan.links[branch].device, Device::Neon { .. });
    let mut lit = 0.0;
    if let (true, Some(device)) = (neon, device) {
        for p in &cycle.pieces {
            if m.modes[p.mode].states[device] != 0 {
                lit += p.to - p.from;
            }
        }
        for e in cycle.events.iter().filter(|e| e.device == device) {
            match (e.from, e.to) {
                (0, _) => out.on_deg.push(degrees(e.t)),
                (_, 0) => out.off_deg.push(degrees(e.t)),
                (a, b) if a.signum() != b.signum() => {
                    out.on_deg.push(degrees(e.t));
                    out.off_deg.push(degrees(e.t));
                }
                _ => {}
            }
        }
    } else {
        let limit = 0.1 * peak;
        let mut was: Option<bool> = None;
        let mut first: Option<bool> = None;
        for p in &cycle.pieces {
            let rows = &m.modes[p.mode].i[branch * 3..branch * 3 + 3];
            let x = [rows[0] - limit, rows[1] * scale, rows[2] * scale];
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
            for w in cuts.windows(2) {
                let mid = 0.5 * (w[0] + w[1]);
                let on = x[0] + x[1] * mid.sin() + x[2] * mid.cos() > 0.0;
                if on {
                    lit += w[1] - w[0];
                }
                if was.is_some_and(|b| b != on) {
                    if on { out.on_deg.push(degrees(w[0])) } else { out.off_deg.push(degrees(w[0])) }
                }
                first = first.or(Some(on));
                was = Some(on);
            }
        }
        if let (Some(a), Some(b)) = (was, first)
            && a != b
        {
            if b { out.on_deg.push(0.0) } else { out.off_deg.push(0.0) }
        }
    }
    out.lit_fraction = (lit / span).clamp(0.0, 1.0);
    out.flashes_per_cycle = out.on_deg.len() as f64 / f64::from(cycle.cycles);
    sort(&mut out);
    out
}
