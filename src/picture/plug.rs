//! Where a jig is fed from: its plug, and the words for its box. Must not know how wires run.

use super::element::{Element, End, Owner, Shape};
use super::sheet::PLUG;
use super::symbol::{Anchor, LEADING, Line, Side, Stand, Symbol};
use super::text::cut;
use super::{Area, Point, STEP};
use crate::format::{LoadKind, NET_L, NET_N, NET_PE, NetId};
use crate::jig::{Jig, PartKind};
use crate::nets::has_earth;
use crate::quantity::{Kind, format};

/// The pair of nets that everything is fed from: the pins of the plug, else what stands charged, else the first two there are.
pub(super) fn feed(jig: &Jig, elements: &[Element]) -> [NetId; 2] {
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
pub(super) fn plug(jig: &Jig, rails: [i32; 2]) -> Symbol {
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

/// The box in words.
pub(super) fn box_words(jig: &Jig) -> String {
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
