//! Parts that are bridged by wire, and windings joined past the transformer.

use super::names;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::Bypassed;
use crate::finding::{CheckId, Said, Signal, When};
use crate::jig::{Ends, Grade, NET_L, NET_N, NetId, Part, PartKind};
use crate::nets::{Edge, NetSet};
use crate::part::{Link, Protection, ThermalFuse, Transformer};
use crate::standard::rules;
use crate::survey::settings::{Setting, settings};

pub(super) const CHECK: Check = Check {
    id: CheckId::Bypassed,
    judges: &[],
    about: About {
        looks_at: "A part whose two ends are joined by wire; a fuse, thermal fuse, fusible resistor or contact that a wire leads round together with others in its chain, or that a closed contact bridges; a thermal fuse past which a load is fed in one position of a switch.",
        limit: "None: the net list itself shows it.",
        rows: &["rules.rule.net_list"],
        how: "Compares the nets of its ends, wires taken as one net. Round a fuse, thermal fuse or contact anything that is no protection of its own kind is taken as wire too, contacts in each position of the switches.",
        mend: "Take out the wire, or correct the name of the net.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let (settings, _) = settings(case.jig);
    let parts = 0..case.jig.parts.len();
    out.extend(parts.filter_map(|part| bypassed(case, part, &settings).or_else(|| fed_past(case, part, &settings))));
    joined_windings(case, out);
}

/// Whether an edge leads round a part that guards so. Another fuse still ends a fault, and of two parallel contacts each
/// may be meant: what is of the part's own kind does not.
fn leads_round(case: &Case, of: &Guard, edge: &Edge, positions: &[usize]) -> bool {
    match edge.link {
        Link::Wire => true,
        Link::Fuse(_) => matches!(of, Guard::ThermalFuse | Guard::Contact | Guard::Fusible),
        Link::ThermalFuse => matches!(of, Guard::Fuse | Guard::Contact | Guard::Fusible),
        Link::Contact(_) => matches!(of, Guard::Fuse | Guard::ThermalFuse) && case.nets().is_closed(edge, positions),
        Link::Resistor(_) => {
            let fusible = |p: usize| case.jig.parts[p].kind.protection() == Protection::FusibleResistor;
            matches!(of, Guard::Fuse | Guard::ThermalFuse) && edge.part().is_some_and(fusible)
        }
        Link::Capacitor { .. }
        | Link::Diode
        | Link::Threshold
        | Link::Arm { .. }
        | Link::Impedance { .. }
        | Link::Winding { .. }
        | Link::Module { .. } => false,
    }
}

/// What a part guards against.
enum Guard {
    Fuse,
    ThermalFuse,
    Contact,
    Fusible,
    /// Nothing: only a wire across it is a slip.
    None,
}

fn guard(kind: &PartKind, link: &Link) -> Guard {
    match link {
        Link::Fuse(_) => Guard::Fuse,
        Link::ThermalFuse => Guard::ThermalFuse,
        Link::Contact(_) => Guard::Contact,
        Link::Resistor(_) if kind.protection() == Protection::FusibleResistor => Guard::Fusible,
        Link::Wire
        | Link::Resistor(_)
        | Link::Capacitor { .. }
        | Link::Diode
        | Link::Threshold
        | Link::Arm { .. }
        | Link::Impedance { .. }
        | Link::Winding { .. }
        | Link::Module { .. } => Guard::None,
    }
}

/// A part that others, nothing but joints, lead round: a wire across it alone, or across a whole chain of fuses, thermal
/// fuses and contacts in which it stands. A fuse or thermal fuse may also be bridged in one position of a switch.
fn bypassed(case: &Case, part: usize, settings: &[Setting]) -> Option<Draft> {
    let row = &case.jig.parts[part];
    let own = case.nets().edges().iter().filter(|e| e.part() == Some(part));
    let tried = own.flat_map(|e| settings.iter().map(move |(positions, _)| (e, positions)));
    let (short, way, positions) = tried.into_iter().find_map(|(e, positions)| {
        let of = guard(&row.kind, &e.link);
        let pass = |other: &Edge| other.part() != Some(part) && leads_round(case, &of, other, positions);
        let way: Vec<Edge> = case.nets().walk(&[e.ends[0]], &pass).way(e.ends[1])?.into_iter().cloned().collect();
        Some((e, way, positions))
    })?;
    let signal = signal(short)?;
    let said = said(case, row, short, &way);
    let mut draft = case.about_part(CheckId::Bypassed, signal, row, "across").net(case.net(short.ends[0]));
    if matches!(said, Bypassed::By { closed: true, .. }) {
        draft = draft.when(When::Switches(positions.clone()));
    }
    Some(draft.source(&rules::net_list()).states(Said::Bypassed(said)))
}

/// How grave it is that a part is led round; `None` where that is no slip.
fn signal(edge: &Edge) -> Option<Signal> {
    match &edge.link {
        // A second wire in parallel is no slip; one from a net to itself is.
        Link::Wire if edge.ends[0] != edge.ends[1] => None,
        Link::Wire => Some(Signal::Notice),
        Link::Fuse(_) | Link::ThermalFuse | Link::Contact(_) | Link::Resistor(_) => Some(Signal::Warning),
        Link::Capacitor { .. }
        | Link::Diode
        | Link::Threshold
        | Link::Arm { .. }
        | Link::Impedance { .. }
        | Link::Winding { .. }
        | Link::Module { .. } => Some(Signal::Caution),
    }
}

fn said(case: &Case, row: &Part, short: &Edge, way: &[Edge]) -> Bypassed {
    let part = row.name.clone();
    let [a, b] = short.ends;
    if a == b {
        return Bypassed::OneNet { part, net: case.net(a).to_string() };
    }
    let named = |wires: bool| names::of_edges(case, way.iter().filter(|e| (e.link == Link::Wire) == wires));
    let (by, chain) = (named(true), named(false));
    let closed = way.iter().any(|e| matches!(e.link, Link::Contact(_)));
    match (by.is_empty(), chain.is_empty()) {
        (_, true) => Bypassed::Wired { part, by },
        // Of a chain the wires are the slip, the other parts of it are as good as this one.
        (false, false) => Bypassed::Chain { part, by, chain },
        (true, false) => Bypassed::By { part, by: chain, closed },
    }
}

/// A transformer whose other side hangs on the mains by a way round it separates nothing.
fn joined_windings(case: &Case, out: &mut Vec<Draft>) {
    let mains = case.nets().on_mains();
    for p in &case.jig.parts {
        let PartKind::Transformer(Transformer { primary, secondaries, insulation, .. }) = &p.kind else { continue };
        // A transformer stated with no more than functional insulation is not there to separate: an autotransformer.
        if *insulation == Some(Grade::Functional) {
            continue;
        }
        // Between mains and mains there was nothing to separate: a transformer of a circuit that is isolated already.
        if !mains.has_any(&primary.across) {
            continue;
        }
        let joined = secondaries.iter().filter(|s| mains.has_any(&s.across) && !stands_in_a_pole(case, p, s.across));
        for s in joined {
            let draft = case.about_part(CheckId::Bypassed, Signal::Warning, p, "insulation");
            let draft = s.across.iter().fold(draft, |d, n| d.net(case.net(*n))).source(&rules::net_list());
            let own = |e: &Edge| e.part().is_some_and(|k| case.jig.parts[k].name == p.name);
            let fed = fed_by(case, &own, s.across);
            let (at, by) = joint(case, &own, s.across, &fed);
            let touchables = case.jig.touchables.iter().filter(|t| fed.has(t.net)).map(|t| t.name.clone());
            let outlets = case.jig.outlets.iter().filter(|o| fed.has_any(&o.across)).map(|o| o.name.clone());
            let feeds = touchables.chain(outlets).collect();
            let said = Bypassed::Windings { part: p.name.clone(), nets: names::of_nets(case, s.across), at, by, feeds };
            out.push(draft.states(Said::Bypassed(said)));
        }
    }
}

/// What hangs on a secondary: all that is reached from it without going on through what the mains reaches without it.
fn fed_by(case: &Case, own: &dyn Fn(&Edge) -> bool, across: Ends) -> NetSet {
    let side = primary_side(case, own, across);
    let from: Vec<NetId> = across.into_iter().filter(|n| !side.has(*n)).collect();
    case.nets().walk(&from, &|e| !own(e)).ending_at(&side).reached()
}

/// Nets that the mains reaches without going over the ends of a secondary or through its transformer.
fn primary_side(case: &Case, own: &dyn Fn(&Edge) -> bool, across: Ends) -> NetSet {
    let ends = NetSet::of(case.nets().count(), |n| across.contains(&n));
    let pins = [NET_L, NET_N];
    case.nets().walk(&pins, &|e| !own(e) && e.is_hard()).ending_at(&ends).reached()
}

/// The net at which a secondary meets the primary side, and what leads there.
fn joint(case: &Case, own: &dyn Fn(&Edge) -> bool, across: Ends, fed: &NetSet) -> (String, Vec<String>) {
    let side = primary_side(case, own, across);
    if let Some(net) = across.into_iter().find(|n| side.has(*n)) {
        // A wire that ends there joins it; without one the net itself is on both sides.
        let wire =
            case.nets().edges_at(net).find(|e| e.link == Link::Wire && e.other(net).is_some_and(|far| side.has(far)));
        return match wire.and_then(|e| Some((e.other(net)?, e))) {
            Some((far, wire)) => (case.net(far).to_string(), names::of_edges(case, std::iter::once(wire))),
            None => (case.net(net).to_string(), vec![]),
        };
    }
    let pass = |e: &Edge| !own(e);
    let mut ways = vec![];
    for net in side.iter().filter(|n| fed.has(*n)) {
        ways.extend(case.nets().walk(&across, &pass).ending_at(&side).way(net).map(|way| (net, way)));
    }
    let shortest = ways.into_iter().min_by_key(|(_, way)| way.len());
    let Some((net, way)) = shortest else { return (case.net(across[0]).to_string(), vec![]) };
    (case.net(net).to_string(), names::of_edges(case, way.into_iter().rev()))
}

/// Whether a winding is there to raise or lower the mains: it lies in one pole, and nothing lies across it.
fn stands_in_a_pole(case: &Case, transformer: &Part, across: Ends) -> bool {
    let nets = case.nets();
    let own = |e: &Edge| e.part().is_some_and(|k| case.jig.parts[k].name == transformer.name);
    [(NET_L, NET_N), (NET_N, NET_L)].into_iter().any(|(pole, other)| {
        let (pole, other) = (nets.hard_joined(pole), nets.hard_joined(other));
        let far = match across.map(|n| pole.has(n)) {
            [true, false] => across[1],
            [false, true] => across[0],
            [true, true] | [false, false] => return false,
        };
        let from = [far];
        let beyond = nets.walk(&from, &|e| !own(e)).ending_at(&other).round(&pole).reached();
        // What leads back into its own pole lies across it.
        let back = |e: &Edge| !own(e) && beyond.has_any(&e.ends) && !other.has_any(&e.ends) && pole.has_any(&e.ends);
        !other.has(far) && !nets.edges().iter().any(back)
    })
}

/// A thermal fuse that guards a load in one setting of the switches and that the load is fed past in another one.
fn fed_past(case: &Case, part: usize, settings: &[Setting]) -> Option<Draft> {
    let row = &case.jig.parts[part];
    let PartKind::ThermalFuse(ThermalFuse { on, .. }) = &row.kind else { return None };
    let nets = case.nets();
    let guards = |e: &&Edge| {
        let name = e.name(case.jig);
        e.is_body() && on.as_ref().is_none_or(|on| on == name)
    };
    let fed = |load: &Edge, positions: &[usize], past: bool| {
        let stands = |e: &Edge| !e.link.is_safety_capacitor() && nets.is_closed(e, positions);
        nets.is_fed(load, &|e| stands(e) && !(past && e.part() == Some(part)))
    };
    nets.edges().iter().filter(guards).find_map(|load| {
        let guarded = settings.iter().find(|(at, _)| fed(load, at, false) && !fed(load, at, true))?;
        let (past, _) = settings.iter().find(|(at, _)| fed(load, at, true))?;
        let switches = case.jig.parts.iter().filter(|p| matches!(p.kind, PartKind::Switch(_)));
        let moved = switches.zip(guarded.0.iter().zip(past)).filter(|(_, (a, b))| a != b);
        let by: Vec<String> = moved.map(|(p, _)| p.name.clone()).collect();
        let said = Bypassed::FedPast { part: row.name.clone(), load: load.name(case.jig).to_string(), by: by.clone() };
        let draft = case.about_part(CheckId::Bypassed, Signal::Warning, row, "across").part(load.name(case.jig));
        let draft = by.iter().fold(draft, |d, name| d.part(name)).when(When::Switches(past.clone()));
        Some(draft.source(&rules::net_list()).states(Said::Bypassed(said)))
    })
}
