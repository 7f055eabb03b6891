//! What is above its rating in a part until a device opens that takes its time. Judges by what it would be if it went on.

use super::lookup::{ends_within, slow};
use super::overload::{AfterFault, FaultSeen, after_fault, current_limit};
use crate::checks::{Case, Seen};
use crate::finding::Signal;
use crate::jig::{Part, PartKind};
use crate::standard::{self, Limit};
use crate::survey::model::ProtectorKind;

/// An overload by a fault that a device ends, though only after the part has been heated through.
pub(super) fn ended(case: &Case, item: usize, part: &Part) -> Option<AfterFault> {
    // A resistor is told by resistor-power.
    if matches!(part.kind, PartKind::Resistor(_)) {
        return None;
    }
    let as_lasting: FaultSeen = |case, k, quantity| slow(case, k, quantity).map(|(seen, value)| Seen { value, ..seen });
    let found = after_fault(case, item, part, as_lasting)?;
    // What a winding takes for ever it takes for that long.
    let borne = current_limit(case, item, part).is_some()
        && found.seen.value <= standard::bench::winding_overload().value * found.limit.value;
    let ends = ends_within(case, found.seen.at)?;
    if borne || protects(case, ends.0, part, &found.limit) {
        return None;
    }
    let whole = slow(case, item, part.kind.overheats_by(case.survey.model.items[item].role)?)?.0;
    Some(AfterFault { seen: whole, signal: Signal::Caution, ends: Some(ends), ..found })
}

/// Whether a device is what a contact or wire is protected by: one of no more amperes than it is made for.
fn protects(case: &Case, device: usize, part: &Part, limit: &Limit) -> bool {
    if !matches!(part.kind, PartKind::Switch(_) | PartKind::Wire(_)) {
        return false;
    }
    let fuse = |item: usize| {
        let PartKind::Fuse(fuse) = &case.jig.parts[case.survey.model.items[item].part].kind else { return None };
        Some(fuse.current)
    };
    let rated = match case.survey.model.protectors[device].kind {
        ProtectorKind::Fuse(item) => fuse(item),
        ProtectorKind::PlugFuse(amperes) | ProtectorKind::Breaker(amperes, _) => Some(amperes),
        ProtectorKind::Fusible(_) | ProtectorKind::Thermal(..) | ProtectorKind::Rcd(..) => None,
    };
    rated.is_some_and(|amperes| amperes <= limit.value)
}
