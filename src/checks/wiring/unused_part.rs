//! Parts that nothing powers.

use super::loose_end::loose_nets;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::UnusedPart;
use crate::finding::{CheckId, Said, Signal};
use crate::jig::{LoadKind, NET_L, NET_N, NET_PE, NetId, PartKind};
use crate::nets::NetSet;
use crate::part::Link;
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::UnusedPart,
    judges: &[],
    about: About {
        looks_at: "A part that nothing powers.",
        limit: "None: the net list itself shows it.",
        rows: &["rules.rule.net_list"],
        how: "Walks from the plug's pins, the outlets and charged capacitors through everything.",
        mend: "Correct the names of its nets, or take the part out.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let (loose, powered) = (loose_nets(case), powered(case));
    for p in &case.jig.parts {
        let ends = p.kind.terminals();
        // A misspelt net is told once, as a loose end.
        if powered.has_any(&ends) || ends.iter().any(|n| loose.contains(n)) {
            continue;
        }
        let draft = case.about_part(CheckId::UnusedPart, Signal::Caution, p, "across").source(&rules::net_list());
        out.push(draft.states(Said::UnusedPart(UnusedPart { part: p.name.clone() })));
    }
}

/// Nets that anything leads to from what powers the tool.
fn powered(case: &Case) -> NetSet {
    let mut starts = sources(case);
    // A transformer or module passes power on to its other side.
    let passes_on: Vec<Vec<NetId>> = case
        .jig
        .parts
        .iter()
        .filter(|p| matches!(p.kind, PartKind::Transformer(_) | PartKind::Psu(_)))
        .map(|p| p.kind.terminals())
        .collect();
    loop {
        let seen = case.nets().walk(&starts, &|_| true).reached();
        let more = passes_on.iter().filter(|ends| seen.has_any(ends) && !seen.has_all(ends)).flatten();
        let before = starts.len();
        starts.extend(more);
        if starts.len() == before {
            return seen;
        }
    }
}

/// Nets that power comes in at.
fn sources(case: &Case) -> Vec<NetId> {
    let jig = case.jig;
    let mains = jig.supply.mains.is_some();
    let mut starts: Vec<NetId> = if mains { vec![NET_L, NET_N, NET_PE] } else { vec![] };
    // Without mains whatever is put on the outlets powers the tool.
    for o in &jig.outlets {
        if !mains || o.loads.iter().any(|l| matches!(l.kind, LoadKind::Charged(..))) {
            starts.extend(o.across);
        }
    }
    for e in case.nets().edges() {
        if let Link::Capacitor { charged: Some(volts), .. } = e.link
            && volts > 0.0
        {
            starts.extend(e.ends);
        }
    }
    for p in &jig.parts {
        if let PartKind::Socket(socket) = &p.kind
            && !mains
        {
            starts.extend(&socket.nets);
        }
    }
    starts
}
