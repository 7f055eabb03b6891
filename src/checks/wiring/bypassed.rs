//! Parts that are bridged by wire, and windings joined past the transformer.

use super::graph::{Edge, Link, Wiring, once};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::Grade;
use crate::jig::PartKind;
use crate::part::Transformer;
use crate::standard::rules;
use crate::wording::join::list;

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
    bypassed(case, &Wiring::new(case.jig), out);
    joined_windings(case, out);
}

fn bypassed(case: &Case, w: &Wiring, out: &mut Vec<Draft>) {
    for (k, p) in case.jig.parts.iter().enumerate() {
        let mine: Vec<&Edge> = w.edges.iter().filter(|e| e.part == Some(k)).collect();
        let joined = |e: &&Edge| {
            let without = |x: &Edge| x.link == Link::Wire && x.part != Some(k);
            w.flood(&[e.ends[0]], &w.none(), &without)[e.ends[1]]
        };
        let Some(short) = mine.iter().copied().find(|e| joined(e)) else { continue };
        if matches!(p.kind, PartKind::Wire(_)) {
            // A second wire in parallel is no slip; one from a net to itself is.
            if short.ends[0] != short.ends[1] {
                continue;
            }
        }
        let signal = match &p.kind {
            PartKind::Fuse(_) | PartKind::ThermalFuse(_) | PartKind::Switch(_) => Signal::Warning,
            PartKind::Resistor(_) => Signal::Warning,
            PartKind::Wire(_) => Signal::Notice,
            _ => Signal::Caution,
        };
        let by: Vec<String> = once(
            w.edges
                .iter()
                .filter(|e| e.link == Link::Wire && e.part != Some(k) && e.ends.iter().any(|n| short.ends.contains(n)))
                .map(|e| e.name.clone()),
        );
        let (message, remedy) = if short.ends[0] == short.ends[1] {
            let net = case.net(short.ends[0]);
            (
                format!("both ends of {} are on {net}, so it does nothing", p.name),
                "correct one of its two nets".to_string(),
            )
        } else {
            (
                format!("{} is bridged by wire ({}), so it does nothing", p.name, list(&by)),
                format!("take the wire past {} out", p.name),
            )
        };
        let d = case.about_part(CheckId::Bypassed, signal, p, "across").net(case.net(short.ends[0]));
        out.push(d.source(&rules::net_list()).says(message, remedy));
    }
}

/// A transformer whose other side hangs on the mains by a way round it separates nothing.
fn joined_windings(case: &Case, out: &mut Vec<Draft>) {
    for p in &case.jig.parts {
        let PartKind::Transformer(Transformer { primary, secondaries, insulation, .. }) = &p.kind else { continue };
        // A transformer stated with no more than functional insulation is not there to separate: an autotransformer.
        if *insulation == Some(Grade::Functional) {
            continue;
        }
        // Between mains and mains there was nothing to separate: a transformer of a circuit that is isolated already.
        if !primary.across.iter().any(|n| case.is_mains(*n)) {
            continue;
        }
        for s in secondaries.iter().filter(|s| s.across.iter().any(|n| case.is_mains(*n))) {
            let d = s
                .across
                .iter()
                .fold(case.about_part(CheckId::Bypassed, Signal::Warning, p, "insulation"), |d, n| d.net(case.net(*n)));
            out.push(d.source(&rules::net_list()).says(
                format!(
                    "the secondary {} is joined to the mains past {}, so {} isolates nothing: what it feeds is live to earth",
                    list(&s.across.iter().map(|n| case.net(*n).to_string()).collect::<Vec<_>>()),
                    p.name,
                    p.name
                ),
                format!("take out what joins the secondary of {} to the primary side", p.name),
            ));
        }
    }
}
