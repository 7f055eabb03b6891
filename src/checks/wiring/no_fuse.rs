//! Every path from a live pin has a fuse.

use super::names::once;
use super::poles::poles;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::NoFuse;
use crate::finding::{CheckId, Said, Signal};
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::NoFuse,
    judges: &[],
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
    let Some(live) = case.nets().live() else { return };
    let poles = poles(case);
    let through = once(poles.iter().flat_map(|p| p.unfused.clone()));
    if through.is_empty() {
        return;
    }
    let pins = once(poles.iter().filter(|p| !p.unfused.is_empty()).map(|p| case.net(p.pin).to_string()));
    let draft = match case.jig.parts.iter().find(|p| through.contains(&p.name)) {
        Some(part) => case.about_part(CheckId::NoFuse, Signal::Warning, part, "across"),
        None => case.about_key(CheckId::NoFuse, Signal::Warning, "supply.plug"),
    };
    let parts = through.iter().filter(|name| case.jig.parts.iter().any(|p| p.name == **name));
    let draft = parts.fold(draft, |d, name| d.part(name));
    let draft = pins.iter().fold(draft, |d, pin| d.net(pin)).source(&rules::every_path_fused());
    out.push(draft.states(Said::NoFuse(NoFuse { pins, through, live })));
}
