//! Capacitors: more volts, the class their place asks for.

use super::{MOST, one, rating, volts as show};
use crate::checks::{Case, Change, Proposal};
use crate::finding::Way;
use crate::finding::said::Amount;
use crate::jig::{CapClass, Part, PartKind};
use crate::part::Capacitor;
use crate::standard;

/// Rated volts of X2 capacitors that are made in `farads`, rising.
fn x2_volts(farads: f64) -> Vec<f64> {
    let made = |r: &&standard::Fact| {
        let (least, most) = (r.number("min_uf"), r.number("max_uf"));
        let slack = 1e-9;
        least.is_none_or(|l| farads >= l * 1e-6 * (1.0 - slack))
            && most.is_none_or(|m| farads <= m * 1e-6 * (1.0 + slack))
    };
    let rows = standard::parts::x2_capacitor().iter().filter(made);
    let mut out: Vec<f64> = rows.filter_map(|r| r.number("rated_ac_v")).collect();
    out.sort_by(f64::total_cmp);
    out.dedup();
    out
}

/// The next ratings above `least` volts; `key` is the one it is compared with.
pub(crate) fn volts(part: &Part, least: f64, key: &'static str) -> Vec<Proposal> {
    let PartKind::Capacitor(capacitor) = &part.kind else { return vec![] };
    let Capacitor { class, capacitance, .. } = *capacitor;
    let all =
        if class.is_some() { x2_volts(capacitance) } else { standard::capacitor::dc_ratings(capacitor.is_polarised()) };
    let way = |v: f64| {
        let way = Way::Capacitor { class, volts: Amount::new(v, "V"), part: part.name.clone() };
        one(vec![rating(part, key, show(v))], way)
    };
    // Y types are sold in other ratings than these.
    let y = class.is_some_and(|c| standard::capacitor::bridges(c) >= standard::capacitor::Bridges::Basic);
    all.into_iter().filter(|v| *v >= least && !y).take(MOST).map(way).collect()
}

/// Class X2 with volts for a supply of `nominal` volts, for a place on the line.
pub(crate) fn class(case: &Case, part: &Part, nominal: f64) -> Vec<Proposal> {
    let PartKind::Capacitor(Capacitor { capacitance, voltage, class, dc_voltage, .. }) = part.kind else {
        return vec![];
    };
    if case.jig.supply.mains.is_none() || class.is_some() || dc_voltage.is_some() {
        return vec![];
    }
    let way = |v: f64| {
        let mut changes = vec![Change::of_part(&part.name, "class", CapClass::X2.word().to_string())];
        if voltage != Some(v) {
            changes.push(rating(part, "voltage", show(v)));
        }
        one(changes, Way::X2 { volts: Amount::new(v, "V"), part: part.name.clone() })
    };
    x2_volts(capacitance).into_iter().filter(|v| *v >= nominal).take(MOST).map(way).collect()
}
