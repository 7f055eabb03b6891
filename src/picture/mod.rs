//! Where everything of a jig stands on paper: parts as symbols, wires as straight lines between them, live above, neutral
//! below, earth beneath, from the plug on the left to what is fed on the right. Geometry only: it judges nothing, knows no
//! file format of pictures, and takes every number from the jig.
//!
//! One way: `element` (what is drawn for each part) → `tree` (what lies in series, what side by side) → `ladder` (in which
//! column and row each stands) → `symbol` (its pins, what it covers, its label) → `route` (wires) → `names` (of nets).
//! Everything stands on a grid; a picture that cannot be wired is laid out again with more room.

mod block;
mod element;
mod ladder;
mod names;
mod path;
mod plug;
mod route;
mod sheet;
mod shelf;
mod strip;
mod symbol;
mod text;
mod tree;

pub(crate) use element::{Glyph, Owner, Shape};
pub(crate) use route::Wire;
pub(crate) use sheet::{Barrier, Picture, is_contact, picture};
pub(crate) use symbol::{Anchor, Line, Symbol};
pub(crate) use text::SIZE;

/// Points of the picture (pixels of a screen at its own size) a step of the grid.
pub(crate) const STEP: i32 = 10;

/// A point of the grid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct Point {
    /// To the right.
    pub x: i32,
    /// Downwards.
    pub y: i32,
}

impl Point {
    /// The point so many steps away.
    pub(crate) fn step(self, way: Way, steps: i32) -> Point {
        let (x, y) = way.unit();
        Point { x: self.x + steps * x, y: self.y + steps * y }
    }
}

/// A direction.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Way {
    /// To smaller y.
    Up,
    /// To larger x.
    Right,
    /// To larger y.
    Down,
    /// To smaller x.
    Left,
}

impl Way {
    /// All of them, clockwise.
    pub(crate) const ALL: [Way; 4] = [Way::Up, Way::Right, Way::Down, Way::Left];

    /// One step that way.
    pub(crate) fn unit(self) -> (i32, i32) {
        match self {
            Way::Up => (0, -1),
            Way::Right => (1, 0),
            Way::Down => (0, 1),
            Way::Left => (-1, 0),
        }
    }

    /// Whether it runs along a row.
    pub(crate) fn is_level(self) -> bool {
        matches!(self, Way::Left | Way::Right)
    }
}

/// A rectangle in points of the picture, its edges included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Area {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

impl Area {
    /// Round a point of the grid: so many steps to each side.
    pub(crate) fn around(centre: Point, half_width: f64, half_height: f64) -> Area {
        let (x, y, step) = (f64::from(centre.x), f64::from(centre.y), f64::from(STEP));
        Area {
            left: (x - half_width) * step,
            top: (y - half_height) * step,
            right: (x + half_width) * step,
            bottom: (y + half_height) * step,
        }
    }

    /// Whether two have a point in common.
    pub(crate) fn meets(&self, other: &Area) -> bool {
        self.left < other.right && other.left < self.right && self.top < other.bottom && other.top < self.bottom
    }

    /// The same with so much added on every side.
    pub(crate) fn grown(&self, by: f64) -> Area {
        Area { left: self.left - by, top: self.top - by, right: self.right + by, bottom: self.bottom + by }
    }

    /// The least that holds both.
    pub(crate) fn with(&self, other: &Area) -> Area {
        Area {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }
}
