//! The whole picture: plug on the left, ladders, the row of the earth, what fingers reach at the foot of the box, insulation
//! beside it.

use super::element::{Element, Glyph, Owner, Shape, elements};
use super::ladder::ladders;
use super::names::names;
use super::plug::{box_words, feed, plug};
use super::route::{Piece, Wire, wires};
use super::shelf::Room;
use super::strip::{Strip, groups};
use super::symbol::{Anchor, Line, Pin, Stand, Symbol};
use super::text::cut;
use super::{Area, Point, STEP, Way};
use crate::format::{NET_PE, Side as OfInsulation};
use crate::jig::Jig;
use crate::standard::Grade;

/// Insulation that keeps something apart.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Barrier {
    /// Its place in [`Jig::insulations`]; one for several that are alike.
    pub of: Vec<usize>,
    /// Its grade.
    pub grade: Grade,
    /// Where its sign stands.
    pub area: Area,
    /// What it says.
    pub lines: Vec<Line>,
}

/// A jig on paper.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Picture {
    /// Everything with pins.
    pub symbols: Vec<Symbol>,
    /// A wire a net.
    pub wires: Vec<Wire>,
    /// The name of each wire, where there was room for it.
    pub names: Vec<Option<Line>>,
    /// The outline of the box, where there is one.
    pub outline: Area,
    /// Insulation.
    pub barriers: Vec<Barrier>,
    /// Other words.
    pub notes: Vec<Line>,
    /// Breadth and height, points.
    pub size: [f64; 2],
    /// Whether every wire found a way and every net a place for its name.
    pub complete: bool,
}

/// Steps a ladder may be broad, and how much room is tried one after the other: beside blocks, between rows.
pub(super) const BROADEST: i32 = 84;
const ROOMS: [[i32; 2]; 6] = [[3, 3], [5, 4], [6, 6], [8, 8], [10, 11], [14, 16]];
/// Steps from the left edge to the plug, from there to the box, from the box to the ladder.
pub(super) const PLUG: i32 = 4;
const TO_BOX: i32 = 7;
const INSIDE: i32 = 2;
/// Steps above everything: a line of words and the edge of the box.
const HEAD: i32 = 4;
/// Room for the name of a wire, points.
const NAME: f64 = 50.0;
/// How far words keep from where a wire comes away from its pin, points.
const LEAVING: f64 = 3.0;
/// Steps between words and what stands beside them.
pub(super) const BESIDE: i32 = 3;

/// The picture of a jig.
pub(crate) fn picture(jig: &Jig) -> Picture {
    let elements = elements(jig);
    let mut last = None;
    for [beside, rows] in ROOMS {
        let laid = Laid::new(jig, &elements, Room { beside, rows, broadest: BROADEST });
        let picture = laid.wired(jig);
        if picture.complete {
            return picture;
        }
        // One with every wire and without a name is better than none.
        let wired = |p: &Picture| !p.wires.is_empty();
        if last.as_ref().is_none_or(|l| wired(&picture) && !wired(l)) {
            last = Some(picture);
        }
    }
    last.unwrap_or_else(|| unreachable!("a layout was tried"))
}

/// Symbols in their places, not wired yet.
pub(super) struct Laid {
    pub(super) symbols: Vec<Symbol>,
    pub(super) barriers: Vec<Barrier>,
    outline: Area,
    notes: Vec<Line>,
    size: Point,
}

impl Laid {
    fn new(jig: &Jig, elements: &[Element], room: Room) -> Laid {
        let mains = jig.supply.mains.is_some();
        let box_left = if mains { PLUG + TO_BOX } else { 2 };
        let (shelves, earthed) = ladders(elements, feed(jig, elements), NET_PE, room);
        let mut symbols = vec![];
        let mut top = HEAD + 2;
        let mut rails = None;
        for shelf in shelves.iter().filter(|s| !s.is_empty()) {
            let corner = Point { x: box_left + INSIDE, y: top };
            let (of, foot) = shelf.laid(elements, corner, room, &mut symbols);
            rails.get_or_insert(of);
            top = foot + room.rows + BESIDE;
        }
        let rails = rails.unwrap_or([top, top + 2 * HEAD]);
        if !earthed.is_empty() {
            let up = earthed.iter().map(|b| b.reach.up).max().unwrap_or(0);
            let row = top + up;
            let mut x = box_left + INSIDE;
            for block in &earthed {
                x += room.beside + block.reach.left;
                symbols.extend(block.symbols(elements, Point { x, y: row }));
                x += block.reach.right;
            }
            top = row + 2 + room.rows;
        }
        if mains {
            symbols.push(plug(jig, rails));
            top = top.max(rails[1] + 2 * HEAD);
        }
        let mut laid = Laid {
            symbols,
            barriers: vec![],
            outline: Area::around(Point { x: 0, y: 0 }, 0.0, 0.0),
            notes: vec![],
            size: Point { x: 0, y: 0 },
        };
        let foot = laid.reached(jig, Point { x: box_left + INSIDE, y: top });
        laid.close(jig, box_left, foot);
        laid
    }

    /// What fingers reach, with the insulation before it; gives the row of the foot of the box.
    fn reached(&mut self, jig: &Jig, from: Point) -> i32 {
        let mut row = Strip { x: from.x, y: from.y, high: 0, from: from.x };
        let mut told = vec![];
        for (k, touchable) in jig.touchables.iter().enumerate() {
            let mine: Vec<usize> = (0..jig.insulations.len())
                .filter(|i| {
                    !told.contains(i) && jig.insulations[*i].between.contains(&OfInsulation::Net(touchable.net))
                })
                .collect();
            told.extend(&mine);
            row.plate(self, jig, k, &groups(jig, &mine, Some(touchable.net)));
        }
        let rest: Vec<usize> = (0..jig.insulations.len()).filter(|i| !told.contains(i)).collect();
        if !rest.is_empty() {
            row.barriers(self, &groups(jig, &rest, None));
        }
        row.y + row.high
    }

    /// The outline, and how large all of it is.
    fn close(&mut self, jig: &Jig, left: i32, foot: i32) {
        let step = f64::from(STEP);
        // A wire that goes out to the right takes its name along.
        let beyond = |s: &Symbol| {
            let out = s.stand == Stand::Upright && s.pins.iter().any(|p| p.out == Way::Right);
            Area { right: s.extent().right + if out { NAME } else { 0.0 }, ..s.extent() }
        };
        let inner = self.symbols.iter().filter(|s| s.element.owner != Owner::Plug).map(beyond);
        let barriers = self.barriers.iter().flat_map(|b| &b.lines).map(Line::area);
        let right = inner.chain(barriers).map(|a| a.right).fold(f64::from(left + 20) * step, f64::max);
        let right = (right / step).ceil() + f64::from(BESIDE);
        self.outline = Area {
            left: f64::from(left) * step,
            top: f64::from(HEAD) * step - step,
            right: right * step,
            bottom: f64::from(foot) * step + step / 2.0,
        };
        let x = self.outline.left + 2.0;
        let text = cut(&box_words(jig), false, self.outline.right - x);
        self.notes.push(Line { x, y: self.outline.top - 6.0, anchor: Anchor::Start, text, bold: false });
        let low = self.symbols.iter().map(|s| s.extent().bottom).fold(self.outline.bottom, f64::max);
        self.size = Point { x: right as i32 + 2, y: (low / step).ceil() as i32 + 2 };
    }

    /// The lines of the outline.
    fn edges(&self) -> [Area; 4] {
        let Area { left, top, right, bottom } = self.outline;
        let edges = [
            [left, top, right, top],
            [left, bottom, right, bottom],
            [left, top, left, bottom],
            [right, top, right, bottom],
        ];
        edges.map(|[left, top, right, bottom]| Area { left, top, right, bottom }.grown(1.0))
    }

    fn wired(self, jig: &Jig) -> Picture {
        let step = f64::from(STEP);
        let size = [f64::from(self.size.x) * step, f64::from(self.size.y) * step];
        let all = Area { left: 0.0, top: 0.0, right: size[0], bottom: size[1] };
        let name = |w: &Wire| jig.nets[w.net].name.clone();
        let mut words: Vec<Area> = self.notes.iter().map(Line::area).collect();
        words.extend(self.barriers.iter().map(|b| b.area));
        words.extend(self.barriers.iter().flat_map(|b| &b.lines).map(Line::area));
        let mut taken = words.clone();
        for symbol in &self.symbols {
            taken.push(symbol.drawing());
            taken.extend(symbol.lines.iter().map(Line::area));
        }
        taken.extend(self.edges());
        // What ends where it begins has its name beside it before another wire comes by.
        let lone = lone(&self.symbols);
        let beside = {
            // Other wires are to come away from their pins.
            let joined = self.symbols.iter().flat_map(|s| &s.pins).filter(|p| !lone.iter().any(|l| l.net == p.net));
            let leaving = joined.map(|p| (p.at, p.at.step(p.out, 2)));
            let leaving = leaving.map(|(a, b)| Piece { from: a.min(b), to: a.max(b) }.area().grown(LEAVING));
            let taken: Vec<Area> = taken.iter().copied().chain(leaving).collect();
            names(&lone, name, &taken, &all)
        };
        words.extend(beside.iter().flatten().map(Line::area));
        taken.extend(beside.iter().flatten().map(Line::area));
        let wires = wires(&self.symbols, &words, self.size);
        let complete = wires.is_ok();
        let wires = wires.unwrap_or_default();
        let (alone, others): (Vec<Wire>, Vec<Wire>) =
            wires.into_iter().partition(|w| lone.iter().any(|l| l.net == w.net));
        taken.extend(alone.iter().flat_map(|w| &w.pieces).map(Piece::area));
        let mut names = names(&others, name, &taken, &all);
        names.extend(alone.iter().map(|w| lone.iter().position(|l| l.net == w.net).and_then(|k| beside[k].clone())));
        let wires = [others, alone].concat();
        let complete = complete && names.iter().all(Option::is_some);
        Picture {
            symbols: self.symbols,
            wires,
            names,
            outline: self.outline,
            barriers: self.barriers,
            notes: self.notes,
            size,
            complete,
        }
    }
}

/// The wires of nets that have one pin only.
fn lone(symbols: &[Symbol]) -> Vec<Wire> {
    let pins = || symbols.iter().flat_map(|s| &s.pins);
    let alone = pins().filter(|p| pins().filter(|other| other.net == p.net).count() == 1);
    let stub = |p: &Pin| {
        let end = p.at.step(p.out, 1);
        Wire { net: p.net, pieces: vec![Piece { from: p.at.min(end), to: p.at.max(end) }], joints: vec![] }
    };
    alone.map(stub).collect()
}

/// Whether a symbol is a contact, drawn open.
pub(crate) fn is_contact(symbol: &Symbol) -> bool {
    matches!(symbol.element.shape, Shape::Pair(Glyph::Contact) | Shape::Changeover | Shape::Matrix)
}
