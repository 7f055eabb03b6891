//! One ladder: blocks on its upper rail, on its lower rail, between them, and below on the way to earth.

use super::Point;
use super::block::Block;
use super::element::Element;
use super::symbol::Symbol;

/// How much room there is, in steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Room {
    /// Between blocks side by side.
    pub beside: i32,
    /// Between rows, for wires.
    pub rows: i32,
    /// How broad a ladder may be.
    pub broadest: i32,
}

/// Where a block belongs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Row {
    /// On the upper rail.
    Upper,
    /// On the lower rail.
    Lower,
    /// Between the rails.
    Between,
    /// Below the lower rail, on the way to earth.
    Earthed,
}

/// Steps to which a block lies flat along its rail.
const FLAT: i32 = 2;

/// A ladder.
#[derive(Debug, Default)]
pub(super) struct Shelf {
    blocks: Vec<(Row, Block, i32)>,
    /// How far each rail is filled.
    upper: i32,
    lower: i32,
    /// How far what stands between them.
    between: i32,
}

impl Shelf {
    /// Whether nothing stands in it.
    pub(super) fn is_empty(&self) -> bool {
        self.blocks.is_empty()
    }

    /// How far it is filled.
    pub(super) fn end(&self) -> i32 {
        self.upper.max(self.lower).max(self.between)
    }

    /// Lets both rails go on from the same column.
    pub(super) fn level(&mut self) {
        let level = self.upper.max(self.lower);
        (self.upper, self.lower) = (level, level);
    }

    /// Puts a block behind what is there.
    pub(super) fn put(&mut self, block: Block, row: Row, room: Room) {
        let from = match row {
            // What hangs far down from a rail keeps clear of the words between the rails.
            Row::Upper if block.reach.down > FLAT => self.upper.max(self.between),
            Row::Lower if block.reach.up > FLAT => self.lower.max(self.between),
            Row::Upper => self.upper,
            Row::Lower => self.lower,
            Row::Between | Row::Earthed => self.end(),
        };
        let x = from + room.beside + block.reach.left;
        let end = x + block.reach.right;
        match row {
            Row::Upper => self.upper = end,
            Row::Lower => self.lower = end,
            Row::Between | Row::Earthed => {
                self.between = end;
                let past = x + block.pins;
                (self.upper, self.lower) = (self.upper.max(past), self.lower.max(past));
            }
        }
        self.blocks.push((row, block, x));
    }

    fn most(&self, rows: &[Row], of: impl Fn(&Block) -> i32) -> i32 {
        self.blocks.iter().filter(|(row, ..)| rows.contains(row)).map(|(_, b, _)| of(b)).max().unwrap_or(0)
    }

    /// Its symbols, with its top at a row and its left edge at a column; gives the rows of its rails and its foot.
    pub(super) fn laid(
        &self,
        elements: &[Element],
        corner: Point,
        room: Room,
        symbols: &mut Vec<Symbol>,
    ) -> ([i32; 2], i32) {
        let upper = corner.y + self.most(&[Row::Upper], |b| b.reach.up).max(1);
        let deep = self.most(&[Row::Upper], |b| b.reach.down);
        let high = self.most(&[Row::Lower], |b| b.reach.up);
        let [above, below] = [self.most(&[Row::Between], |b| b.reach.up), self.most(&[Row::Between], |b| b.reach.down)];
        let middle = upper + above.max(if high > 0 { deep / 2 } else { 0 }) + room.rows;
        let lower = (middle + below + room.rows).max(upper + deep + high + room.rows);
        let earthed =
            lower + self.most(&[Row::Lower], |b| b.reach.down) + room.rows + self.most(&[Row::Earthed], |b| b.reach.up);
        let middle = (upper + lower + above - below) / 2;
        let foot = self.blocks.iter().map(|(row, block, _)| {
            block.reach.down
                + match row {
                    Row::Upper => upper,
                    Row::Lower => lower,
                    Row::Between => middle,
                    Row::Earthed => earthed,
                }
        });
        let foot = foot.max().unwrap_or(lower).max(lower);
        for (row, block, x) in &self.blocks {
            let y = match row {
                Row::Upper => upper,
                Row::Lower => lower,
                Row::Between => middle,
                Row::Earthed => earthed,
            };
            symbols.extend(block.symbols(elements, Point { x: corner.x + x, y }));
        }
        ([upper, lower], foot)
    }
}
