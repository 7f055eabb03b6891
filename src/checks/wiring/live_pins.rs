//! Live metal within reach: exposed pins, open posts, metal wired to the mains, no box at all.

use super::hazard::{Hazard, hazards};
use super::names;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::LivePins;
use crate::finding::{CheckId, Said, Signal};
use crate::jig::{Material, NET_L, NET_N, NET_PE, Part, PartKind};
use crate::nets::{Edge, NetSet};
use crate::part::Socket;
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::LivePins,
    judges: &[of("socket", &["nets", "shrouded", "exposed-pins", "type"], &[At::Use])],
    about: About {
        looks_at: "Pins, posts and metal that can be live and that a finger reaches.",
        limit: "No hazardous live part within reach.",
        rows: &["rules.rule.live_parts_out_of_reach"],
        how: "Nets joined to the mains from either side in any switch position, and circuits above the touch limits, against exposed pins, unshrouded posts, touchables and a missing box.",
        mend: "Use a socket instead of a plug with pins, a shrouded post, a box.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    // Of a circuit that floats, one net alone within reach closes no loop through a hand.
    let reached = within_reach(case);
    let nets = case.nets();
    let earthed = |h: &Hazard| {
        let leads_there = |e: &&Edge| !e.link.is_safety_capacitor() && nets.earth().has_any(&e.ends);
        nets.edges().iter().filter(leads_there).any(|e| h.nets.has_any(&e.ends))
    };
    let two = |h: &Hazard| h.is_mains() || earthed(h) || h.nets.iter().filter(|n| reached.has(*n)).count() > 1;
    let all = hazards(case).into_iter().filter(two);
    let hazard = all.fold(NetSet::none(case.nets().count()), |nets, hazard| nets.or(&hazard.nets));
    for p in &case.jig.parts {
        if let PartKind::Socket(socket) = &p.kind {
            out.extend(contacts(case, p, socket, &hazard));
        }
    }
    if case.nets().has_mains() {
        metal(case, out);
        out.extend(without_box(case));
    }
}

/// Nets of touchables, and of contacts that are not stated as covered.
fn within_reach(case: &Case) -> NetSet {
    let mut nets = NetSet::none(case.nets().count());
    case.jig.touchables.iter().for_each(|t| nets.insert(t.net));
    for part in &case.jig.parts {
        let PartKind::Socket(socket) = &part.kind else { continue };
        if socket.shrouded != Some(true) || socket.exposed_pins == Some(true) {
            socket.nets.iter().for_each(|net| nets.insert(*net));
        }
    }
    nets
}

/// Pins and contacts of a connector that can be live.
fn contacts(case: &Case, part: &Part, socket: &Socket, hazard: &NetSet) -> Option<Draft> {
    let on = &socket.nets;
    let nets = names::of_nets(case, on.iter().copied().filter(|n| hazard.has(*n)));
    // The pins of an inlet get their mains from the connector that covers them.
    if nets.is_empty() || (socket.is_inlet() && on.iter().all(|n| [NET_L, NET_N, NET_PE].contains(n))) {
        return None;
    }
    let name = part.name.clone();
    let draft = |signal, key: &str| {
        let d = case.about_part(CheckId::LivePins, signal, part, key).source(&rules::live_parts_out_of_reach());
        nets.iter().fold(d, |d, n| d.net(n))
    };
    let (draft, said) = match (socket.exposed_pins, socket.shrouded) {
        (Some(true), _) => (draft(Signal::Danger, "exposed-pins"), LivePins::Exposed { part: name, nets }),
        (_, Some(false)) => (draft(Signal::Danger, "shrouded"), LivePins::Open { part: name, nets }),
        (None, None) => (draft(Signal::Caution, "type"), LivePins::NotStated { part: name, nets }),
        (Some(false), None) | (_, Some(true)) => return None,
    };
    Some(draft.states(Said::LivePins(said)))
}

/// Metal that is joined to the mains.
fn metal(case: &Case, out: &mut Vec<Draft>) {
    for t in &case.jig.touchables {
        let joined = case.nets().hard_joined(t.net);
        let pins = names::of_nets(case, [NET_L, NET_N].into_iter().filter(|n| joined.has(*n)));
        if pins.is_empty() {
            continue;
        }
        let draft = case.at(CheckId::LivePins, Signal::Danger, t.place).touchable(&t.name).net(case.net(t.net));
        let draft = pins.iter().fold(draft, |d, n| d.net(n)).source(&rules::live_parts_out_of_reach());
        out.push(draft.states(Said::LivePins(LivePins::Metal { touchable: t.name.clone(), pins })));
    }
}

/// Parts on the mains without a box round them.
fn without_box(case: &Case) -> Option<Draft> {
    let live = case.nets().hazardous_live();
    let bare = case.jig.parts.iter().filter(|p| live.has_any(&p.kind.terminals()));
    let parts: Vec<String> = bare.map(|p| p.name.clone()).collect();
    if case.jig.enclosure.material != Some(Material::Open) || parts.is_empty() {
        return None;
    }
    let draft = case.about_key(CheckId::LivePins, Signal::Danger, "enclosure.material");
    let draft = parts.iter().fold(draft.source(&rules::live_parts_out_of_reach()), |d, n| d.part(n));
    Some(draft.states(Said::LivePins(LivePins::NoBox { parts })))
}
