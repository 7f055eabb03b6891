//! Bleeders across what stays charged.

use super::resistor::fitting;
use super::{free_name, nets, ohms, one, text, volts, watts};
use crate::checks::{Case, Change, Proposal};
use crate::finding::way::Fitted;
use crate::finding::{Quantity, Situation, Way};
use crate::jig::{Part, PartKind};
use crate::part::Capacitor;
use crate::standard::discharge::plug_pin_rules;
use crate::standard::{Level, bench, preferred};

/// Two resistors side by side across a capacitor, each by itself quick enough for both published rules, so that one that
/// opens leaves the other.
pub(crate) fn bleeders(case: &Case, part: &Part, farads: f64) -> Vec<Proposal> {
    let PartKind::Capacitor(Capacitor { across, .. }) = part.kind else { return vec![] };
    let Some(k) = case.survey.model.items.iter().position(|i| case.jig.parts[i.part].name == part.name) else {
        return vec![];
    };
    let Some(mains) = case.jig.supply.mains.as_ref() else { return vec![] };
    let crest = mains.crest(Level::High);
    let time = |r: &crate::standard::discharge::PinRule| r.after_s / (farads * (crest / r.limit_v).ln().max(0.1));
    let needed = plug_pin_rules().iter().map(time).fold(f64::INFINITY, f64::min);
    let worst = |kind| case.worst(k, Quantity::VoltageRms, kind).map_or(0.0, |s| s.value);
    let (normal, fault) = (worst(Situation::Normal), worst(Situation::SingleFault));
    let band = 1.0 - bench::resistor_tolerance().value;
    let each = preferred::nearest_at_most(band * needed, 12);
    // The survey has a last word: where other ways in charge it too, the next values below.
    let values = each.into_iter().flat_map(|e| [Some(e), preferred::nearest_at_most(e / 1.3, 12)]).flatten();
    values
        .filter_map(|each| {
            let (w, v) = fitting(case, each, normal, fault)?;
            let mut names: Vec<String> = vec![];
            let mut changes = vec![];
            for _ in 0..2 {
                let name = free_name(case, &format!("R{}", part.name), &names);
                let keys = vec![
                    ("kind", text("resistor")),
                    ("across", nets(case.net(across[0]), case.net(across[1]))),
                    ("resistance", text(ohms(each))),
                    ("power", text(watts(w))),
                    ("voltage", text(volts(v))),
                ];
                let behind = names.last().unwrap_or(&part.name).clone();
                changes.push(Change::Add { behind, name: name.clone(), keys });
                names.push(name);
            }
            let fitted = Fitted { ohms: each, watts: Some(w), volts: Some(v) };
            Some(one(changes, Way::Bleeders { each: fitted, across: part.name.clone() }))
        })
        .collect()
}
