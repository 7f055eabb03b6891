//! What five even samples of a step say about a quantity: its extremes, and the integral of its positive part.

/// How far a parabola's crest between two even samples can be above the higher one, as a part of their difference.
const CREST: f64 = 0.25;
/// Part of a quantity's largest magnitude below which a change of its sign within a step is rounding about zero.
const ABOUT_ZERO: f64 = 1e-9;
/// Rounds of regula falsi with the stale end halved: a cubic with one crossing needs a handful.
const CROSSING_ROUNDS: usize = 8;

/// Widens `max` and `min` by five even samples of a step, and by the vertex of the cubic through the four samples about
/// the extreme one where it may matter. Gives the least and the largest sample.
#[inline]
pub(super) fn widen(y: &[f64; 5], max: &mut f64, min: &mut f64) -> (f64, f64) {
    // Plain comparisons: the samples are finite, and the library's rules for NaN cost several times as much here.
    let more = |a: f64, b: f64| if a > b { a } else { b };
    let less = |a: f64, b: f64| if a < b { a } else { b };
    let high = more(more(more(y[0], y[1]), more(y[2], y[3])), y[4]);
    let low = less(less(less(y[0], y[1]), less(y[2], y[3])), y[4]);
    // A crest between two samples is at most a quarter of their difference above the higher one: most steps of a
    // cycle are nowhere near the extremes and end here.
    let room = CREST * (high - low);
    if high + room > *max {
        *max = max.max(high + beyond(y, high, 1.0));
    }
    if low - room < *min {
        *min = min.min(low - beyond(y, low, -1.0));
    }
    (low, high)
}

/// By how much the quantity may go beyond its extreme sample within the step (`sign` 1 for a crest, -1 for a trough).
fn beyond(y: &[f64; 5], extreme: f64, sign: f64) -> f64 {
    let m = y.iter().position(|x| *x == extreme).unwrap_or(0);
    // At an end of the step the crest is inside only if the slope there (of the parabola through the last three samples)
    // points back into the step.
    let slope = match m {
        0 => 4.0 * y[1] - 3.0 * y[0] - y[2],
        4 => 4.0 * y[3] - 3.0 * y[4] - y[2],
        _ => sign,
    };
    if slope * sign <= 0.0 {
        return 0.0;
    }
    vertex(y, m, sign).min(CREST * bend(y, m))
}

/// The largest second difference of the samples about sample `m`. The crest of a parabola between two even samples is at
/// most an eighth of it above the higher one.
fn bend(y: &[f64; 5], m: usize) -> f64 {
    let first = m.saturating_sub(1).min(2);
    let triples = first.saturating_sub(1)..=(first + 1).min(2);
    triples.map(|k| (y[k] - 2.0 * y[k + 1] + y[k + 2]).abs()).fold(0.0, f64::max)
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

/// Integral of max(y, 0) over a step of `h` seconds from five even samples: the `whole` integral while the sign holds;
/// otherwise the cubic through the samples about the crossing splits the quarter it falls in. `low` and `high` are the
/// least and the largest sample, `largest` the largest magnitude of y over all steps.
#[inline]
pub(super) fn positive_part(y: &[f64; 5], h: f64, whole: f64, (low, high): (f64, f64), largest: f64) -> f64 {
    if low >= 0.0 {
        whole
    } else if high <= 0.0 {
        0.0
    } else if high - low < ABOUT_ZERO * largest {
        // Rounding about zero.
        whole.max(0.0)
    } else {
        split(y, h)
    }
}

/// The same, quarter by quarter.
fn split(y: &[f64; 5], h: f64) -> f64 {
    let quarter = h / 4.0;
    (0..4)
        .map(|k: usize| {
            // Cubic through four samples that hold this quarter, in x from its start (unit: a quarter).
            let from = k.saturating_sub(1).min(1);
            let p = |x: f64| cubic(&y[from..from + 4], x + (k - from) as f64);
            let part = match (y[k] >= 0.0, y[k + 1] >= 0.0) {
                (true, true) => gauss(p, 0.0, 1.0),
                (false, false) => 0.0,
                (true, false) => gauss(p, 0.0, crossing(p, y[k], y[k + 1])),
                (false, true) => gauss(p, crossing(p, y[k], y[k + 1]), 1.0),
            };
            part * quarter
        })
        .sum()
}

/// Integral of a cubic by two points: exact.
fn gauss(p: impl Fn(f64) -> f64, a: f64, b: f64) -> f64 {
    let (mid, half) = (0.5 * (a + b), 0.5 * (b - a));
    let d = half / 3f64.sqrt();
    half * (p(mid - d) + p(mid + d))
}

/// Where a function with these values at 0 and 1, of different signs, crosses zero between them.
fn crossing(p: impl Fn(f64) -> f64, mut f_low: f64, mut f_high: f64) -> f64 {
    let at_first = f_low >= 0.0;
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..CROSSING_ROUNDS {
        let x = low - f_low * (high - low) / (f_high - f_low);
        let f = p(x);
        if (f >= 0.0) == at_first {
            (low, f_low) = (x, f);
            f_high *= 0.5;
        } else {
            (high, f_high) = (x, f);
            f_low *= 0.5;
        }
    }
    0.5 * (low + high)
}

/// Value at `x` of the cubic through `y` at 0, 1, 2, 3.
fn cubic(y: &[f64], x: f64) -> f64 {
    let (a, b, c) = (x - 1.0, x - 2.0, x - 3.0);
    -y[0] * a * b * c / 6.0 + y[1] * x * b * c / 2.0 - y[2] * x * a * c / 2.0 + y[3] * x * a * b / 6.0
}
