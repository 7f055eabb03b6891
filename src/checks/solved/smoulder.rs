//! Faults that go on for ever: no fuse is sure to end them while something sits above its rating.

use super::lookup::item_name;
use super::overload::{self, AfterFault, Overload};
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, Smoulder, SmoulderCure, Smouldering};
use crate::finding::{CheckId, Said, Signal};
use crate::jig::{NET_L, NET_N, NetId, Part, PartKind};
use crate::nets::Edge;
use crate::part::{Fuse, Role, ThermalFuse};
use crate::survey::model::ProtectorKind;

pub(super) const CHECK: Check = Check {
    id: CheckId::Smoulder,
    judges: &[
        of("resistor", &["power", "flameproof", "fusible"], &[At::Fault, At::Opened]),
        of("inductor", &["current"], &[At::Fault, At::Opening, At::Opened]),
        of("winding", &["current"], &[At::Fault, At::Opening, At::Opened]),
        of("thermistor", &["current"], &[At::Fault, At::Opening, At::Opened]),
        of(
            "transformer",
            &["power", "secondary", "primary", "short-circuit-proof", "thermal-link"],
            &[At::Fault, At::Opening, At::Opened],
        ),
        of("diode", &["current"], &[At::Fault, At::Opening, At::Opened]),
        of("bridge", &["current"], &[At::Fault, At::Opening, At::Opened]),
        of("suppressor", &["power"], &[At::Fault, At::Opening, At::Opened]),
        of("varistor", &["voltage"], &[At::Fault, At::Opening, At::Opened]),
        of("switch", &["current"], &[At::Fault, At::Opening, At::Opened]),
        of("wire", &["area"], &[At::Fault, At::Opening, At::Opened]),
        of("fuse", &["current", "speed"], &[At::Fault, At::Opening]),
        of("thermal-fuse", &["on", "temperature"], &[At::Fault, At::Opening]),
    ],
    about: About {
        looks_at: "every single fault that no fuse or breaker is sure to end, or ends only when a part above its rating has been heated through",
        limit: "what the part stands for ever, while its fuse is below the current at which it is sure to open: {fuses.ul_gate.ul_135.multiple} times the rating for a North American type, by its standard sheet for an IEC one (such as {fuses.gate.s1_2p1.multiple} times). {bench.rule.sustained_fire.multiple} times the power and more: fire",
        rows: &[
            "jig",
            "resistors.resistor_fact.derating_line",
            "cords.uk_cord",
            "bench.rule.small_wire_density",
            "fuses.gate",
            "fuses.ul_gate",
        ],
        how: "each fault is solved; the current of each fuse is compared with its published gates; what none covers is sustained. What one ends within t has warmed a part to 1 − e^(−t / τ) of its final warming, τ = {bench.heat.warms_small.time_s} of a small part, {bench.heat.warms_contact.time_s} of a contact or wire, {bench.heat.warms_winding.time_s} of a winding: CAUTION where that is more than it bears for ever. A contact or wire is protected by a fuse of no more than its own amperes",
        mend: "a smaller fuse in that path, a thermal fuse on the part, or a flame-proof fusible resistor",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, part) in case.jig.parts.iter().enumerate() {
        if let Some(Overload::Fault(f)) = overload::of_part(case, k) {
            out.push(finding(case, part, &f));
        }
    }
}

fn finding(case: &Case, part: &Part, found: &AfterFault) -> Draft {
    let AfterFault { item, quantity, seen, limit, fuse, signal, opens_late, ends } = found;
    // A link in its path ends it if it sits on the part: that is asked for.
    let link = matches!(signal, Signal::Danger | Signal::Warning).then(|| link_in_its_path(case, part)).flatten();
    let signal = if link.is_some() { &Signal::Caution } else { signal };
    let fate = match signal {
        _ if ends.is_some() => Smouldering::UntilItOpens,
        Signal::Notice => Smouldering::OpensAsMade,
        Signal::Caution if *opens_late => Smouldering::FuseOpensLate,
        Signal::Caution if matches!(part.kind, PartKind::Resistor(_)) => Smouldering::Roasts,
        Signal::Caution => Smouldering::RunsHot,
        Signal::Danger | Signal::Warning => Smouldering::Burns,
    };
    let name = part.name.clone();
    let cure = match (fate, fuse) {
        _ if link.is_some() => SmoulderCure::SitsOnIt { link: link.unwrap_or_default(), part: name },
        (Smouldering::OpensAsMade, _) => SmoulderCure::NoneNeeded,
        (_, Some((fuse, _))) => SmoulderCure::SmallerFuse { fuse: fuse.clone(), part: name },
        (Smouldering::UntilItOpens, None) => match ends.and_then(|(device, _)| fuse_named(case, device)) {
            Some(fuse) => SmoulderCure::SmallerFuse { fuse, part: name },
            None => SmoulderCure::FuseAt { value: seen.amount(), part: name },
        },
        (_, None) => match fuse_in_its_path(case, part) {
            // The fuse sees another current than a secondary carries.
            Some((fuse, amperes)) if seen.unit == "A" && !is_secondary(case, *item) => {
                SmoulderCure::TooLarge { fuse, rating: Amount::new(amperes, "A"), value: seen.amount(), part: name }
            }
            _ => SmoulderCure::FuseAt { value: seen.amount(), part: name },
        },
    };
    let proposals = match &cure {
        SmoulderCure::TooLarge { fuse, .. } => propose::fuses_opening_at(case, fuse, seen.value),
        SmoulderCure::SmallerFuse { fuse, .. } => propose::smaller_fuses(case, fuse),
        SmoulderCure::NoneNeeded | SmoulderCure::FuseAt { .. } | SmoulderCure::SitsOnIt { .. } => vec![],
    };
    let d = case.about_part(CheckId::Smoulder, *signal, part, "kind").over(quantity.clone(), seen, limit);
    let d = if let Some((f, _)) = fuse { d.part(f) } else { d };
    let said = Smoulder {
        item: item_name(case, *item).to_string(),
        at: seen.at,
        value: seen.amount(),
        limit: limit.into(),
        fuse: fuse.as_ref().map(|(f, a)| (f.clone(), Amount::new(*a, "A"))),
        ends: ends.map(|(device, seconds)| (device, Amount::new(seconds, "s"))),
        fate,
        cure,
    };
    d.states(Said::Smoulder(said)).proposes(proposals)
}

/// A fuse that a part hangs on the mains through, with its amperes: without it one pin does not reach the part.
pub(super) fn fuse_in_its_path(case: &Case, part: &Part) -> Option<(String, f64)> {
    let ends = part.kind.terminals();
    let own = |e: &Edge| e.part().is_some_and(|k| case.jig.parts[k].name == part.name);
    let reaches = |pin: NetId, without: &str| {
        let pass = |e: &Edge| !own(e) && e.name(case.jig) != without;
        let other = case.nets().hard_joined(if pin == NET_L { NET_N } else { NET_L });
        case.nets().walk(&[pin], &pass).ending_at(&other).reached().has_any(&ends)
    };
    case.jig.parts.iter().find_map(|p| {
        let PartKind::Fuse(Fuse { current, .. }) = p.kind else { return None };
        let in_series = [NET_L, NET_N].iter().any(|pin| reaches(*pin, "") && !reaches(*pin, &p.name));
        in_series.then(|| (p.name.clone(), current))
    })
}

fn is_secondary(case: &Case, item: usize) -> bool {
    matches!(case.survey.model.items[item].role, Role::Secondary)
}

/// The name of a device that is a fuse of the jig.
fn fuse_named(case: &Case, device: usize) -> Option<String> {
    let ProtectorKind::Fuse(item) = case.survey.model.protectors[device].kind else { return None };
    Some(item_name(case, item).to_string())
}

/// A thermal fuse that carries what the part carries and does not say what it sits on: the net between them joins nothing
/// else.
fn link_in_its_path(case: &Case, part: &Part) -> Option<String> {
    let ends = part.kind.terminals();
    case.jig.parts.iter().find_map(|p| {
        let PartKind::ThermalFuse(ThermalFuse { across, on: None, .. }) = &p.kind else { return None };
        let between = |net: &NetId| ends.contains(net) && case.nets().edges_at(*net).count() == 2;
        across.iter().any(between).then(|| p.name.clone())
    })
}
