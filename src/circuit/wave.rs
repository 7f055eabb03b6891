//! The wave `x0 + xs sin a + xc cos a` of the mains angle a, radians: values, falls through zero, extremes and integrals
//! between two angles, in closed form.

use std::f64::consts::{PI, TAU};

/// Coefficients of 1, sin and cos.
pub(super) type Wave = [f64; 3];

/// Radians; two instants closer than this are one.
const HAIR: f64 = 1e-12;
/// Part of a wave's amplitude by which it must be above zero at both ends to count as clear of it.
const CLEAR: f64 = 1e-9;

/// An angle with its sine and cosine.
#[derive(Debug, Clone, Copy)]
pub(super) struct Angle {
    /// Radians.
    pub a: f64,
    pub s: f64,
    pub c: f64,
}

impl Angle {
    pub(super) const START: Angle = Angle { a: 0.0, s: 0.0, c: 1.0 };
    pub(super) const END: Angle = Angle { a: TAU, s: 0.0, c: 1.0 };

    pub(super) fn new(a: f64) -> Self {
        let (s, c) = a.sin_cos();
        Angle { a, s, c }
    }
    /// The wave here.
    #[inline]
    fn value(&self, x: &Wave) -> f64 {
        x[0] + x[1] * self.s + x[2] * self.c
    }
    /// Its derivative by the angle.
    #[inline]
    fn slope(&self, x: &Wave) -> f64 {
        x[1] * self.c - x[2] * self.s
    }
}

/// Whether a wave has its crest, and its trough, between two angles at most a turn apart. (At an end, rounding decides;
/// the value there is the extreme one either way.)
#[inline]
fn turns(x: &Wave, from: &Angle, to: &Angle) -> (bool, bool) {
    let (da, db) = (from.slope(x), to.slope(x));
    if to.a - from.a <= PI {
        (da > 0.0 && db < 0.0, da < 0.0 && db > 0.0)
    } else {
        // They are not in the other part of the turn, which is shorter than a half.
        (!(db > 0.0 && da < 0.0), !(db < 0.0 && da > 0.0))
    }
}

#[inline]
fn amplitude(x: &Wave) -> f64 {
    (x[1] * x[1] + x[2] * x[2]).sqrt()
}

/// `a` plus or minus as many turns as bring it to 0..TAU.
fn within_turn(a: f64) -> f64 {
    if (0.0..TAU).contains(&a) { a } else { a.rem_euclid(TAU) }
}

/// Next angle in (from, to] at which a wave falls through zero.
pub(super) fn next_fall(g: &Wave, from: &Angle, to: &Angle) -> Option<f64> {
    // Most guards stay clear of zero: seen from both ends and from the lack of a trough, without inverse functions.
    let clear = CLEAR * (g[1].abs() + g[2].abs());
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

/// Largest and smallest value of a wave between two angles: the ends and what turns inside.
#[inline]
pub(super) fn extremes(x: &Wave, from: &Angle, to: &Angle) -> (f64, f64) {
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

/// Integrals of 1, sin and cos over an interval: differences as products, so that short intervals keep their digits.
/// With them the sine and cosine of its middle and of half its length.
fn first_moments(a: f64, b: f64) -> ([f64; 3], (f64, f64), (f64, f64)) {
    let (middle, half) = ((0.5 * (a + b)).sin_cos(), (0.5 * (b - a)).sin_cos());
    ([b - a, 2.0 * middle.0 * half.0, 2.0 * middle.1 * half.0], middle, half)
}

/// Integrals of 1, sin, cos, sin², sin cos, cos² over an interval of angles, or over several added up.
#[derive(Debug, Clone, Copy)]
pub(super) struct Moments([f64; 6]);

impl Moments {
    pub(super) const NONE: Moments = Moments([0.0; 6]);

    /// Over the interval from `a` to `b`, radians.
    pub(super) fn over(a: f64, b: f64) -> Moments {
        let ([h, s, c], (sm, cm), (sh, ch)) = first_moments(a, b);
        // int sin² = h/2 - (sin 2b - sin 2a)/4, int cos² likewise, int sin cos = -(cos 2b - cos 2a)/4
        let double = 2.0 * sh * ch;
        let (ss, sc) = (2.0 * sm * cm * double, (cm - sm) * (cm + sm) * double);
        Moments([h, s, c, 0.5 * h - 0.5 * sc, 0.5 * ss, 0.5 * h + 0.5 * sc])
    }

    /// Adds another interval.
    pub(super) fn add(&mut self, other: &Moments) {
        self.0.iter_mut().zip(&other.0).for_each(|(t, w)| *t += w);
    }

    /// Radians in all.
    pub(super) fn span(&self) -> f64 {
        self.0[0]
    }

    /// Integral of a wave.
    #[inline]
    pub(super) fn first(&self, x: &Wave) -> f64 {
        let w = &self.0;
        x[0] * w[0] + x[1] * w[1] + x[2] * w[2]
    }

    /// Integral of the product of two waves.
    #[inline]
    pub(super) fn product(&self, x: &Wave, y: &Wave) -> f64 {
        let w = &self.0;
        x[0] * y[0] * w[0]
            + (x[0] * y[1] + x[1] * y[0]) * w[1]
            + (x[0] * y[2] + x[2] * y[0]) * w[2]
            + x[1] * y[1] * w[3]
            + (x[1] * y[2] + x[2] * y[1]) * w[4]
            + x[2] * y[2] * w[5]
    }
}

/// Integral of the positive part of a wave that changes sign between two angles.
pub(super) fn positive_part(x: &Wave, from: f64, to: f64) -> f64 {
    // Zeros of x0 + r sin(a + d) split the interval: at most two a turn.
    let d = x[2].atan2(x[1]);
    let s = (-x[0] / amplitude(x)).clamp(-1.0, 1.0).asin();
    let first = from + within_turn(s - d - from);
    let second = from + within_turn(PI - s - d - from);
    let cuts = [from, first.min(second).min(to), first.max(second).min(to), to];
    cuts.windows(2)
        .map(|cut| {
            let (w, (sm, cm), _) = first_moments(cut[0], cut[1]);
            if x[0] + x[1] * sm + x[2] * cm > 0.0 { x[0] * w[0] + x[1] * w[1] + x[2] * w[2] } else { 0.0 }
        })
        .sum()
}
