//! What stands below the ladder: plates of what can be touched, and signs of insulation. Must not know how wires run.

use super::element::{Element, End, Owner, Shape};
use super::sheet::{BESIDE, BROADEST, Barrier, Laid};
use super::symbol::{Anchor, LEADING, Line, Side, Stand, Symbol};
use super::text::{SIZE, cut, width};
use super::{Area, Point, STEP};
use crate::format::{NetId, Side as OfInsulation};
use crate::jig::Jig;
use crate::quantity::{Kind, format};
use crate::standard::Grade;

/// A row of plates and signs of insulation.
pub(super) struct Strip {
    /// Where the next one stands.
    pub(super) x: i32,
    /// The row.
    pub(super) y: i32,
    /// How high the row is so far.
    pub(super) high: i32,
    /// Where rows begin.
    pub(super) from: i32,
}

/// Insulation of one grade and size, and the words for it.
pub(super) type Group = (Vec<usize>, Grade, Vec<String>);

impl Strip {
    /// Makes room for something so broad and high.
    fn room(&mut self, broad: i32) {
        if self.x > self.from && self.x + broad > self.from + BROADEST {
            self.x = self.from;
            self.y += self.high + PLATE_WORDS;
            self.high = 0;
        }
    }

    /// A touchable thing, with what keeps it off beside it.
    pub(super) fn plate(&mut self, laid: &mut Laid, jig: &Jig, k: usize, groups: &[Group]) {
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

    /// Insulation of nothing touchable.
    pub(super) fn barriers(&mut self, laid: &mut Laid, groups: &[Group]) {
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
pub(super) fn groups(jig: &Jig, of: &[usize], but: Option<NetId>) -> Vec<Group> {
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
