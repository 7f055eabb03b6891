//! Nets that only one end names.

use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{NetId, Side, suggest_net};
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::LooseEnd,
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
pub fn loose_nets(case: &Case) -> Vec<NetId> {
    let stated = |n: &usize| case.jig.insulations.iter().any(|i| i.between.contains(&Side::Net(*n)));
    case.jig.loose_nets().into_iter().filter(|n| !stated(n)).collect()
}

fn run(case: &Case, out: &mut Vec<Draft>) {
    for n in loose_nets(case) {
        let net = &case.jig.nets[n];
        let owner = case.jig.parts.iter().find(|p| p.kind.terminals().contains(&n));
        let place = owner.map_or(net.place, |_| net.place);
        let mut d = case.at(CheckId::LooseEnd, Signal::Caution, place).net(&net.name).source(&rules::net_list());
        if let Some(p) = owner {
            d = d.part(&p.name);
        }
        let remedy = match suggest_net(case.jig, &net.name) {
            Some(near) => format!("did you mean {near}? Else join the end to something or take it out"),
            None => "join the end to something, or take it out".to_string(),
        };
        let whose = owner.map_or(String::new(), |p| format!(" (an end of {})", p.name));
        out.push(d.says(format!("{} is named once{whose}: that end hangs in the air", net.name), remedy));
    }
}
