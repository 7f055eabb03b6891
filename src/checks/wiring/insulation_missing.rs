//! Insulation between hands and hazardous nets that nobody stated.

use super::barrier::{self, Pair, Want, wants};
use super::hazard::hazards;
use super::names;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::InsulationMissing;
use crate::finding::{CheckId, Said, Signal};
use crate::jig::{Class, Material, NetId, Part, PartKind, Touchable};
use crate::nets::Edge;
use crate::part::{Link, Psu};
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::InsulationMissing,
    judges: &[
        of("transformer", &["insulation", "screen"], &[At::Use, At::Fault]),
        of("psu", &["output-class"], &[At::Use, At::Fault]),
    ],
    about: About {
        looks_at: "Every touchable against every net that can be hazardous: is there a stated insulation; and whether a metal box of class II is listed.",
        limit: "Basic insulation to earthed metal, double or reinforced to everything else.",
        rows: &["rules.rule.insulation_grade", "rules.rule.barrier"],
        how: "Nets joined to the mains, and circuits above the touch limits; each wants an [[insulation]] to the touchable, directly or as basic and supplementary over metal between them.",
        mend: "Add [[insulation]] between the two with grade, clearance and creepage as built and measured.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    unlisted(case, out);
    unstated_modules(case, out);
    for want in wants(case, &hazards(case)) {
        match want {
            Want::Insulation(pair) => out.extend(missing(case, &pair)),
            Want::Barrier(t) => {
                let found = barrier::weak_barriers(case, CheckId::InsulationMissing, t);
                let said =
                    |(d, barrier): (Draft, _)| d.states(Said::InsulationMissing(InsulationMissing::Barrier(barrier)));
                out.extend(found.into_iter().map(said));
                out.extend(barrier::loose_screens(case, t).into_iter().map(|found| screen(case, t, found)));
            }
        }
    }
}

/// A metal box of class II that is not among what is listed as touchable: what is not listed is not judged. (A box without
/// anything touchable is told of by its class.)
fn unlisted(case: &Case, out: &mut Vec<Draft>) {
    let (jig, nets) = (case.jig, case.nets());
    let metal = jig.enclosure.material == Some(Material::Metal) && jig.enclosure.class == Some(Class::II);
    let works = |net| nets.edges_at(net).any(|e| e.link != Link::Wire);
    let others = !jig.touchables.is_empty() && jig.touchables.iter().all(|t| works(t.net));
    if nets.has_mains() && metal && others {
        let draft = case.about_key(CheckId::InsulationMissing, Signal::Caution, "enclosure").source(&rules::barrier());
        out.push(draft.states(Said::InsulationMissing(InsulationMissing::BoxNotListed)));
    }
}

/// Touchables and outlets behind a module that nothing is stated of, and whose input is on the mains.
fn unstated_modules(case: &Case, out: &mut Vec<Draft>) {
    let nets = case.nets();
    for p in &case.jig.parts {
        let PartKind::Psu(Psu { input, output, selv: false, .. }) = &p.kind else { continue };
        if !nets.on_mains().has_any(input) {
            continue;
        }
        // What hangs on its input by other ways is on the mains without it.
        let others =
            |e: &Edge| e.part().is_none_or(|k| case.jig.parts[k].name != p.name) && !e.link.is_safety_capacitor();
        let behind = nets.walk(output, &others).round(nets.earth()).reached();
        let draft = |place| {
            let d = case.at(CheckId::InsulationMissing, Signal::Warning, place).part(&p.name);
            d.source(&rules::barrier())
        };
        let said = |behind: &str| {
            Said::InsulationMissing(InsulationMissing::Module { part: p.name.clone(), behind: behind.to_string() })
        };
        for t in case.jig.touchables.iter().filter(|t| behind.has(t.net)) {
            out.push(draft(t.place).touchable(&t.name).net(case.net(t.net)).states(said(&t.name)));
        }
        for o in case.jig.outlets.iter().filter(|o| behind.has_any(&o.across)) {
            let draft = o.across.iter().fold(draft(o.place), |d, n| d.net(case.net(*n)));
            out.push(draft.states(said(&o.name)));
        }
    }
}

/// Nothing stated between a primary and a screen that a touchable circuit is on.
fn screen(case: &Case, t: &Touchable, (part, [end, screen]): (&Part, [NetId; 2])) -> Draft {
    let draft = case.about_part(CheckId::InsulationMissing, Signal::Warning, part, "screen").touchable(&t.name);
    let said = InsulationMissing::Screen {
        part: part.name.clone(),
        nets: [end, screen].map(|n| case.net(n).to_string()),
        touchable: t.name.clone(),
    };
    let draft = draft.net(case.net(screen)).source(&rules::barrier());
    draft.states(Said::InsulationMissing(said))
}

fn missing(case: &Case, pair: &Pair) -> Option<Draft> {
    let (t, h) = (pair.touchable, pair.hazard);
    let nets = names::of_nets(case, pair.stated.iter().filter(|s| s.1.is_none()).map(|s| s.0));
    (!nets.is_empty()).then(|| {
        let draft = barrier::draft(case, CheckId::InsulationMissing, t.place, t, &nets);
        draft.states(Said::InsulationMissing(InsulationMissing::NotStated {
            circuit: h.circuit.clone(),
            all_of_mains: h.is_mains() && nets.len() == pair.stated.len(),
            nets,
            touchable: t.name.clone(),
            net: case.net(t.net).to_string(),
            wanted: pair.wanted(),
        }))
    })
}
