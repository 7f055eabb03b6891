//! Nothing that can open stands in the protective conductor.

use super::bonding;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::EarthBrokenByPart;
use crate::finding::{CheckId, Said, Signal};
use crate::jig::{NET_L, NET_N};
use crate::part::Link;
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::EarthBrokenByPart,
    judges: &[],
    about: About {
        looks_at: "A fuse, switch or part between metal and the protective earth.",
        limit: "Nothing that can open stands in the protective conductor.",
        rows: &["rules.rule.earth_path"],
        how: "Walks from the metal to PE over wires alone, then over parts too.",
        mend: "Bond the metal to PE with a wire of its own.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    fuses_in_earth(case, out);
    for u in bonding::unbonded(case).into_iter().filter(|u| !u.through.is_empty()) {
        let draft = bonding::draft(case, CheckId::EarthBrokenByPart, u.touchable);
        let draft = u.through.iter().fold(draft, |d, p| d.part(p));
        let said = EarthBrokenByPart::Metal { touchable: u.touchable.name.clone(), through: u.through };
        out.push(draft.states(Said::EarthBrokenByPart(said)));
    }
}

/// A fuse belongs nowhere in the protective conductor.
fn fuses_in_earth(case: &Case, out: &mut Vec<Draft>) {
    let nets = case.nets();
    if !nets.has_mains() {
        return;
    }
    let earth = nets.earth();
    for e in nets.edges().iter().filter(|e| matches!(e.link, Link::Fuse(_) | Link::ThermalFuse)) {
        let beyond = if earth.has(e.ends[0]) { e.ends[1] } else { e.ends[0] };
        let metal = nets.wired(beyond);
        let told = case.jig.is_class_one() && case.jig.touchables.iter().any(|t| metal.has(t.net));
        if earth.has(e.ends[0]) != earth.has(e.ends[1])
            && !told
            && ![NET_L, NET_N].contains(&beyond)
            && let Some(part) = e.part().map(|k| &case.jig.parts[k])
        {
            let draft = case.about_part(CheckId::EarthBrokenByPart, Signal::Warning, part, "across").net("PE");
            let said = EarthBrokenByPart::Fuse { part: part.name.clone() };
            out.push(draft.source(&rules::earth_path()).states(Said::EarthBrokenByPart(said)));
        }
    }
}
