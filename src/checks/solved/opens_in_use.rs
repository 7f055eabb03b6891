//! Protective devices that open although nothing has failed.

use super::lookup::next_of;
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, OpensInUse};
use crate::finding::{CheckId, Compared, Said, Signal};
use crate::jig::{Part, PartKind};
use crate::part::Transformer;
use crate::standard::fuse::ratings;
use crate::standard::rules;
use crate::survey::in_use::{Drawer, Opened};
use crate::survey::ledger::Outcome;
use crate::survey::model::ProtectorKind;
use crate::wording::device;

pub(super) const CHECK: Check = Check {
    id: CheckId::OpensInUse,
    judges: &[
        of("fuse", &["current", "speed"], &[At::Use, At::Opening]),
        of("thermal-fuse", &["on", "temperature"], &[At::Use]),
        of("resistor", &["fusible"], &[At::Use]),
    ],
    about: About {
        looks_at: "every fuse, breaker, residual-current device and fusible resistor with nothing failed, in every position of the switches, with every load of the outlets, at every supply level",
        limit: "none may open: what opens in use is taken for a nuisance and replaced by a larger one",
        rows: &["rules.rule.holds_in_use"],
        how: "the same gates by which a fault is ended. A shorted outlet is the fault of what hangs on it, not use, unless a lamp, a heater or a resistor inside its rating is there to bear it. What else is wrong with the jig is judged as if the device held, as long as the breaker of the circuit does not open as well and it is no diode or varistor that draws",
        mend: "the rating that carries the current, a part that draws less, or the current led back through the other pole",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (protector, opened) in &case.survey.ledger.lasting.opened {
        out.extend(opened.get().and_then(|o| found(case, *protector, o)));
    }
}

fn found(case: &Case, protector: usize, opened: &Opened) -> Option<Draft> {
    let model = &case.survey.model;
    let Some(Outcome::Cleared { within, also, judged_whole, .. }) = case.outcome(opened.at) else { return None };
    let part = |k: usize| match model.protectors[k].kind {
        ProtectorKind::Fuse(item) | ProtectorKind::Fusible(item) | ProtectorKind::Thermal(item, _) => {
            Some(&case.jig.parts[model.items[item].part])
        }
        ProtectorKind::PlugFuse(_) | ProtectorKind::Breaker(..) | ProtectorKind::Rcd(..) => None,
    };
    let kind = |k: usize| &model.protectors[k].kind;
    let mut draft = match (part(protector), kind(protector)) {
        (Some(part), _) => case.about_part(CheckId::OpensInUse, Signal::Warning, part, "current"),
        (None, ProtectorKind::Rcd(..)) => case.about_key(CheckId::OpensInUse, Signal::Warning, "supply.rcd"),
        (None, ProtectorKind::PlugFuse(_)) => case.about_key(CheckId::OpensInUse, Signal::Warning, "supply.plug-fuse"),
        (None, _) => case.about_key(CheckId::OpensInUse, Signal::Warning, "supply.breaker"),
    };
    for other in also.iter().filter_map(|(k, _)| part(*k)) {
        draft = draft.part(&other.name);
    }
    let mut drawn_by = vec![];
    for drawer in &opened.drawn_by {
        match drawer {
            Drawer::Item(k) => {
                let name = &case.jig.parts[model.items[*k].part].name;
                draft = draft.part(name);
                drawn_by.push(name.clone());
            }
            Drawer::Outlet(k) => drawn_by.push(case.jig.outlets[*k].name.clone()),
        }
    }
    let fuse = part(protector).filter(|p| matches!(p.kind, PartKind::Fuse(_)));
    let larger = |part: &Part| propose::larger_fuse(case, part, opened.amperes);
    let said = OpensInUse {
        device: device::in_a_sentence(model, protector),
        also: also.iter().map(|(k, _)| device::in_a_sentence(model, *k)).collect(),
        current: Amount::new(opened.amperes, "A"),
        within: Amount::new(*within, "s"),
        drawn_by,
        residual: matches!(kind(protector), ProtectorKind::Rcd(..)),
        short: !judged_whole,
        swapped: opened.drawn_by.iter().find_map(|d| swapped(case, d)),
        cure: fuse.and_then(|_| next_of(ratings().into_iter(), opened.amperes)).map(|a| Amount::new(a, "A")),
    };
    let proposals = fuse.filter(|_| !said.short).map(larger).unwrap_or_default();
    let draft = draft.value(Compared::CurrentRms, opened.amperes, "A").found_in(opened.at);
    Some(draft.source(&rules::holds_in_use()).states(Said::OpensInUse(said)).proposes(proposals))
}

/// A transformer whose secondary is made for volts nearer to those of the mains than the primary that hangs there is.
fn swapped(case: &Case, drawer: &Drawer) -> Option<String> {
    let Drawer::Item(item) = drawer else { return None };
    let part = &case.jig.parts[case.survey.model.items[*item].part];
    let PartKind::Transformer(Transformer { primary, secondaries, .. }) = &part.kind else { return None };
    let mains = case.jig.supply.mains.as_ref()?.nominal;
    let off = |volts: f64| (volts / mains).ln().abs();
    let nearer = secondaries.iter().any(|s| off(s.volts) < off(primary.volts));
    // A primary for the mains is none of the two that were mixed up, whatever the other is made for.
    let on_mains = primary.across.iter().all(|n| case.is_mains(*n));
    (nearer && on_mains && primary.volts < mains).then(|| part.name.clone())
}
