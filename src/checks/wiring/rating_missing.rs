//! Ratings that the other checks need and the file does not give. One list of what each kind of part needs.

use super::barrier::hazardous_nets;
use super::graph::{Link, Nets, Wiring};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{NET_L, NET_N, NET_PE, Part};
use crate::part::When;
use crate::standard::rules;
use crate::wording::join::list;

pub(super) const CHECK: Check = Check {
    id: CheckId::RatingMissing,
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
    let w = Wiring::new(case.jig);
    let hazard = hazardous_nets(case, &w);
    let pole = |pin: usize| -> Nets { w.flood(&[pin], &w.none(), &|e| e.is_hard() && e.link != Link::Body) };
    let (l, n) = (pole(NET_L), pole(NET_N));
    let mains = case.jig.supply.mains.is_some();
    let earthed = w.wired(NET_PE);
    for p in &case.jig.parts {
        let ends = p.kind.terminals();
        let live = ends.iter().any(|e| hazard[*e]);
        let line = mains && matches!(ends[..], [a, b] if (l[a] && n[b]) || (l[b] && n[a]));
        let earth = mains && ends.iter().any(|e| earthed[*e]);
        let here = |when| match when {
            When::Always => true,
            When::Live => live,
            When::AcrossMains => line,
            When::LiveOrEarth => live || earth,
        };
        let lacking = p.kind.wanted().into_iter().filter(|w| !w.stated && here(w.when));
        let keys: Vec<&str> = lacking.map(|w| w.key).collect();
        if !keys.is_empty() {
            out.push(finding(case, p, &keys));
        }
    }
    let s = &case.jig.supply;
    let head =
        |key: &str| case.about_key(CheckId::RatingMissing, Signal::Caution, key).source(&rules::ratings_stated());
    if s.plug.as_ref().is_some_and(|p| p.fused) && s.plug_fuse.is_none() {
        out.push(head("supply.plug").says(
            "the plug holds a fuse, but the file does not say of how many amperes, so it cannot be counted on",
            "write plug-fuse = \"3 A\" (or what is in the plug)",
        ));
    }
    if let Some(c) = s.cord.as_ref().filter(|c| c.area.is_none() || c.length.is_none()) {
        let keys = [("area", c.area.is_none()), ("length", c.length.is_none())];
        let keys: Vec<String> = keys.iter().filter(|k| k.1).map(|k| k.0.to_string()).collect();
        out.push(head("supply.cord").says(
            format!("the cord states no {}, so what it carries cannot be judged", list(&keys)),
            format!("write {} in cord", list(&keys)),
        ));
    }
}

fn finding(case: &Case, p: &Part, keys: &[&str]) -> Draft {
    let words: Vec<String> = keys.iter().map(|k| (*k).to_string()).collect();
    case.about_part(CheckId::RatingMissing, Signal::Caution, p, "kind")
        .source(&rules::ratings_stated())
        .says(
            format!("{} states no {}, so it was not judged by that", p.name, list(&words)),
            format!("read {} off the part or its data sheet and write it down", list(&words)),
        )
        .proposes(crate::checks::solved::propose::missing_ratings(case, p, keys))
}
