//! Nets that only one end names.

use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::LooseEnd;
use crate::finding::{CheckId, Said, Signal};
use crate::jig::{NetId, Side, suggest_net};
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::LooseEnd,
    judges: &[],
    about: About {
        looks_at: "A net that only one end names.",
        limit: "Every net joins two ends at least.",
        rows: &["rules.rule.net_list"],
        how: "Counts the ends of each net.",
        mend: "Correct the name, or take the part out.",
    },
    run,
};

/// Nets with one end. Metal inside the box that an insulation names has no second end to give.
pub(crate) fn loose_nets(case: &Case) -> Vec<NetId> {
    let stated = |n: &usize| case.jig.insulations.iter().any(|i| i.between.contains(&Side::Net(*n)));
    case.jig.loose_nets().into_iter().filter(|n| !stated(n)).collect()
}

fn run(case: &Case, out: &mut Vec<Draft>) {
    for n in loose_nets(case) {
        let net = &case.jig.nets[n];
        let part = case.jig.parts.iter().find(|p| p.kind.terminals().contains(&n)).map(|p| p.name.clone());
        let draft = case.at(CheckId::LooseEnd, Signal::Caution, net.place).net(&net.name).source(&rules::net_list());
        let draft = part.iter().fold(draft, |d, p| d.part(p));
        let near = suggest_net(case.jig, &net.name).map(String::from);
        out.push(draft.states(Said::LooseEnd(LooseEnd { net: net.name.clone(), part, near })));
    }
}
