//! The class against plug, cord, box and parts.

use super::barrier::{KeptOff, guard};
use super::names;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::ClassConflict;
use crate::finding::{CheckId, Said, Signal};
use crate::jig::{Class, Material, NET_L, NET_N};
use crate::nets::Edge;
use crate::part::Link;
use crate::standard::{rules, touch};

pub(super) const CHECK: Check = Check {
    id: CheckId::ClassConflict,
    judges: &[],
    about: About {
        looks_at: "Whether the class fits plug, cord, box and parts.",
        limit: "Class I has an earth, class II depends on none and has double or reinforced insulation, class III has no mains.",
        rows: &["rules.rule.class"],
        how: "Class I with an earthless plug or a cord of fewer than three cores; class II with a part or touchable on PE, or a metal box without reinforced insulation; class III on the mains.",
        mend: "Change the class or what contradicts it.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let mains = case.jig.supply.mains.is_some();
    match case.jig.enclosure.class {
        Some(Class::I) if mains => out.extend(without_earth(case)),
        Some(Class::I) => out.push(draft(case).states(Said::ClassConflict(ClassConflict::NoMains))),
        Some(Class::II) if mains => class_two(case, out),
        Some(Class::III) if mains => out.push(draft(case).states(Said::ClassConflict(ClassConflict::OnMains))),
        None if mains => {
            let draft = case.about_key(CheckId::ClassConflict, Signal::Caution, "enclosure").source(&rules::class());
            out.push(draft.states(Said::ClassConflict(ClassConflict::NotStated)));
        }
        Some(Class::II | Class::III) | None => {}
    }
}

fn draft(case: &Case) -> Draft {
    case.about_key(CheckId::ClassConflict, Signal::Warning, "enclosure.class").source(&rules::class())
}

/// Class I whose plug or cord brings no earth.
fn without_earth(case: &Case) -> Option<Draft> {
    let supply = &case.jig.supply;
    let plug = supply.plug.as_ref().filter(|p| !p.earth).map(|p| p.letter.clone());
    let too_few = |n: &u32| f64::from(*n) < rules::cores_needed(true).value;
    let cores = supply.cord.as_ref().and_then(|c| c.cores).filter(too_few);
    (plug.is_some() || cores.is_some())
        .then(|| draft(case).net("PE").states(Said::ClassConflict(ClassConflict::NoEarth { plug, cores })))
}

fn class_two(case: &Case, out: &mut Vec<Draft>) {
    let (jig, nets) = (case.jig, case.nets());
    let earth = nets.earth();
    let leaves = nets.edges().iter().filter(|e| e.link != Link::Wire && earth.has(e.ends[0]) != earth.has(e.ends[1]));
    let parts = if jig.functional_earth || only_measures(case) { vec![] } else { names::of_edges(case, leaves) };
    let touched: Vec<_> = jig.touchables.iter().filter(|t| earth.has(t.net) && !jig.functional_earth).collect();
    if !parts.is_empty() || !touched.is_empty() {
        let what = names::once(parts.iter().cloned().chain(touched.iter().map(|t| t.name.clone())));
        let named = parts.iter().filter(|name| jig.parts.iter().any(|p| p.name == **name));
        let d = named.fold(draft(case).net("PE"), |d, p| d.part(p));
        let d = touched.iter().fold(d, |d, t| d.touchable(&t.name));
        out.push(d.states(Said::ClassConflict(ClassConflict::OnEarth(what))));
    }
    if jig.enclosure.material == Some(Material::Metal) {
        let needs = |t: &&crate::jig::Touchable| !earth.has(t.net) && guard(case, t.net) == KeptOff::NeedsEarth;
        let open: Vec<_> = jig.touchables.iter().filter(needs).collect();
        if jig.touchables.is_empty() || !open.is_empty() {
            let d = open.iter().fold(draft(case), |d, t| d.touchable(&t.name));
            out.push(d.states(Said::ClassConflict(ClassConflict::MetalBox)));
        }
    }
}

/// Whether the mains reaches the earth conductor through nothing but enough resistance, as in a tester that looks at it:
/// then nothing relies on that earth.
fn only_measures(case: &Case) -> bool {
    let nets = case.nets();
    let pins = [NET_L, NET_N];
    let pass = |e: &Edge| !e.link.is_safety_capacitor();
    let resistance = nets.walk(&pins, &pass).ending_at(nets.earth()).resistance();
    let harmless = touch::limits(touch::LimitsIn::SingleFault).current_rms.value;
    let volts = nets.volts_to_earth().highest;
    let leads = nets.edges().iter().any(|e| e.link.is_safety_capacitor() && nets.earth().has_any(&e.ends));
    !leads && nets.earth().iter().all(|net| volts / resistance[net].bridged <= harmless)
}
