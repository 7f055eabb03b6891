//! Where the names of nets stand: beside a straight piece of their wire, over nothing else.

use super::route::{Piece, Wire};
use super::symbol::{Anchor, Line};
use super::text::{cut, width};
use super::{Area, STEP};

/// The broadest name; what is longer is cut.
const BROADEST: f64 = 110.0;
/// How far a name stands from its wire.
const AWAY: f64 = 4.0;

/// A line for the name of each wire, over none of the areas that are taken; `None` where there is no room.
pub(super) fn names(
    wires: &[Wire],
    name: impl Fn(&Wire) -> String,
    taken: &[Area],
    within: &Area,
) -> Vec<Option<Line>> {
    let mut taken: Vec<Area> = taken.to_vec();
    taken.extend(wires.iter().flat_map(|w| &w.pieces).map(Piece::area));
    let mut out = vec![];
    for wire in wires {
        let text = cut(&name(wire), false, BROADEST);
        let mut pieces: Vec<&Piece> = wire.pieces.iter().collect();
        // Names stand best along a row; the longest first.
        pieces.sort_by_key(|p| (!p.is_level(), -p.length(), p.from));
        let spot = pieces.iter().flat_map(|p| spots(p, &text)).find(|line| {
            let area = line.area().grown(1.0);
            let inside = area.left > within.left && area.right < within.right && area.top > within.top;
            inside && area.bottom < within.bottom && !taken.iter().any(|t| t.meets(&area))
        });
        taken.extend(spot.iter().map(Line::area));
        out.push(spot);
    }
    out
}

/// Places beside a piece, the best first.
fn spots(piece: &Piece, text: &str) -> Vec<Line> {
    let step = f64::from(STEP);
    let wide = width(text, false);
    let line = |x: f64, y: f64, anchor| Line { x, y, anchor, text: text.to_string(), bold: false };
    let [x0, y0, x1, y1] = [piece.from.x, piece.from.y, piece.to.x, piece.to.y].map(|n| f64::from(n) * step);
    let mut out = vec![];
    if piece.is_level() {
        // In the middle first, then outwards; a little beyond its ends last.
        let middle = (x0 + x1) / 2.0;
        let most = (x1 - x0) / 2.0 + wide / 2.0;
        let mut away = 0.0;
        while away <= most {
            for x in [middle + away, middle - away] {
                out.push(line(x, y0 - AWAY, Anchor::Middle));
            }
            for x in [middle + away, middle - away] {
                out.push(line(x, y0 + 0.8 * super::SIZE + AWAY, Anchor::Middle));
            }
            away += step / 2.0;
        }
        // Beyond an end, where nothing goes on.
        out.push(line(x1 + AWAY + 1.0, y0 + 0.35 * super::SIZE, Anchor::Start));
        out.push(line(x0 - AWAY - 1.0, y0 + 0.35 * super::SIZE, Anchor::End));
    } else {
        let middle = (y0 + y1) / 2.0;
        let mut away = 0.0;
        while away <= (y1 - y0) / 2.0 + super::SIZE {
            for y in [middle + away, middle - away] {
                out.push(line(x0 + AWAY + 1.0, y + 0.35 * super::SIZE, Anchor::Start));
                out.push(line(x0 - AWAY - 1.0, y + 0.35 * super::SIZE, Anchor::End));
            }
            away += step / 2.0;
        }
    }
    out
}
