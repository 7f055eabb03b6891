//! Lamps: less current through what stands in series, a diode the other way round.

use super::{MOST, amperes, free_name, nets, ohms, one, text, volts};
use crate::checks::{Case, Change, Proposal};
use crate::finding::said::Amount;
use crate::finding::{Quantity, Way};
use crate::jig::{Part, PartKind};
use crate::part::{Capacitor, Led, Resistor};
use crate::quantity::{Kind as Unit, format};
use crate::standard::{self, Level, Row, preferred};

/// How far the current of what is in series may be from the lamp's own: a diode beside the lamp takes one half-wave, so
/// the r.m.s. current before both is √2 times the lamp's.
const NEAR: (f64, f64) = (0.95, 1.5);

/// Less current by `factor` (above 1): the resistors in series raised, or the series capacitor lowered.
pub(crate) fn less_current(case: &Case, k: usize, factor: f64) -> Vec<Proposal> {
    let items = &case.survey.model.items;
    let Some(lamp) = case.nominal(k, Quantity::CurrentRms).filter(|a| *a > 0.0) else { return vec![] };
    let series =
        |i: &usize| case.nominal(*i, Quantity::CurrentRms).is_some_and(|a| a >= NEAR.0 * lamp && a <= NEAR.1 * lamp);
    let drop = |i: usize| case.nominal(i, Quantity::VoltageRms).unwrap_or(0.0);
    let all: Vec<usize> = (0..items.len()).filter(|i| *i != k).filter(series).collect();
    let Some(main) = all
        .iter()
        .copied()
        .filter(|i| matches!(case.jig.parts[items[*i].part].kind, PartKind::Resistor(_) | PartKind::Capacitor(_)))
        .max_by(|a, b| drop(*a).total_cmp(&drop(*b)))
    else {
        return vec![];
    };
    let whole = |i: &usize| case.jig.parts.get(items[*i].part);
    if let PartKind::Capacitor(Capacitor { capacitance, .. }) = case.jig.parts[items[main].part].kind {
        let part = &case.jig.parts[items[main].part];
        let mut c = preferred::nearest_at_most(capacitance / factor, 6);
        let mut out = vec![];
        while let Some(farads) = c.filter(|_| out.len() < MOST) {
            let value = format(farads, Unit::Capacitance);
            let change = Change::of_part(&part.name, "capacitance", value);
            out.push(one(vec![change], Way::Values(vec![(Amount::new(farads, "F"), part.name.clone())])));
            c = preferred::neighbours(farads, 6).map(|n| n.0);
        }
        return out;
    }
    // A string shares its volts: what drops next to nothing is there for something else.
    let string: Vec<&Part> = all.iter().filter(|i| drop(**i) > 0.1 * drop(main)).filter_map(whole).collect();
    let raised = |more: f64| {
        let one_of = |p: &&Part| {
            let PartKind::Resistor(Resistor { resistance, .. }) = p.kind else { return None };
            Some((p.name.clone(), preferred::nearest_at_least(resistance * factor * more, 24)?))
        };
        let each: Vec<(String, f64)> = string.iter().filter_map(one_of).collect();
        let changes = each.iter().map(|(n, r)| Change::of_part(n, "resistance", ohms(*r))).collect();
        one(changes, Way::Values(each.into_iter().map(|(name, r)| (Amount::new(r, "Ω"), name)).collect()))
    };
    [1.0, 1.1, 1.3].into_iter().map(raised).filter(|p| !p.changes.is_empty()).collect()
}

/// A diode of the rectifier table the other way round across an LED.
pub(crate) fn against_reverse(case: &Case, part: &Part) -> Vec<Proposal> {
    let PartKind::Led(Led { across, .. }) = part.kind else { return vec![] };
    let crest = case.jig.supply.mains.as_ref().map_or(0.0, |m| m.crest(Level::High));
    let rows = standard::parts::rectifier().iter().filter(|r| r.peak_reverse_v >= crest);
    let Some(row) = rows.min_by(|a, b| a.peak_reverse_v.total_cmp(&b.peak_reverse_v)) else { return vec![] };
    let name = free_name(case, &format!("D{}", part.name), &[]);
    let keys = vec![
        ("kind", text("diode")),
        ("across", nets(case.net(across[1]), case.net(across[0]))),
        ("voltage", text(volts(row.peak_reverse_v))),
        ("current", text(amperes(row.mean_forward_a))),
        ("surge", text(amperes(row.surge_8ms_a))),
    ];
    let way = Way::DiodeAcross { diode: row.id().to_string(), led: part.name.clone() };
    vec![one(vec![Change::Add { behind: part.name.clone(), name, keys }], way)]
}
