//! Circuits without storage: every guard is `g0 + gs sin + gc cos`, its next fall in closed form, every integral
//! elementary. Nothing can be missed and the result is exact.

use std::f64::consts::TAU;

use super::linear::dot;
use super::machine::{Event, Machine};
use super::measure::{Sum, sort};
use super::mode::State;
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

/// Next angle in (from, to] at which `g0 + gs sin + gc cos` falls through zero.
fn next_fall(g: [f64; 3], from: f64, to: f64) -> Option<f64> {
    let r = g[1].hypot(g[2]);
    if r == 0.0 || g[0] >= r {
        return None;
    }
    // g0 + r sin(a + d) falls through zero where sin(a + d) = -g0 / r with a falling sine.
    let d = g[2].atan2(g[1]);
    let fall = std::f64::consts::PI + (g[0] / r).clamp(-1.0, 1.0).asin() - d;
    let ahead = (fall - from).rem_euclid(TAU);
    // A fall at this very instant (a hair before it, by rounding) is an event now.
    let ahead = if ahead < HAIR || TAU - ahead < HAIR { 0.0 } else { ahead };
    (from + ahead <= to).then_some(from + ahead)
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
        let (mut mode, mut angle) = (first, 0.0);
        let (mut pieces, mut events) = (vec![], vec![]);
        let mut budget = 200 + 40 * walk.states.len();
        while angle < TAU {
            budget = budget.checked_sub(1)?;
            let md = &m.modes[mode];
            let mut hit: Option<(f64, usize)> = None;
            for k in 0..md.guards.len() {
                // Columns of z: 1, e_s, e_c with e_s = A sin, e_c = A cos.
                let g = [md.guard[k * 3], md.guard[k * 3 + 1] * scale, md.guard[k * 3 + 2] * scale];
                let until = hit.map_or(TAU, |h| h.0);
                if let Some(a) = next_fall(g, angle, until) {
                    if hit.is_none_or(|h| a < h.0) {
                        hit = Some((a, k));
                    }
                }
            }
            let end = hit.map_or(TAU, |h| h.0);
            if end > angle {
                pieces.push(Piece { mode, from: angle, to: end });
            }
            angle = end;
            let Some((_, guard)) = hit else { break };
            (walk.z[1], walk.z[2]) = (scale * angle.sin(), scale * angle.cos());
            mode = m.event_at(mode, guard, &mut walk, angle, &mut events)?;
        }
        (walk.z[1], walk.z[2]) = (0.0, scale);
        laps.push(pieces);
        happened.push(events);
    }
    None
}

/// Moments of 1, sin, cos and their products over an interval.
fn moments(a: f64, b: f64) -> [f64; 6] {
    let h = b - a;
    // Differences as products: no cancellation on short intervals.
    let mid = 0.5 * (a + b);
    let half = (0.5 * h).sin();
    let (s, c) = (2.0 * mid.sin() * half, 2.0 * mid.cos() * half);
    let double = h.sin();
    let (ss, sc) = ((2.0 * mid).sin() * double, (2.0 * mid).cos() * double);
    // int sin² = h/2 - (sin 2b - sin 2a)/4, int cos² likewise, int sin cos = -(cos 2b - cos 2a)/4
    [h, s, c, 0.5 * h - 0.5 * sc, 0.5 * ss, 0.5 * h + 0.5 * sc]
}

/// Sums over the cycle in radians (the caller divides by the span in radians).
pub(super) fn sums(m: &Machine, cycle: &Cycle, scale: f64) -> Vec<Sum> {
    let nb = m.plan.links.len();
    let mut out = vec![Sum::NEW; nb];
    for p in &cycle.pieces {
        let w = moments(p.from, p.to);
        let ends = [(p.from.sin(), p.from.cos()), (p.to.sin(), p.to.cos())];
        let mode = &m.modes[p.mode];
        for (b, sum) in out.iter_mut().enumerate() {
            let take = |rows: &[f64]| [rows[b * 3], rows[b * 3 + 1] * scale, rows[b * 3 + 2] * scale];
            let (v, i) = (take(&mode.v), take(&mode.i));
            let mean = |x: &[f64; 3]| dot(x, &w[..3]);
            let product = |x: &[f64; 3], y: &[f64; 3]| {
                x[0] * y[0] * w[0]
                    + (x[0] * y[1] + x[1] * y[0]) * w[1]
                    + (x[0] * y[2] + x[2] * y[0]) * w[2]
                    + x[1] * y[1] * w[3]
                    + (x[1] * y[2] + x[2] * y[1]) * w[4]
                    + x[2] * y[2] * w[5]
            };
            sum.v += mean(&v);
            sum.i += mean(&i);
            sum.vv += product(&v, &v);
            sum.ii += product(&i, &i);
            sum.vi += product(&v, &i);
            sum.forward += forward(&i, p);
            widen(&v, p, &ends, &mut sum.v_max, &mut sum.v_min);
            widen(&i, p, &ends, &mut sum.i_max, &mut sum.i_min);
        }
    }
    out
}

/// Extremes of `x0 + xs sin + xc cos` over a piece: its ends and the crests inside.
fn widen(x: &[f64; 3], p: &Piece, ends: &[(f64, f64); 2], max: &mut f64, min: &mut f64) {
    for (s, c) in ends {
        let y = x[0] + x[1] * s + x[2] * c;
        *max = max.max(y);
        *min = min.min(y);
    }
    let r = x[1].hypot(x[2]);
    if r > 0.0 {
        let crest = x[1].atan2(x[2]);
        let inside = |a: f64| (a - p.from).rem_euclid(TAU) < p.to - p.from;
        if inside(crest) {
            *max = max.max(x[0] + r);
        }
        if inside(crest + std::f64::consts::PI) {
            *min = min.min(x[0] - r);
        }
    }
}

/// Integral of the positive part.
fn forward(x: &[f64; 3], p: &Piece) -> f64 {
    let r = x[1].hypot(x[2]);
    let whole = |a: f64, b: f64| {
        let w = moments(a, b);
        x[0] * w[0] + x[1] * w[1] + x[2] * w[2]
    };
    if x[0] >= r {
        return whole(p.from, p.to);
    }
    if x[0] <= -r {
        return 0.0;
    }
    // Zeros of x0 + r sin(a + d) split the piece.
    let d = x[2].atan2(x[1]);
    let s = (-x[0] / r).clamp(-1.0, 1.0).asin();
    let mut cuts = vec![p.from];
    for zero in [s - d, std::f64::consts::PI - s - d] {
        let mut a = p.from + (zero - p.from).rem_euclid(TAU);
        while a < p.to {
            cuts.push(a);
            a += TAU;
        }
    }
    cuts.push(p.to);
    cuts.sort_by(f64::total_cmp);
    cuts.windows(2)
        .map(|w| {
            let mid = 0.5 * (w[0] + w[1]);
            if x[0] + x[1] * mid.sin() + x[2] * mid.cos() > 0.0 { whole(w[0], w[1]) } else { 0.0 }
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
                for zero in [s - d, std::f64::consts::PI - s - d] {
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
        if let (Some(a), Some(b)) = (was, first) {
            if a != b {
                if b { out.on_deg.push(0.0) } else { out.off_deg.push(0.0) }
            }
        }
    }
    out.lit_fraction = (lit / span).clamp(0.0, 1.0);
    out.flashes_per_cycle = out.on_deg.len() as f64 / f64::from(cycle.cycles);
    sort(&mut out);
    out
}
