//! Parts that nothing powers.

use super::graph::Wiring;
use super::loose_end::loose_nets;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{LoadKind, NET_L, NET_N, NET_PE, PartKind};
use crate::part::{Capacitor, Socket};
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::UnusedPart,
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
    let w = Wiring::new(case.jig);
    let loose = loose_nets(case);
    let jig = case.jig;
    let mut starts: Vec<usize> = if jig.supply.mains.is_some() { vec![NET_L, NET_N, NET_PE] } else { vec![] };
    // Without mains whatever is put on the outlets powers the tool.
    let charged = |k: &LoadKind| matches!(k, LoadKind::Charged(..));
    for o in &jig.outlets {
        if jig.supply.mains.is_none() || o.loads.iter().any(|l| charged(&l.kind)) {
            starts.extend(o.across);
        }
    }
    for p in &jig.parts {
        match &p.kind {
            PartKind::Capacitor(Capacitor { across, charged: Some(v), .. }) if *v > 0.0 => starts.extend(across),
            PartKind::Socket(Socket { nets, .. }) if jig.supply.mains.is_none() => starts.extend(nets),
            _ => {}
        }
    }
    // A transformer or module passes power on to its other side.
    loop {
        let seen = w.flood(&starts, &w.none(), &|_| true);
        let more: Vec<usize> = jig
            .parts
            .iter()
            .filter(|p| matches!(p.kind, PartKind::Transformer(_) | PartKind::Psu(_)))
            .map(|p| p.kind.terminals())
            .filter(|t| t.iter().any(|n| seen[*n]) && t.iter().any(|n| !seen[*n]))
            .flatten()
            .collect();
        if more.is_empty() {
            let dead = jig.parts.iter().filter(|p| !p.kind.terminals().iter().any(|n| seen[*n]));
            for p in dead {
                // A misspelt net is told once, as a loose end.
                let slip = p.kind.terminals().iter().any(|n| loose.contains(n));
                if !slip {
                    out.push(
                        case.about_part(CheckId::UnusedPart, Signal::Caution, p, "across")
                            .source(&rules::net_list())
                            .says(
                                format!("{} is joined to nothing that is powered, so it was not judged", p.name),
                                format!("correct the nets of {}, or take it out of the file", p.name),
                            ),
                    );
                }
            }
            return;
        }
        starts.extend(more);
    }
}
