//! L joined to N, or either to earth, by the net list itself.

use super::names;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::DeadShort;
use crate::finding::{CheckId, Said, Signal, When};
use crate::jig::{NET_L, NET_N, NET_PE, NetId};
use crate::nets::Edge;
use crate::standard::rules;
use crate::survey::settings::settings;

pub(super) const CHECK: Check = Check {
    id: CheckId::DeadShort,
    judges: &[],
    about: About {
        looks_at: "L joined to N, or either to earth, through wires, fuses and contacts alone.",
        limit: "None: the net list itself shows it.",
        rows: &["rules.rule.net_list"],
        how: "Walks from each pin in every combination of switch positions.",
        mend: "Take out the wire or the contact that joins them.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    if !case.nets().has_mains() {
        return;
    }
    let mut told = vec![];
    for (at, _) in settings(case.jig).0 {
        for pins in [[NET_L, NET_N], [NET_L, NET_PE], [NET_N, NET_PE]] {
            if !told.contains(&pins)
                && let Some(through) = joined(case, pins, &at)
            {
                told.push(pins);
                out.push(finding(case, pins, through).when(When::Switches(at.clone())));
            }
        }
    }
}

/// What joins two pins while the switches stand so, where they are joined by nothing that limits a current.
fn joined(case: &Case, [a, b]: [NetId; 2], at: &[usize]) -> Option<Vec<String>> {
    let nets = case.nets();
    let closed = |e: &Edge| e.is_hard() && nets.is_closed(e, at);
    let from = nets.walk(&[a], &closed).reached();
    // What lies between: everything that hangs on them both.
    let between = nets.edges().iter().filter(|e| closed(e) && from.has(e.ends[0]));
    from.has(b).then(|| names::of_edges(case, between))
}

fn finding(case: &Case, [a, b]: [NetId; 2], through: Vec<String>) -> Draft {
    let nets = case.nets();
    let metal = b == NET_PE && (nets.live_pins().contains(&a) || nets.line_to_line());
    let signal = if metal { Signal::Danger } else { Signal::Warning };
    let draft = match case.jig.parts.iter().find(|p| through.contains(&p.name)) {
        Some(part) => case.about_part(CheckId::DeadShort, signal, part, "across"),
        None => case.about_key(CheckId::DeadShort, signal, "supply"),
    };
    let draft = through.iter().fold(draft, |d, n| d.part(n)).net(case.net(a)).net(case.net(b));
    let said = if b == NET_PE {
        DeadShort::Earth { pin: case.net(a).to_string(), through }
    } else {
        DeadShort::Poles { through }
    };
    draft.source(&rules::net_list()).states(Said::DeadShort(said))
}
