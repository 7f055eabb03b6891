//! Every path from a live pin has a fuse.

use super::graph::{Wiring, once};
use super::poles::{Pole, poles};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{NET_L, NetId};
use crate::standard::rules;
use crate::wording::join::list;

pub(super) const CHECK: Check = Check {
    id: CheckId::NoFuse,
    about: About {
        looks_at: "Whether every path from a pin that can be live to the other pin or to earth goes through a fuse.",
        limit: "None without a fuse, save through protective impedance: at the highest mains at most {touch.current_limit.iec61010_normal_ac.ac_rms_ma}, and {touch.current_limit.iec61010_fault.ac_rms_ma} with any one resistor shorted.",
        rows: &["rules.rule.every_path_fused"],
        how: "Walks from each live pin through everything that is no fuse. Current of a path = highest volts to earth / sum of its resistors (the largest one left out for the fault).",
        mend: "Put a fuse directly behind the plug, before the first part; on a plug that goes in both ways one in each pole.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let w = Wiring::new(case.jig);
    let poles = poles(case, &w);
    let unfused = once(poles.iter().flat_map(|p| p.1.unfused.clone()));
    if !unfused.is_empty() {
        out.push(no_fuse(case, &w, &poles, &unfused));
    }
}

fn no_fuse(case: &Case, w: &Wiring, poles: &[(NetId, Pole)], unfused: &[String]) -> Draft {
    let pins = once(poles.iter().filter(|p| !p.1.unfused.is_empty()).map(|p| case.net(p.0).to_string()));
    let first = case.jig.parts.iter().find(|p| unfused.contains(&p.name));
    let mut d = match first {
        Some(part) => case.about_part(CheckId::NoFuse, Signal::Warning, part, "across"),
        None => case.about_key(CheckId::NoFuse, Signal::Warning, "supply.plug"),
    };
    for name in unfused.iter().filter(|n| case.jig.parts.iter().any(|p| p.name == **n)) {
        d = d.part(name);
    }
    d = pins.iter().fold(d, |d, p| d.net(p));
    let where_ = match (w.live_pins().len(), w.line_to_line()) {
        (1, _) => format!("put a fuse directly behind {}, before {}", case.net(NET_L), list(unfused)),
        (_, true) => "put a fuse directly behind L and another behind N (both are live), before anything else".into(),
        _ => "put a fuse directly behind L and another behind N (the plug leaves open which is live), before anything else".into(),
    };
    d.source(&rules::every_path_fused()).says(
        format!(
            "the path from {} through {} has no fuse: a short there is left to the branch breaker",
            list(&pins),
            list(unfused)
        ),
        where_,
    )
}
