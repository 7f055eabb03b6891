//! Parts that are bridged by wire, and windings joined past the transformer.

use super::names;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::Bypassed;
use crate::finding::{CheckId, Said, Signal};
use crate::jig::{Grade, PartKind};
use crate::nets::Edge;
use crate::part::{Link, Transformer};
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::Bypassed,
    about: About {
        looks_at: "A part whose two ends are joined by wire.",
        limit: "None: the net list itself shows it.",
        rows: &["rules.rule.net_list"],
        how: "Compares the nets of its ends, wires taken as one net.",
        mend: "Take out the wire, or correct the name of the net.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let parts = 0..case.jig.parts.len();
    out.extend(parts.filter_map(|part| bypassed(case, part)));
    joined_windings(case, out);
}

/// A part that wires, its own aside, join the ends of.
fn bypassed(case: &Case, part: usize) -> Option<Draft> {
    let nets = case.nets();
    let wires = |e: &Edge| e.link == Link::Wire && e.part() != Some(part);
    let joined = |e: &&Edge| nets.walk(&[e.ends[0]], &wires).reached().has(e.ends[1]);
    let short = nets.edges().iter().filter(|e| e.part() == Some(part)).find(joined)?;
    let [a, b] = short.ends;
    let signal = match &short.link {
        // A second wire in parallel is no slip; one from a net to itself is.
        Link::Wire if a != b => return None,
        Link::Wire => Signal::Notice,
        Link::Fuse(_) | Link::ThermalFuse | Link::Contact(_) | Link::Resistor(_) => Signal::Warning,
        Link::Capacitor { .. }
        | Link::Diode
        | Link::Threshold
        | Link::Arm { .. }
        | Link::Impedance { .. }
        | Link::Winding { .. }
        | Link::Module { .. } => Signal::Caution,
    };
    let row = &case.jig.parts[part];
    let name = row.name.clone();
    let said = if a == b {
        Bypassed::OneNet { part: name, net: case.net(a).to_string() }
    } else {
        let there = nets.edges().iter().filter(|e| wires(e) && e.ends.iter().any(|n| short.ends.contains(n)));
        Bypassed::Wired { part: name, by: names::of_edges(case, there) }
    };
    let draft = case.about_part(CheckId::Bypassed, signal, row, "across").net(case.net(a));
    Some(draft.source(&rules::net_list()).states(Said::Bypassed(said)))
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
