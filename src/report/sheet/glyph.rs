//! Symbols, in the style of IEC 60617, drawn by us. A symbol of two ends is drawn along an axis from its first pin to its second;
//! which way it lies is settled by [`Axis`].

use super::svg::{At, Svg};
use crate::picture::{Area, Glyph, Point, STEP, Shape, Symbol, Way};

/// Half the breadth of a body, points.
const HALF: f64 = 20.0;
/// Half its height.
const HIGH: f64 = 7.0;

/// A symbol's own directions: along it from the first pin to the second, and to its left hand as one goes.
struct Axis {
    centre: At,
    along: At,
    aside: At,
}

impl Axis {
    fn of(symbol: &Symbol) -> Axis {
        let middle = at(symbol.centre);
        let first = at(symbol.pins[0].at);
        let (x, y) = (middle.0 - first.0, middle.1 - first.1);
        let long = x.hypot(y).max(1.0);
        let along = (x / long, y / long);
        Axis { centre: middle, along, aside: (along.1, -along.0) }
    }

    fn p(&self, along: f64, aside: f64) -> At {
        (
            self.centre.0 + along * self.along.0 + aside * self.aside.0,
            self.centre.1 + along * self.along.1 + aside * self.aside.1,
        )
    }
}

/// A point of the grid in points of the picture.
pub(super) fn at(p: Point) -> At {
    (f64::from(p.x * STEP), f64::from(p.y * STEP))
}

/// Draws a symbol without its words.
pub(super) fn draw(svg: &mut Svg, symbol: &Symbol) {
    match symbol.element.shape {
        Shape::Pair(glyph) => pair(svg, symbol, glyph),
        Shape::Changeover => changeover(svg, symbol),
        Shape::Matrix => boxed(svg, symbol),
        Shape::Bridge => {
            boxed(svg, symbol);
            rectifier(svg, symbol);
        }
        Shape::Module => {
            boxed(svg, symbol);
            let Area { left, top, right, bottom } = symbol.body;
            svg.line("thin", &[(left, bottom), (right, top)]);
            marks(svg, symbol);
        }
        Shape::Transformer { secondaries, screen } => transformer(svg, symbol, secondaries, screen),
        Shape::Connector => connector(svg, symbol),
        Shape::Plug => plug(svg, symbol),
        Shape::Plate => plate(svg, symbol),
    }
}

/// Lines from the pins to what is so far from the centre along the axis.
fn leads(svg: &mut Svg, symbol: &Symbol, axis: &Axis, to: f64) {
    svg.line("line", &[at(symbol.pins[0].at), axis.p(-to, 0.0)]);
    svg.line("line", &[axis.p(to, 0.0), at(symbol.pins[1].at)]);
}

fn pair(svg: &mut Svg, symbol: &Symbol, glyph: Glyph) {
    let axis = &Axis::of(symbol);
    let body = |svg: &mut Svg| svg.rectangle("body", axis.p(-HALF, -HIGH), axis.p(HALF, HIGH));
    match glyph {
        Glyph::Resistor | Glyph::Load => {
            leads(svg, symbol, axis, HALF);
            body(svg);
            if glyph == Glyph::Load {
                for k in [-1.0, 0.0, 1.0] {
                    svg.line("thin", &[axis.p(k * HALF / 2.0, -HIGH), axis.p(k * HALF / 2.0, HIGH)]);
                }
            }
        }
        Glyph::Varistor | Glyph::Thermistor => {
            leads(svg, symbol, axis, HALF);
            body(svg);
            svg.line("thin", &[axis.p(-16.0, -9.5), axis.p(-10.0, -9.5), axis.p(14.0, 9.5)]);
            let letter = if glyph == Glyph::Varistor { "U" } else { "ϑ" };
            let (x, y) = axis.p(-6.0, 2.0);
            svg.text("mark", (x, y + 3.5), "middle", letter);
        }
        Glyph::Fuse => {
            body(svg);
            svg.line("line", &[at(symbol.pins[0].at), at(symbol.pins[1].at)]);
        }
        Glyph::ThermalFuse => {
            body(svg);
            svg.line("line", &[at(symbol.pins[0].at), at(symbol.pins[1].at)]);
            svg.line("thin", &[axis.p(-5.0, -HIGH - 2.5), axis.p(0.0, HIGH + 2.5), axis.p(5.0, -HIGH - 2.5)]);
        }
        Glyph::Capacitor { polarised } => {
            leads(svg, symbol, axis, 3.5);
            svg.line("plate", &[axis.p(-3.5, -10.0), axis.p(-3.5, 10.0)]);
            svg.line("plate", &[axis.p(3.5, -10.0), axis.p(3.5, 10.0)]);
            if polarised {
                let [a, b, c, d] = [(-14.0, 6.0), (-8.0, 6.0), (-11.0, 3.0), (-11.0, 9.0)].map(|(x, y)| axis.p(x, y));
                svg.line("thin", &[a, b]);
                svg.line("thin", &[c, d]);
            }
        }
        Glyph::Inductor => {
            leads(svg, symbol, axis, HALF);
            coil(svg, axis, (-HALF, HALF), 0.0);
        }
        Glyph::Winding => {
            leads(svg, symbol, axis, 13.0);
            svg.circle("", "body", axis.centre, 13.0);
            svg.text("mark", (axis.centre.0, axis.centre.1 + 4.5), "middle", "M");
        }
        Glyph::Diode | Glyph::Led | Glyph::Suppressor { .. } => diode(svg, symbol, axis, glyph),
        Glyph::Neon | Glyph::Filament => lamp(svg, symbol, axis, glyph),
        Glyph::Wire => {
            svg.line("lead", &[at(symbol.pins[0].at), at(symbol.pins[1].at)]);
            for end in [-HALF, HALF] {
                svg.line("line", &[axis.p(end, -5.0), axis.p(end, 5.0)]);
            }
        }
        Glyph::Contact => {
            leads(svg, symbol, axis, 14.0);
            svg.line("line", &[axis.p(-14.0, 0.0), axis.p(14.0, 9.5)]);
            svg.line("line", &[axis.p(14.0, -3.5), axis.p(14.0, 3.5)]);
        }
        Glyph::Outlet => outlet(svg, symbol, axis),
    }
}

/// Half circles along an axis.
fn coil(svg: &mut Svg, axis: &Axis, (from, to): (f64, f64), aside: f64) {
    let turns = 4.0;
    let radius = (to - from) / turns / 2.0;
    let (x, y) = axis.p(from, aside);
    let mut path = format!("M{} {}", super::svg::short(x), super::svg::short(y));
    for k in 1..=4 {
        let (x, y) = axis.p(from + f64::from(k) * 2.0 * radius, aside);
        let [x, y, r] = [x, y, radius].map(super::svg::short);
        path.push_str(&format!("A{r} {r} 0 0 1 {x} {y}"));
    }
    svg.path("line", &path);
}

fn diode(svg: &mut Svg, symbol: &Symbol, axis: &Axis, glyph: Glyph) {
    svg.line("line", &[at(symbol.pins[0].at), at(symbol.pins[1].at)]);
    // From its first pin, the anode, to its second, the cathode.
    let p = |along: f64, aside: f64| axis.p(along, aside);
    svg.closed("solid", &[p(-8.0, -8.0), p(-8.0, 8.0), p(8.0, 0.0)]);
    match glyph {
        Glyph::Suppressor { both_ways } => {
            svg.line("line", &[p(4.0, 10.0), p(8.0, 8.0), p(8.0, -8.0), p(12.0, -10.0)]);
            if both_ways {
                svg.line("line", &[p(-12.0, 8.0), p(-8.0, 8.0), p(-8.0, -8.0)]);
            }
        }
        _ => svg.line("line", &[p(8.0, -8.0), p(8.0, 8.0)]),
    }
    if glyph == Glyph::Led {
        for start in [-5.0, 3.0] {
            svg.line("thin", &[axis.p(start, 10.0), axis.p(start + 6.0, 17.0)]);
            svg.line("thin", &[axis.p(start + 2.0, 16.5), axis.p(start + 6.0, 17.0), axis.p(start + 5.5, 13.0)]);
        }
    }
}

fn lamp(svg: &mut Svg, symbol: &Symbol, axis: &Axis, glyph: Glyph) {
    let radius = 13.0;
    svg.circle("", "body", axis.centre, radius);
    if glyph == Glyph::Filament {
        leads(svg, symbol, axis, radius);
        let far = radius * std::f64::consts::FRAC_1_SQRT_2;
        svg.line("line", &[axis.p(-far, -far), axis.p(far, far)]);
        svg.line("line", &[axis.p(-far, far), axis.p(far, -far)]);
    } else {
        leads(svg, symbol, axis, 3.0);
        svg.line("plate", &[axis.p(-3.0, -6.0), axis.p(-3.0, 6.0)]);
        svg.line("plate", &[axis.p(3.0, -6.0), axis.p(3.0, 6.0)]);
        svg.circle("", "joint", axis.p(2.0, 9.0), 1.6);
    }
}

fn outlet(svg: &mut Svg, symbol: &Symbol, axis: &Axis) {
    let Area { left, top, right, bottom } = symbol.body;
    svg.rectangle("body", (left, top), (right, bottom));
    leads(svg, symbol, axis, HALF);
    for side in [-1.0, 1.0] {
        svg.line("line", &[axis.p(side * HALF, 0.0), axis.p(side * 11.0, 0.0)]);
        let [x, y] = [axis.p(side * 7.0, 0.0).0, axis.p(side * 7.0, 0.0).1];
        svg.circle("", "hole", (x, y), 4.0);
    }
    if let Some(pin) = symbol.pins.get(2) {
        let (x, y) = at(pin.at);
        let [edge, inner] = match pin.out {
            Way::Left => [(left, y), (left + 9.0, y)],
            Way::Right => [(right, y), (right - 9.0, y)],
            Way::Up => [(x, top), (x, top + 9.0)],
            Way::Down => [(x, bottom), (x, bottom - 9.0)],
        };
        svg.line("line", &[(x, y), edge, inner]);
        let flat = match pin.out {
            Way::Left | Way::Right => [(inner.0, inner.1 - 5.0), (inner.0, inner.1 + 5.0)],
            Way::Up | Way::Down => [(inner.0 - 5.0, inner.1), (inner.0 + 5.0, inner.1)],
        };
        svg.line("plate", &flat);
    }
}

/// A box with leads to its pins.
fn boxed(svg: &mut Svg, symbol: &Symbol) {
    let Area { left, top, right, bottom } = symbol.body;
    svg.rectangle("body", (left, top), (right, bottom));
    for pin in &symbol.pins {
        let (x, y) = at(pin.at);
        let edge = match pin.out {
            Way::Up => (x, top),
            Way::Down => (x, bottom),
            Way::Left => (left, y),
            Way::Right => (right, y),
        };
        svg.line("line", &[(x, y), edge]);
    }
}

/// What stands at the pins of a box, inside it.
fn marks(svg: &mut Svg, symbol: &Symbol) {
    for (pin, end) in symbol.pins.iter().zip(&symbol.element.ends) {
        let (x, y) = at(pin.at);
        let y = if pin.out == Way::Up { y + 22.0 } else { y - 14.0 };
        svg.text("mark", (x, y), "middle", &end.mark);
    }
}

/// A diode in a box, for four of them.
fn rectifier(svg: &mut Svg, symbol: &Symbol) {
    let (x, y) = at(symbol.centre);
    svg.line("thin", &[(x - 15.0, y), (x + 15.0, y)]);
    svg.closed("solid", &[(x - 7.0, y - 7.0), (x - 7.0, y + 7.0), (x + 6.0, y)]);
    svg.line("line", &[(x + 6.0, y - 7.0), (x + 6.0, y + 7.0)]);
    marks(svg, symbol);
}

fn transformer(svg: &mut Svg, symbol: &Symbol, secondaries: usize, screen: bool) {
    let Area { top, bottom, .. } = symbol.body;
    let (x, y) = at(symbol.centre);
    // Down the primary, with its turns to the right; up the secondaries, so that theirs are to the left.
    let [first, second] = [at(symbol.pins[0].at), at(symbol.pins[1].at)];
    let (high, low) = if first.1 < second.1 { (first, second) } else { (second, first) };
    let winding = |svg: &mut Svg, x: f64, (from, to): (f64, f64), right: bool| {
        let axis = if right {
            Axis { centre: (x, 0.0), along: (0.0, 1.0), aside: (1.0, 0.0) }
        } else {
            Axis { centre: (x, 0.0), along: (0.0, -1.0), aside: (-1.0, 0.0) }
        };
        if right { coil(svg, &axis, (from, to), 0.0) } else { coil(svg, &axis, (-to, -from), 0.0) }
    };
    winding(svg, x - 20.0, (y - 28.0, y + 28.0), true);
    svg.line("line", &[high, (x - 20.0, y - 28.0)]);
    svg.line("line", &[(x - 20.0, y + 28.0), low]);
    for pair in symbol.pins[2..].chunks_exact(2).take(secondaries) {
        let [one, other] = [at(pair[0].at), at(pair[1].at)];
        let (from, to) = if secondaries == 1 { (y - 28.0, y + 28.0) } else { (one.1, other.1) };
        winding(svg, x + 20.0, (from, to), false);
        svg.line("line", &[one, (x + 20.0, from)]);
        svg.line("line", &[(x + 20.0, to), other]);
    }
    for core in [-2.0, 2.0] {
        svg.line("plate", &[(x + core, top + 2.0), (x + core, bottom - 2.0)]);
    }
    if let Some(pin) = symbol.pins.last().filter(|_| screen) {
        svg.line("screen", &[(x - 7.0, top + 2.0), (x - 7.0, bottom)]);
        let (px, py) = at(pin.at);
        svg.line("line", &[(x - 7.0, bottom), (px, bottom), (px, py)]);
    }
}

fn changeover(svg: &mut Svg, symbol: &Symbol) {
    let (x, y) = at(symbol.centre);
    let pivot = (x - 20.0, y);
    svg.line("line", &[at(symbol.pins[0].at), pivot]);
    svg.circle("", "hole", pivot, 2.5);
    for (k, (pin, end)) in symbol.pins.iter().zip(&symbol.element.ends).skip(1).enumerate() {
        let (px, py) = at(pin.at);
        let contact = (x + 10.0, py);
        svg.line("line", &[contact, (px, py)]);
        svg.circle("", "hole", contact, 2.5);
        svg.text("mark-name", (x + 16.0, py - 4.0), "start", &end.mark);
        if k == 0 {
            svg.line("line", &[pivot, contact]);
        }
    }
}

fn connector(svg: &mut Svg, symbol: &Symbol) {
    let Area { left, top, right, bottom } = symbol.body;
    svg.rectangle("body", (left, top), (right, bottom));
    for pin in &symbol.pins {
        let (x, y) = at(pin.at);
        svg.line("line", &[(x, y), (left, y), (left + 6.0, y)]);
        svg.circle("", "hole", ((left + right) / 2.0, y), 4.0);
    }
}

fn plug(svg: &mut Svg, symbol: &Symbol) {
    let Area { left, top, right, bottom } = symbol.body;
    svg.rectangle("body", (left, top), (right, bottom));
    for (pin, end) in symbol.pins.iter().zip(&symbol.element.ends) {
        let (x, y) = at(pin.at);
        svg.line("line", &[(x, y), (right, y)]);
        svg.rectangle("solid", (left - 12.0, y - 3.0), (left, y + 3.0));
        svg.text("name", ((left + right) / 2.0, y + 4.5), "middle", &end.mark);
    }
}

fn plate(svg: &mut Svg, symbol: &Symbol) {
    let Area { left, top, right, bottom } = symbol.body;
    svg.rectangle("reached", (left, top), (right, bottom));
}
