//! The whole picture: plug on the left, ladders, the row of the earth, what fingers reach at the foot of the box, insulation
//! beside it.

use super::element::{Element, End, Glyph, Owner, Shape, elements};
use super::ladder::ladders;
use super::names::names;
use super::route::{Piece, Wire, wires};
use super::shelf::Room;
use super::symbol::{Anchor, LEADING, Line, Pin, Side, Stand, Symbol};
use super::text::{SIZE, cut, width};
use super::{Area, Point, STEP, Way};
use crate::format::{LoadKind, NET_L, NET_N, NET_PE, NetId, Side as OfInsulation};
use crate::jig::{Jig, PartKind};
use crate::nets::has_earth;
use crate::quantity::{Kind, format};
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
const BROADEST: i32 = 84;
const ROOMS: [[i32; 2]; 6] = [[3, 3], [5, 4], [6, 6], [8, 8], [10, 11], [14, 16]];
/// Steps from the left edge to the plug, from there to the box, from the box to the ladder.
const PLUG: i32 = 4;
const TO_BOX: i32 = 7;
const INSIDE: i32 = 2;
/// Steps above everything: a line of words and the edge of the box.
const HEAD: i32 = 4;
/// Room for the name of a wire, points.
const NAME: f64 = 50.0;
/// How far words keep from where a wire comes away from its pin, points.
const LEAVING: f64 = 3.0;
/// Steps between words and what stands beside them.
const BESIDE: i32 = 3;

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
struct Laid {
    symbols: Vec<Symbol>,
    barriers: Vec<Barrier>,
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

/// A row of plates and signs of insulation.
struct Strip {
    x: i32,
    y: i32,
    high: i32,
    from: i32,
}

/// Insulation of one grade and size, and the words for it.
type Group = (Vec<usize>, Grade, Vec<String>);

impl Strip {
    /// Makes room for something so broad and high.
    fn room(&mut self, broad: i32) {
        if self.x > self.from && self.x + broad > self.from + BROADEST {
            self.x = self.from;
            self.y += self.high + PLATE_WORDS;
            self.high = 0;
        }
    }

    fn plate(&mut self, laid: &mut Laid, jig: &Jig, k: usize, groups: &[Group]) {
        let touchable = &jig.touchables[k];
        let name = cut(&touchable.name, true, PLATE_BROADEST);
        let ends = vec![End { net: touchable.net, number: 1, mark: String::new() }];
        let words = vec![name, "can be touched".to_string()];
        let broad = words.iter().map(|w| width(w, true)).fold(0.0, f64::max);
        let element = Element {
            owner: Owner::Touchable(k),
            pole: None,
            shape: Shape::Plate,
            ends,
            words,
            rank: 0,
            is_inlet: false,
        };
        let half = (broad / f64::from(STEP) / 2.0).ceil() as i32;
        let (signs, high) = extent(groups);
        self.room(2 * half + BESIDE + signs);
        self.high = self.high.max(high + 2);
        // The plate is the foot of the box; its wire comes down to it beside the signs.
        let at = Point { x: self.x + half, y: self.y + self.high };
        laid.symbols.push(Symbol::new(&element, at, Stand::Upright, false, Side::Below));
        let from = Point { x: at.x + BESIDE, y: self.y };
        put_signs(laid, groups, from);
        self.x = (from.x + signs).max(at.x + half) + BESIDE;
    }

    fn barriers(&mut self, laid: &mut Laid, groups: &[Group]) {
        let (signs, high) = extent(groups);
        self.room(signs);
        put_signs(laid, groups, Point { x: self.x, y: self.y });
        self.high = self.high.max(high + 1);
        self.x += signs + BESIDE;
    }
}

/// Steps from a plate to below its words.
const PLATE_WORDS: i32 = 5;
/// The broadest name of a touchable.
const PLATE_BROADEST: f64 = 200.0;
/// The broadest words beside a sign of insulation, and its own size.
const SIGN_BROADEST: f64 = 300.0;
const SIGN: f64 = 18.0;

/// How broad and high signs and their words are, in steps.
fn extent(groups: &[Group]) -> (i32, i32) {
    let words = groups.iter().flat_map(|(.., w)| w);
    let broad = words.clone().map(|w| width(w, false).min(SIGN_BROADEST) + SIGN + 10.0).fold(0.0, f64::max);
    let high = words.count() as f64 * LEADING + groups.len() as f64 * 6.0;
    let steps = |points: f64| (points / f64::from(STEP)).ceil() as i32;
    (steps(broad), steps(high))
}

fn put_signs(laid: &mut Laid, groups: &[Group], from: Point) {
    let (left, mut top) = (f64::from(from.x * STEP), f64::from(from.y * STEP));
    for (of, grade, words) in groups {
        let high = words.len() as f64 * LEADING;
        let area = Area { left, top, right: left + SIGN, bottom: top + high };
        let line = |(k, text): (usize, &String)| Line {
            x: left + SIGN + 6.0,
            y: top + k as f64 * LEADING + 0.85 * SIZE,
            anchor: Anchor::Start,
            text: cut(text, false, SIGN_BROADEST),
            bold: false,
        };
        let lines = words.iter().enumerate().map(line).collect();
        laid.barriers.push(Barrier { of: of.clone(), grade: *grade, area, lines });
        top += high + 6.0;
    }
}

/// Insulation that is alike, told once; `but` is the net that needs no telling.
fn groups(jig: &Jig, of: &[usize], but: Option<NetId>) -> Vec<Group> {
    let mut groups: Vec<(Vec<usize>, Vec<String>)> = vec![];
    let alike = |a: usize, b: usize| {
        let [a, b] = [a, b].map(|k| &jig.insulations[k]);
        (a.grade, a.clearance, a.creepage) == (b.grade, b.clearance, b.creepage)
    };
    for k in of {
        let name = between_words(jig, *k, but);
        match groups.iter_mut().find(|(known, _)| but.is_some() && alike(known[0], *k)) {
            Some((known, names)) => {
                known.push(*k);
                names.push(name);
            }
            None => groups.push((vec![*k], vec![name])),
        }
    }
    let told = |(of, names): (Vec<usize>, Vec<String>)| {
        let first = &jig.insulations[of[0]];
        let preposition = if but.is_some() { "from" } else { "between" };
        let mut words = vec![format!("{} insulation {preposition} {}", first.grade.word(), names[0])];
        for name in &names[1..] {
            let last = words.len() - 1;
            words[last].push(',');
            let more = format!("{} {name}", words[last]);
            if width(&more, false) <= SIGN_BROADEST { words[last] = more } else { words.push(name.clone()) }
        }
        let metres = |m: Option<f64>| m.map(|m| format(m, Kind::Length));
        match (metres(first.clearance), metres(first.creepage)) {
            (Some(air), Some(surface)) => words.push(format!("{air} through air, {surface} over surfaces")),
            (Some(air), None) => words.push(format!("{air} through air")),
            (None, Some(surface)) => words.push(format!("{surface} over surfaces")),
            (None, None) => {}
        }
        (of, first.grade, words)
    };
    groups.into_iter().map(told).collect()
}

fn between_words(jig: &Jig, k: usize, but: Option<NetId>) -> String {
    let name = |side: &OfInsulation| match side {
        OfInsulation::Mains => "mains".to_string(),
        OfInsulation::Net(net) => jig.nets[*net].name.clone(),
    };
    let [a, b] = &jig.insulations[k].between;
    match but {
        Some(net) if *a == OfInsulation::Net(net) => name(b),
        Some(net) if *b == OfInsulation::Net(net) => name(a),
        _ => format!("{} and {}", name(a), name(b)),
    }
}

/// The pair of nets that everything is fed from: the pins of the plug, else what stands charged, else the first two there are.
fn feed(jig: &Jig, elements: &[Element]) -> [NetId; 2] {
    if jig.supply.mains.is_some() {
        return [NET_L, NET_N];
    }
    let charged = |o: &&crate::jig::Outlet| o.loads.iter().any(|l| matches!(l.kind, LoadKind::Charged(..)));
    let outlet = jig.outlets.iter().find(charged).map(|o| o.across);
    let capacitor = || {
        jig.parts.iter().find_map(|p| match &p.kind {
            PartKind::Capacitor(c) if c.charged.is_some() => Some(c.across),
            _ => None,
        })
    };
    let any = || {
        let two = elements.iter().filter(|e| e.conducts() && e.ends.len() > 1).map(|e| [e.ends[0].net, e.ends[1].net]);
        two.into_iter().find(|[a, b]| a != b)
    };
    outlet.or_else(capacitor).or_else(any).unwrap_or([NET_L, NET_N])
}

/// The plug, its pins beside the rails.
fn plug(jig: &Jig, rails: [i32; 2]) -> Symbol {
    let supply = &jig.supply;
    let end = |net: NetId, mark: &str| End { net, number: net + 1, mark: mark.to_string() };
    let mut ends = vec![end(NET_L, "L"), end(NET_N, "N")];
    if has_earth(jig) {
        ends.push(end(NET_PE, "PE"));
    }
    let element =
        Element { owner: Owner::Plug, pole: None, shape: Shape::Plug, ends, words: vec![], rank: 0, is_inlet: false };
    let last = rails[1] + 4;
    let centre = Point { x: PLUG, y: (rails[0] + last) / 2 };
    let mut symbol = Symbol::new(&element, centre, Stand::Upright, false, Side::Above);
    let rows = [rails[0], rails[1], last];
    symbol.pins.iter_mut().zip(rows).for_each(|(pin, y)| pin.at.y = y);
    let step = f64::from(STEP);
    symbol.body = Area {
        left: f64::from(PLUG - 2) * step,
        top: f64::from(rails[0] - 2) * step,
        right: f64::from(PLUG + 2) * step,
        bottom: f64::from(last + 2) * step,
    };
    let name = match (&supply.plug, supply.fixed) {
        (Some(plug), _) => format!("Plug {}", plug.letter),
        (None, true) => "Fixed".to_string(),
        (None, false) => "Probe".to_string(),
    };
    let mut words = vec![name];
    words.extend(supply.plug_fuse.map(|a| format!("fuse {}", format(a, Kind::Current))));
    if supply.reversible() {
        words.push("L or N".into());
        words.push("is live".into());
    }
    let x = f64::from(PLUG) * step;
    let top = symbol.body.bottom + LEADING;
    let line = |(k, text): (usize, String)| Line {
        x,
        y: top + k as f64 * LEADING,
        anchor: Anchor::Middle,
        text: cut(&text, k == 0, 2.0 * x),
        bold: k == 0,
    };
    symbol.lines = words.into_iter().enumerate().map(line).collect();
    symbol
}

fn box_words(jig: &Jig) -> String {
    use crate::jig::{Class, Material, OpensWith};
    let e = &jig.enclosure;
    let material = match e.material {
        Some(Material::Insulating) => "insulating box",
        Some(Material::Metal) => "metal box",
        Some(Material::Open) => "no box",
        None => "box",
    };
    let class = e.class.map(|c| match c {
        Class::I => "class I",
        Class::II => "class II",
        Class::III => "class III",
    });
    let opens = e.opens_with.map(|o| match o {
        OpensWith::Tool => "opens with a tool",
        OpensWith::Hand => "opens by hand",
    });
    let words: Vec<&str> = std::iter::once(material).chain(class).chain(opens).collect();
    words.join(", ")
}

/// Whether a symbol is a contact, drawn open.
pub(crate) fn is_contact(symbol: &Symbol) -> bool {
    matches!(symbol.element.shape, Shape::Pair(Glyph::Contact) | Shape::Changeover | Shape::Matrix)
}
