//! Symbols that keep their places to one another: along a rail, or upright between two.

use super::element::{Element, Shape};
use super::symbol::{REACH, Side, Stand, Symbol};
use super::tree::Tree;
use super::{Point, STEP, Way};
use crate::format::NetId;

/// Steps between the pins of two symbols that face each other.
pub(super) const BETWEEN_PINS: i32 = 4;
/// Steps between two rows of what lies side by side along a rail.
const BETWEEN_ROWS: i32 = 7;

/// Steps for the name of a wire.
const NAME: i32 = 5;

/// Where a symbol of a block stands, from the origin of the block.
#[derive(Debug, Clone)]
struct Put {
    element: usize,
    at: Point,
    stand: Stand,
    flipped: bool,
    side: Side,
}

/// How far something reaches from its origin, in steps; all of them at least 0.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
#[allow(missing_docs)]
pub(super) struct Reach {
    pub left: i32,
    pub up: i32,
    pub right: i32,
    pub down: i32,
}

/// Symbols that keep their places. The origin of one along a rail is on the rail, with the first pin to the right of it; that of
/// an upright one is half-way down.
#[derive(Debug, Clone, Default)]
pub(super) struct Block {
    puts: Vec<Put>,
    pub reach: Reach,
    /// How far its symbols reach to the right, their words left out.
    pub pins: i32,
}

impl Block {
    /// One symbol with its centre at the origin.
    fn one(elements: &[Element], e: usize, stand: Stand, first: NetId, side: Side) -> Block {
        let element = &elements[e];
        let flipped = element.ends.len() > 1 && element.ends[0].net != first && element.ends[1].net == first;
        let put = Put { element: e, at: Point { x: 0, y: 0 }, stand, flipped, side };
        let symbol = Symbol::new(element, put.at, stand, flipped, side);
        let extent = symbol.extent();
        let steps = |points: f64| (points / f64::from(STEP)).ceil() as i32;
        // A wire that goes out to the right of an upright symbol may end there, with its name.
        let out = |p: &super::symbol::Pin| stand == Stand::Upright && p.out == Way::Right;
        let names = symbol.pins.iter().filter(|p| out(p)).map(|p| p.at.x + NAME).max().unwrap_or(0);
        let reach = Reach {
            left: steps(-extent.left),
            up: steps(-extent.top),
            right: steps(extent.right).max(names),
            down: steps(extent.bottom),
        };
        let pins = symbol.pins.iter().map(|p| p.at.x).fold(steps(symbol.body.right), i32::max);
        Block { puts: vec![put], reach, pins }
    }

    /// Takes another one in, so many steps away.
    fn take(&mut self, other: &Block, by: Point) {
        let moved = |p: &Put| Put { at: Point { x: p.at.x + by.x, y: p.at.y + by.y }, ..p.clone() };
        self.puts.extend(other.puts.iter().map(moved));
        self.pins = self.pins.max(other.pins + by.x);
        self.reach.left = self.reach.left.max(other.reach.left - by.x);
        self.reach.up = self.reach.up.max(other.reach.up - by.y);
        self.reach.right = self.reach.right.max(other.reach.right + by.x);
        self.reach.down = self.reach.down.max(other.reach.down + by.y);
    }

    /// The symbols of the block with its origin at a point.
    pub(super) fn symbols<'b>(&'b self, elements: &'b [Element], origin: Point) -> impl Iterator<Item = Symbol> + 'b {
        self.puts.iter().map(move |p| {
            let centre = Point { x: origin.x + p.at.x, y: origin.y + p.at.y };
            Symbol::new(&elements[p.element], centre, p.stand, p.flipped, p.side)
        })
    }

    /// Its elements.
    pub(super) fn elements(&self) -> impl Iterator<Item = usize> + '_ {
        self.puts.iter().map(|p| p.element)
    }
}

/// A row along a rail, from one net to another; `side` is where its words stand, and what lies side by side goes the other way.
pub(super) fn along(elements: &[Element], tree: &Tree, from: NetId, side: Side) -> Block {
    match tree {
        Tree::One(e) => {
            let mut block = Block::default();
            let one = Block::one(elements, *e, Stand::Level, from, side_of(&elements[*e], side));
            block.take(&one, Point { x: one.reach.left.max(REACH), y: 0 });
            block
        }
        Tree::Series(list) => {
            let mut row = Block::default();
            for (tree, from, _) in list {
                let next = along(elements, tree, *from, side);
                let gap = if row.puts.is_empty() { 0 } else { row.reach.right + BETWEEN_PINS };
                row.take(&next, Point { x: gap, y: 0 });
            }
            row
        }
        Tree::Parallel(list) => {
            let rows: Vec<Block> = list.iter().map(|t| along(elements, t, from, side)).collect();
            let broadest = rows.iter().map(|r| r.reach.right).max().unwrap_or(0);
            let mut block = Block::default();
            let away = if side == Side::Below { -1 } else { 1 };
            let mut y = 0;
            for row in rows {
                let middle = BETWEEN_PINS / 2 + (broadest - row.reach.right) / 2;
                block.take(&row, Point { x: middle, y });
                let deep = if away > 0 { row.reach.down } else { row.reach.up };
                y += away * (BETWEEN_ROWS + deep - 1).max(BETWEEN_ROWS);
            }
            block.reach.right += BETWEEN_PINS / 2;
            block
        }
        Tree::Knot(list) => {
            let series: Vec<(Tree, NetId, NetId)> =
                list.iter().map(|e| (Tree::One(*e), first_net(&elements[*e], from), from)).collect();
            along(elements, &Tree::Series(series), from, side)
        }
    }
}

/// The net of an element that it is met by: the one it shares with where one comes from, else its first.
fn first_net(element: &Element, from: NetId) -> NetId {
    let ends = &element.ends;
    if ends.iter().any(|e| e.net == from) { from } else { ends.first().map_or(from, |e| e.net) }
}

/// Where the words of a symbol stand that cannot have them everywhere.
fn side_of(element: &Element, side: Side) -> Side {
    match element.shape {
        Shape::Pair(_) => side,
        Shape::Bridge | Shape::Module => Side::Right,
        Shape::Transformer { secondaries: 1, .. } => Side::Right,
        Shape::Transformer { .. } => Side::Left,
        Shape::Changeover | Shape::Matrix | Shape::Connector | Shape::Plug => Side::Above,
        Shape::Plate => Side::Below,
    }
}

/// A column between two rails, from one net down to another.
pub(super) fn upright(elements: &[Element], tree: &Tree, from: NetId) -> Block {
    match tree {
        Tree::One(e) => Block::one(elements, *e, Stand::Upright, from, side_of(&elements[*e], Side::Right)),
        Tree::Series(list) => {
            let column: Vec<Block> = list.iter().map(|(t, from, _)| upright(elements, t, *from)).collect();
            let high: i32 = column.iter().map(|b| b.reach.up + b.reach.down).sum();
            let high = high + BETWEEN_PINS * (column.len() as i32 - 1);
            let mut block = Block::default();
            let mut top = -high / 2;
            for part in column {
                block.take(&part, Point { x: 0, y: top + part.reach.up });
                top += part.reach.up + part.reach.down + BETWEEN_PINS;
            }
            block
        }
        Tree::Parallel(list) => side_by_side(list.iter().map(|t| upright(elements, t, from))),
        Tree::Knot(list) => {
            let column = |e: &usize| upright(elements, &Tree::One(*e), first_net(&elements[*e], from));
            side_by_side(list.iter().map(column))
        }
    }
}

fn side_by_side(columns: impl Iterator<Item = Block>) -> Block {
    let mut block = Block::default();
    for column in columns {
        let x = if block.puts.is_empty() { 0 } else { block.reach.right + 2 + column.reach.left };
        block.take(&column, Point { x, y: 0 });
    }
    // Room for the wires that join their ends.
    if block.puts.len() > 1 {
        block.reach.up += 2;
        block.reach.down += 2;
    }
    block
}
