//! Parts that are bridged by wire, and windings joined past the transformer.

use super::names;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::Bypassed;
use crate::finding::{CheckId, Said, Signal, When};
use crate::jig::{Grade, Part, PartKind};
use crate::nets::Edge;
use crate::part::{Link, Protection, Transformer};
use crate::standard::rules;
use crate::survey::settings::{Setting, settings};

pub(super) const CHECK: Check = Check {
    id: CheckId::Bypassed,
    judges: &[],
    about: About {
        looks_at: "A part whose two ends are joined by wire; a fuse, thermal fuse, fusible resistor or contact that a wire leads round together with others in its chain, or that a closed contact bridges.",
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
    out.extend(parts.filter_map(|part| bypassed(case, part, &settings)));
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
        for s in secondaries.iter().filter(|s| mains.has_any(&s.across)) {
            let draft = case.about_part(CheckId::Bypassed, Signal::Warning, p, "insulation");
            let draft = s.across.iter().fold(draft, |d, n| d.net(case.net(*n))).source(&rules::net_list());
            let said = Bypassed::Windings { part: p.name.clone(), nets: names::of_nets(case, s.across) };
            out.push(draft.states(Said::Bypassed(said)));
        }
    }
}
