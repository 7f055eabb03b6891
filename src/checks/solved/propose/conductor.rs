//! Wires, cords, contacts: more area, more volts, more amperes.

use super::{MOST, amperes, one, rating, text, volts};
use crate::checks::{Change, Proposal, Table};
use crate::finding::Way;
use crate::finding::said::Amount;
use crate::jig::Part;
use crate::quantity::{Kind as Unit, format};
use crate::standard;

/// Areas of the cord table, rising, that carry `current` amperes.
fn areas(current: f64) -> Vec<f64> {
    let rows = standard::cord::uk_cord().iter().filter(|r| r.current_a >= current && !r.id.ends_with("old"));
    let mut out: Vec<f64> = rows.map(|r| r.area_mm2 * 1e-6).collect();
    out.sort_by(f64::total_cmp);
    out
}

fn area(a: f64) -> String {
    format(a, Unit::Area)
}

fn wire(part: &Part, areas: impl Iterator<Item = f64>) -> Vec<Proposal> {
    let way = |a: f64| {
        let way = Way::Wire { area: Amount::new(a, "m²"), part: part.name.clone() };
        one(vec![rating(part, "area", area(a))], way)
    };
    areas.take(MOST).map(way).collect()
}

/// The next areas above `now` that carry `current` amperes.
pub(crate) fn thicker(part: &Part, now: f64, current: f64) -> Vec<Proposal> {
    wire(part, areas(current).into_iter().filter(|a| *a > now * 1.005))
}

/// An earth wire of that area.
pub(crate) fn earth_wire(part: &Part, least: f64) -> Vec<Proposal> {
    wire(part, std::iter::once(least))
}

/// A cord of at least that area.
pub(crate) fn cord(least: f64) -> Vec<Proposal> {
    let way = |a: f64| {
        let change = Change::Set { table: Table::Cord, key: "area", value: text(area(a)) };
        one(vec![change], Way::Cord { area: Amount::new(a, "m²") })
    };
    areas(0.0).into_iter().filter(|a| *a >= least * 0.995).take(MOST).map(way).collect()
}

/// Volts that fuses and contacts for the mains are sold for, rising.
fn mains_volts() -> Vec<f64> {
    let iec = standard::fuse::sheet().iter().map(|s| s.rated_v);
    let mut out: Vec<f64> = iec.chain(standard::fuse::ul_breaking().iter().map(|r| r.voltage_v)).collect();
    out.sort_by(f64::total_cmp);
    out.dedup();
    out
}

fn rated(part: &Part, value: f64, unit: &'static str) -> Way {
    Way::Rated { kind: part.kind.word(), rating: Amount::new(value, unit), part: part.name.clone() }
}

/// The next rated volts for a switch, fuse or wire.
pub(crate) fn contact_volts(part: &Part, least: f64) -> Vec<Proposal> {
    let way = |v: f64| one(vec![rating(part, "voltage", volts(v))], rated(part, v, "V"));
    mains_volts().into_iter().filter(|v| *v >= least * (1.0 - 1e-3)).take(1).map(way).collect()
}

/// The next rated amperes of the series for a switch or the like.
pub(crate) fn current_rating(part: &Part, least: f64) -> Vec<Proposal> {
    let way = |a: f64| one(vec![rating(part, "current", amperes(a))], rated(part, a, "A"));
    standard::fuse::ratings().into_iter().filter(|a| *a >= least).take(2).map(way).collect()
}
