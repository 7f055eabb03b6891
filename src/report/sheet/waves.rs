//! Waveforms as a scalable picture: volts and amperes of the lamp or load over two cycles, when it is lit, peak and r.m.s.; what is
//! left of a charge against what may be.

use super::svg::{At, Svg, escaped, short};
use crate::report::number::show;

/// A curve with what is marked on it.
pub(crate) struct Curve {
    /// What it is of.
    pub name: String,
    /// SI unit.
    pub unit: &'static str,
    /// Value at instants evenly over the time shown.
    pub values: Vec<f64>,
    /// r.m.s.
    pub rms: f64,
    /// Largest and smallest value.
    pub peaks: [f64; 2],
}

/// Two cycles of something.
pub(crate) struct TwoCycles {
    /// Volts, then amperes.
    pub curves: [Curve; 2],
    /// Seconds that are shown.
    pub seconds: f64,
    /// When it is lit, in parts of the time shown.
    pub lit: Vec<(f64, f64)>,
}

/// A charge that runs down.
pub(crate) struct RunDown {
    /// What it is of.
    pub name: String,
    /// Seconds and volts.
    pub points: Vec<(f64, f64)>,
    /// Seconds and volts that are marked, and the words for them.
    pub limits: Vec<(f64, f64, String)>,
}

/// Breadth of the picture, where the axes are, and how high a curve is.
const WIDE: f64 = 860.0;
const LEFT: f64 = 74.0;
const RIGHT: f64 = 690.0;
const HIGH: f64 = 112.0;
/// From one curve to the next.
const APART: f64 = 56.0;
const TOP: f64 = 34.0;
/// Lines of words stand at least so far apart.
const LEADING: f64 = 15.0;
/// A peak the other way is told from this share of the higher one on, where it differs by more than that one.
const SMALL: f64 = 0.05;
const ALIKE: f64 = 0.02;
/// Beside a mark.
const AWAY: f64 = 8.0;

/// The picture; alone it brings its colours.
pub(super) fn waves_svg(title: &str, cycles: Option<&TwoCycles>, down: Option<&RunDown>, alone: bool) -> String {
    let curves = cycles.map_or(0, |_| 2) + down.map_or(0, |_| 1);
    let high = TOP + f64::from(curves) * (HIGH + APART);
    let mut svg = Svg::default();
    let [w, h] = [WIDE, high].map(short);
    svg.raw(&format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" id=\"waveforms\" class=\"picture\" viewBox=\"0 0 {w} {h}\" width=\"{w}\" \
         height=\"{h}\" role=\"img\" aria-labelledby=\"waveforms-title waveforms-words\"><title id=\"waveforms-title\">{}</title>\
         <desc id=\"waveforms-words\">{}</desc>\n",
        escaped(title),
        escaped(&in_words(cycles, down))
    ));
    if alone {
        svg.raw(&format!("<style>{}</style>\n", super::wiring::STYLE));
        svg.rectangle("paper", (0.0, 0.0), (WIDE, high));
    }
    let mut top = TOP;
    if let Some(c) = cycles {
        for (k, curve) in c.curves.iter().enumerate() {
            draw_curve(&mut svg, curve, c, top, ["volts", "amperes"][k]);
            top += HIGH + APART;
        }
    }
    if let Some(d) = down {
        draw_run_down(&mut svg, d, top);
    }
    svg.raw("</svg>\n");
    svg.into_text()
}

fn in_words(cycles: Option<&TwoCycles>, down: Option<&RunDown>) -> String {
    let mut told = vec![];
    for c in cycles.iter().flat_map(|c| &c.curves) {
        told.push(format!("{}: {}", c.name, marks(c).into_iter().map(|(_, m)| m).collect::<Vec<_>>().join(", ")));
    }
    if let Some(d) = down {
        told.extend(d.limits.iter().map(|l| format!("{}: {}", d.name, l.2)));
    }
    told.join("; ")
}

/// Values that are marked, with their words; a peak the other way only where it is another.
fn marks(c: &Curve) -> Vec<(f64, String)> {
    let [most, least] = c.peaks;
    let mut marks = vec![(c.rms, format!("r.m.s. {}", show(c.rms, c.unit)))];
    let higher = if most >= -least { most } else { least };
    let lower = if most >= -least { least } else { most };
    marks.push((higher, format!("peak {}", show(higher, c.unit))));
    let counts = lower * higher < 0.0 && lower.abs() > SMALL * higher.abs();
    if counts && (lower + higher).abs() > ALIKE * higher.abs() {
        marks.push((lower, format!("peak {}", show(lower, c.unit))));
    }
    marks
}

/// An axis from below the least to above the most, nought in it.
struct Axis {
    top: f64,
    low: f64,
    high: f64,
}

impl Axis {
    fn over(values: impl Iterator<Item = f64>, top: f64) -> Axis {
        let (low, high) = values.fold((0.0_f64, 0.0_f64), |(l, h), v| (l.min(v), h.max(v)));
        let room = 0.06 * (high - low).max(1e-12);
        Axis { top, low: low - room, high: high + room }
    }

    fn y(&self, value: f64) -> f64 {
        self.top + HIGH * (self.high - value) / (self.high - self.low)
    }
}

fn draw_curve(svg: &mut Svg, c: &Curve, all: &TwoCycles, top: f64, id: &str) {
    let axis = Axis::over(c.values.iter().copied().chain(c.peaks).chain([c.rms]), top);
    svg.open(&format!("wave-{id}"), "wave");
    svg.text("name", (LEFT, top - 10.0), "start", &c.name);
    for (from, to) in &all.lit {
        let x = |part: f64| LEFT + part * (RIGHT - LEFT);
        svg.rectangle("lit", (x(*from), top), (x(*to), top + HIGH));
    }
    frame(svg, &axis);
    let step = (RIGHT - LEFT) / (c.values.len().max(2) - 1) as f64;
    let points: Vec<At> = c.values.iter().enumerate().map(|(k, v)| (LEFT + k as f64 * step, axis.y(*v))).collect();
    svg.line("curve", &thinned(points));
    put_marks(svg, &axis, &marks(c));
    ticks(svg, all.seconds, top + HIGH);
    svg.close();
}

/// How far a point may lie off the line between its neighbours to be left out.
const STRAIGHT: f64 = 0.02;

/// Points on a straight line between their neighbours are left out.
fn thinned(points: Vec<At>) -> Vec<At> {
    let mut out: Vec<At> = vec![];
    for p in points {
        if let [.., a, b] = out[..] {
            let area = (b.0 - a.0) * (p.1 - a.1) - (p.0 - a.0) * (b.1 - a.1);
            if area.abs() < STRAIGHT * (p.0 - a.0).abs() {
                out.pop();
            }
        }
        out.push(p);
    }
    out
}

fn frame(svg: &mut Svg, axis: &Axis) {
    svg.line("thin", &[(LEFT, axis.top), (LEFT, axis.top + HIGH)]);
    svg.line("thin", &[(LEFT, axis.y(0.0)), (RIGHT, axis.y(0.0))]);
    svg.text("note", (LEFT - AWAY, axis.y(0.0) + 4.0), "end", "0");
}

/// Lines at marked values, their words to the right of the picture, none over another.
fn put_marks(svg: &mut Svg, axis: &Axis, marks: &[(f64, String)]) {
    let mut sorted: Vec<&(f64, String)> = marks.iter().collect();
    sorted.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut last = f64::NEG_INFINITY;
    for (value, words) in sorted {
        let y = axis.y(*value);
        svg.line("link", &[(LEFT, y), (RIGHT + 4.0, y)]);
        let at = y.max(last + LEADING);
        last = at;
        svg.text("value", (RIGHT + AWAY, at + 4.0), "start", words);
    }
}

/// Marks along the time axis.
fn ticks(svg: &mut Svg, seconds: f64, y: f64) {
    // The roundest step of which at most so many fit.
    let least = seconds / MOST_TICKS;
    let ten = 10f64.powf(least.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0].map(|k| k * ten).into_iter().find(|s| *s >= least).unwrap_or(seconds);
    let mut at = 0.0;
    while at <= seconds * (1.0 + ROUNDING) {
        let x = LEFT + at / seconds * (RIGHT - LEFT);
        svg.line("thin", &[(x, y), (x, y + 4.0)]);
        svg.text("note", (x, y + 18.0), "middle", &show(at, "s"));
        at += step;
    }
}

const MOST_TICKS: f64 = 9.0;
const ROUNDING: f64 = 1e-9;

fn draw_run_down(svg: &mut Svg, d: &RunDown, top: f64) {
    let values = d.points.iter().map(|(_, v)| v.abs());
    let axis = Axis::over(values.chain(d.limits.iter().map(|l| l.1)), top);
    let seconds = d.points.last().map_or(1.0, |(s, _)| *s);
    let x = |s: f64| LEFT + s / seconds * (RIGHT - LEFT);
    svg.open("wave-charge", "wave");
    svg.text("name", (LEFT, top - 10.0), "start", &d.name);
    frame(svg, &axis);
    let points: Vec<At> = d.points.iter().map(|(s, v)| (x(*s), axis.y(v.abs()))).collect();
    svg.line("curve", &thinned(points));
    let mut marks: Vec<(f64, String)> = vec![];
    for limit in &d.limits {
        let (from, volts, words) = limit;
        svg.line("limit", &[(x(*from), axis.top), (x(*from), axis.y(*volts)), (RIGHT, axis.y(*volts))]);
        marks.push((*volts, words.clone()));
    }
    marks.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut last = f64::NEG_INFINITY;
    for (volts, words) in &marks {
        let at = axis.y(*volts).max(last + LEADING).min(axis.top + HIGH - 2.0);
        last = at;
        svg.text("value", (RIGHT + AWAY, at + 4.0), "start", words);
    }
    let start = d.points.first().map_or(0.0, |(_, v)| v.abs());
    svg.text("note", (LEFT - AWAY, axis.y(start) + 4.0), "end", &show(start, "V"));
    ticks(svg, seconds, axis.top + HIGH);
    svg.close();
}
