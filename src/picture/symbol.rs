//! A symbol on the grid: where its pins are, what it covers, where its words stand.

use super::element::{Element, Glyph, Shape};
use super::text::{SIZE, cut, width};
use super::{Area, Point, STEP, Way};
use crate::format::NetId;

/// Height of a line of words, points of the picture.
pub(crate) const LEADING: f64 = 14.0;
/// How far words stand from a symbol.
const AWAY: f64 = 5.0;
/// The broadest words beside a symbol; what is longer is cut, and stands in full in the list of parts.
const BROADEST: f64 = 150.0;
/// Steps from the centre of a symbol of two ends to a pin.
pub(crate) const REACH: i32 = 3;

/// How thick a plate is drawn.
const PLATE: f64 = 10.0;

/// How a symbol of two ends lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Stand {
    /// Along a rail: its first pin on the left.
    Level,
    /// From rail to rail: its first pin above.
    Upright,
}

/// On which side its words stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub(crate) enum Side {
    Above,
    Below,
    Right,
    Left,
}

/// A place where a wire ends on a symbol.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Pin {
    /// The net.
    pub net: NetId,
    /// Its number among the terminals of the owner, from 1.
    pub number: usize,
    /// Where.
    pub at: Point,
    /// Where the wire goes from there.
    pub out: Way,
}

/// Where the words of a line begin, end or have their middle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// A line of words.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Line {
    /// Where it is anchored, points of the picture; y is that of its foot.
    pub x: f64,
    /// See `x`.
    pub y: f64,
    /// Which point of it stands there.
    pub anchor: Anchor,
    /// What it says.
    pub text: String,
    /// Whether it is bold.
    pub bold: bool,
}

impl Line {
    /// What it covers.
    pub(crate) fn area(&self) -> Area {
        let wide = width(&self.text, self.bold);
        let left = match self.anchor {
            Anchor::Start => self.x,
            Anchor::Middle => self.x - wide / 2.0,
            Anchor::End => self.x - wide,
        };
        // From the top of a capital with its accent to the foot of a g.
        Area { left, top: self.y - 0.85 * SIZE, right: left + wide, bottom: self.y + 0.22 * SIZE }
    }
}

/// A symbol in its place.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Symbol {
    /// What it shows.
    pub element: Element,
    /// Its centre.
    pub centre: Point,
    /// How it lies.
    pub stand: Stand,
    /// Whether its first two ends are changed round.
    pub flipped: bool,
    /// Its pins, in the order of the ends of its element.
    pub pins: Vec<Pin>,
    /// What the drawing of it covers, its leads left out.
    pub body: Area,
    /// Its words.
    pub lines: Vec<Line>,
}

impl Symbol {
    /// An element at a place.
    pub(crate) fn new(element: &Element, centre: Point, stand: Stand, flipped: bool, side: Side) -> Symbol {
        let (spots, half) = spots(element, stand);
        let order = |k: usize| match (flipped && element.shape != Shape::Changeover, k) {
            (true, 0) => 1,
            (true, 1) => 0,
            _ => k,
        };
        let pins = element.ends.iter().enumerate().map(|(k, end)| {
            let (x, y, out) = spots[order(k)];
            Pin { net: end.net, number: end.number, at: Point { x: centre.x + x, y: centre.y + y }, out }
        });
        let pins = pins.collect();
        let mut body = Area::around(centre, half.0, half.1);
        if element.shape == Shape::Plate {
            // Its wire ends on its upper edge.
            body = Area { top: f64::from(centre.y * STEP), bottom: f64::from(centre.y * STEP) + PLATE, ..body };
        }
        let mut symbol = Symbol { element: element.clone(), centre, stand, flipped, pins, body, lines: vec![] };
        symbol.lines = symbol.words(side);
        symbol
    }

    /// What its drawing covers, its pins included.
    pub(crate) fn drawing(&self) -> Area {
        self.pins.iter().map(|p| Area::around(p.at, 0.2, 0.2)).fold(self.body, |all, area| all.with(&area))
    }

    /// What drawing and words cover.
    pub(crate) fn extent(&self) -> Area {
        self.lines.iter().map(Line::area).fold(self.drawing(), |all, area| all.with(&area))
    }

    /// The lines from its body to its pins.
    pub(crate) fn leads(&self) -> impl Iterator<Item = (Point, Point)> {
        self.pins.iter().map(|pin| {
            let back = match pin.out {
                Way::Up => f64::from(-pin.at.y) + self.body.top / f64::from(STEP),
                Way::Down => f64::from(pin.at.y) - self.body.bottom / f64::from(STEP),
                Way::Left => f64::from(-pin.at.x) + self.body.left / f64::from(STEP),
                Way::Right => f64::from(pin.at.x) - self.body.right / f64::from(STEP),
            };
            (pin.at, pin.at.step(pin.out, -(back.ceil() as i32)))
        })
    }

    fn words(&self, side: Side) -> Vec<Line> {
        let shape = &self.element.shape;
        if *shape == Shape::Matrix {
            return self.inside();
        }
        let count = self.element.words.len() as f64;
        let (x, y) = (f64::from(self.centre.x * STEP), f64::from(self.centre.y * STEP));
        let middle = y - count * LEADING / 2.0 + 0.8 * LEADING;
        let (x, first, anchor) = match side {
            Side::Above => (x, self.body.top - AWAY - (count - 1.0) * LEADING, Anchor::Middle),
            Side::Below => (x, self.body.bottom + AWAY + 0.75 * LEADING, Anchor::Middle),
            Side::Right => (self.body.right + AWAY, middle, Anchor::Start),
            Side::Left => (self.body.left - AWAY, middle, Anchor::End),
        };
        let line = |(k, text): (usize, &String)| {
            let bold = k == 0;
            Line { x, y: first + k as f64 * LEADING, anchor, text: cut(text, bold, BROADEST), bold }
        };
        self.element.words.iter().enumerate().map(line).collect()
    }

    /// Words in a box: its name on it, the list in it.
    fn inside(&self) -> Vec<Line> {
        let x = f64::from(self.centre.x * STEP);
        let name = self.element.words.first().cloned().unwrap_or_default();
        let mut lines = vec![Line {
            x,
            y: self.body.top - AWAY,
            anchor: Anchor::Middle,
            text: cut(&name, true, BROADEST),
            bold: true,
        }];
        for (k, text) in self.element.words.iter().skip(1).enumerate() {
            let y = self.body.top + (k as f64 + 1.0) * LEADING;
            lines.push(Line { x, y, anchor: Anchor::Middle, text: cut(text, false, MATRIX_BROADEST), bold: false });
        }
        lines
    }
}

/// The broadest line in the box of a switch.
const MATRIX_BROADEST: f64 = 260.0;

/// Pins of an element with its centre at nought, in the order of its ends, and half the width and height of what is drawn, in
/// steps of the grid.
type Spots = (Vec<(i32, i32, Way)>, (f64, f64));

fn spots(element: &Element, stand: Stand) -> Spots {
    let count = element.ends.len();
    match element.shape {
        Shape::Pair(glyph) => pair(glyph, stand, count),
        Shape::Changeover => changeover(element),
        Shape::Matrix => matrix(element),
        Shape::Bridge | Shape::Module => (corners(4).to_vec(), (3.0, 3.0)),
        Shape::Transformer { secondaries: 1, .. } => {
            let mut all = corners(4).to_vec();
            all.push((0, 4, Way::Down));
            (all, (3.0, 3.0))
        }
        Shape::Transformer { secondaries, .. } => {
            let n = i32::try_from(secondaries).unwrap_or(1);
            let mut all = corners(3 * n + 1)[..2].to_vec();
            for k in 0..n {
                let middle = 6 * k - 3 * (n - 1);
                all.extend([(4, middle - 2, Way::Right), (4, middle + 2, Way::Right)]);
            }
            all.push((0, 3 * n + 1, Way::Down));
            (all, (3.0, f64::from(3 * n)))
        }
        Shape::Connector => {
            let n = i32::try_from(count).unwrap_or(1);
            let spot = |k: i32| (-2, 3 * k - 3 * (n - 1) / 2, Way::Left);
            ((0..n).map(spot).collect(), (1.0, f64::from(3 * (n - 1)) / 2.0 + 1.5))
        }
        // Its pins stand where the rails are.
        Shape::Plug => (vec![(3, 0, Way::Right); count], (2.0, 1.0)),
        Shape::Plate => (vec![(0, 0, Way::Up)], (2.0, 0.5)),
    }
}

fn pair(glyph: Glyph, stand: Stand, count: usize) -> Spots {
    let half = match glyph {
        Glyph::Outlet => (2.0, 2.0),
        Glyph::Neon | Glyph::Filament | Glyph::Winding => (1.3, 1.3),
        Glyph::Led => (1.9, 1.9),
        _ => (2.0, 1.0),
    };
    let mut spots = match stand {
        Stand::Level => vec![(-REACH, 0, Way::Left), (REACH, 0, Way::Right)],
        Stand::Upright => vec![(0, -REACH, Way::Up), (0, REACH, Way::Down)],
    };
    if count > spots.len() {
        spots.push(match stand {
            Stand::Level => (0, REACH, Way::Down),
            Stand::Upright => (-REACH, 0, Way::Left),
        });
    }
    (spots, if stand == Stand::Level { half } else { (half.1, half.0) })
}

/// Ends that go in on the left, out on the right, above and below.
fn corners(down: i32) -> [(i32, i32, Way); 4] {
    [(-2, -down, Way::Up), (-2, down, Way::Down), (2, -down, Way::Up), (2, down, Way::Down)]
}

/// Steps from the pivot of a changeover contact to the end of its blade, and between its throws.
pub(crate) const BLADE: i32 = 2;
pub(crate) const THROW: i32 = 3;

fn changeover(element: &Element) -> Spots {
    let throws = element.ends.len() as i32 - 1;
    let wide = element.ends.iter().map(|e| width(&e.mark, false)).fold(0.0, f64::max).min(BROADEST);
    let right = BLADE + 1 + (wide / f64::from(STEP)).ceil() as i32;
    let mut spots = vec![(-right - 1, 0, Way::Left)];
    spots.extend((0..throws).map(|k| (right + 1, THROW * k - THROW * (throws - 1) / 2, Way::Right)));
    let high = f64::from(THROW * (throws - 1)) / 2.0 + 1.8;
    (spots, (f64::from(right), high))
}

fn matrix(element: &Element) -> Spots {
    let half = element.ends.len().div_ceil(2);
    let words = element.words.iter().skip(1).map(|w| width(w, false).min(MATRIX_BROADEST)).fold(0.0, f64::max);
    let wide = ((words / f64::from(STEP) / 2.0).ceil() as i32 + 1).max(3);
    let lines = (element.words.len().saturating_sub(1) as f64 + 1.0) * LEADING / f64::from(STEP);
    let high = lines.max(f64::from(3 * half as i32)) / 2.0;
    let spot = |k: usize| {
        let (column, row) = (k / half, (k % half) as i32);
        let rows = if column == 0 { half } else { element.ends.len() - half } as i32;
        let y = 3 * row - 3 * (rows - 1) / 2;
        if column == 0 { (-wide - 1, y, Way::Left) } else { (wide + 1, y, Way::Right) }
    };
    ((0..element.ends.len()).map(spot).collect(), (f64::from(wide), high.ceil()))
}
