//! Ratings that the other checks need and the file does not give. One list of what each kind of part needs.

use super::hazard::hazardous_nets;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::RatingMissing;
use crate::finding::{CheckId, Quantity, Said, Signal, Situation};
use crate::jig::{NET_L, NET_N, Part, PartKind};
use crate::part::When;
use crate::standard::{self, rules};

pub(super) const CHECK: Check = Check {
    id: CheckId::RatingMissing,
    judges: &[],
    about: About {
        looks_at: "Ratings of parts that other checks compare with.",
        limit: "Every rating a check needs is stated.",
        rows: &["rules.rule.ratings_stated"],
        how: "A list of keys for each kind of part; volts are asked for only where more than a harmless voltage can stand.",
        mend: "Read the rating off the part or its data sheet and write it down.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let nets = case.nets();
    let hazard = hazardous_nets(case);
    let pole = |pin: usize| nets.hard_joined(pin);
    let (l, n) = (pole(NET_L), pole(NET_N));
    for p in &case.jig.parts {
        let ends = p.kind.terminals();
        let live = hazard.has_any(&ends);
        let across = |a: usize, b: usize| (l.has(a) && n.has(b)) || (l.has(b) && n.has(a));
        let line = nets.has_mains() && matches!(ends[..], [a, b] if across(a, b));
        let earth = nets.has_mains() && nets.earth().has_any(&ends);
        let here = |when| match when {
            When::Always => true,
            When::Live => live,
            When::AcrossMains => line,
            When::LiveOrEarth => live || earth,
        };
        let spared = |key: &str| key == "voltage" && bears_little(case, p);
        let lacking = p.kind.wanted().into_iter().filter(|w| !w.stated && here(w.when) && !spared(w.key));
        let keys: Vec<&str> = lacking.map(|w| w.key).collect();
        if !keys.is_empty() {
            out.push(of_part(case, p, keys));
        }
    }
    let s = &case.jig.supply;
    let head =
        |key: &str| case.about_key(CheckId::RatingMissing, Signal::Caution, key).source(&rules::ratings_stated());
    if s.plug.as_ref().is_some_and(|p| p.fused) && s.plug_fuse.is_none() {
        out.push(head("supply.plug").states(Said::RatingMissing(RatingMissing::PlugFuse)));
    }
    if let Some(c) = &s.cord {
        let keys = [("area", c.area.is_none()), ("length", c.length.is_none())];
        let keys: Vec<&str> = keys.iter().filter(|k| k.1).map(|k| k.0).collect();
        if !keys.is_empty() {
            out.push(head("supply.cord").states(Said::RatingMissing(RatingMissing::Cord { keys })));
        }
    }
}

/// Whether a resistor, such as a shunt, never has as many volts across it as the smallest one made
/// bears, whatever fails beside it.
fn bears_little(case: &Case, part: &Part) -> bool {
    let kinds = [Situation::Normal, Situation::SingleFault, Situation::Transient];
    let own = case.survey.model.items.iter().enumerate().filter(|(_, i)| case.jig.parts[i.part].name == part.name);
    let volts = own.flat_map(|(k, _)| kinds.map(|kind| case.worst(k, Quantity::VoltagePeak, kind)));
    let least =
        standard::resistor::resistor().iter().filter_map(|size| size.limiting_rms()).fold(f64::INFINITY, f64::min);
    matches!(part.kind, PartKind::Resistor(_)) && volts.flatten().all(|s| s.value < least)
}

fn of_part(case: &Case, p: &Part, keys: Vec<&'static str>) -> Draft {
    let proposals = crate::checks::solved::propose::missing_ratings(case, p, &keys);
    case.about_part(CheckId::RatingMissing, Signal::Caution, p, "kind")
        .source(&rules::ratings_stated())
        .states(Said::RatingMissing(RatingMissing::Part { part: p.name.clone(), keys }))
        .proposes(proposals)
}
