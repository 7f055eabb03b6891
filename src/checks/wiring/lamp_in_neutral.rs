//! The lamp of a limiter in the neutral.

use super::names;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::LampInNeutral;
use crate::finding::{CheckId, Said, Signal};
use crate::jig::{NET_L, NET_N, PartKind};
use crate::nets::{Edge, Live, NetSet};
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::LampInNeutral,
    about: About {
        looks_at: "an outlet on the line itself, whose current is limited by a lamp in the neutral alone",
        limit: "What limits a current stands in the line, where the line is assured.",
        rows: &["rules.rule.limiter_in_line"],
        how: "With the live pin assured: one terminal of the outlet is joined to the line by wires, fuses and contacts, the other one reaches the neutral through a lamp and in no other way.",
        mend: "Put the lamp between the line and the outlet.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let nets = case.nets();
    if nets.live() != Some(Live::Line) {
        return;
    }
    let hard = nets.groups(&Edge::is_hard);
    let is_lamp = |p: usize| matches!(case.jig.parts[p].kind, PartKind::Filament(_));
    let lamp = |e: &Edge| e.part().is_some_and(is_lamp);
    let way = |e: &Edge| e.is_hard() || lamp(e);
    let line = NetSet::of(nets.count(), |n| hard.same(n, NET_L));
    for outlet in &case.jig.outlets {
        let [a, b] = outlet.across;
        let terminals =
            [[a, b], [b, a]].into_iter().find(|[live, other]| hard.same(*live, NET_L) && !hard.same(*other, NET_L));
        let Some([live, other]) = terminals.filter(|[_, other]| !hard.same(*other, NET_N)) else { continue };
        let Some(way) = nets.walk(&[NET_N], &way).round(&line).way(other) else { continue };
        let lamps = names::of_edges(case, way.into_iter().filter(|e| lamp(e)));
        let Some(first) = case.jig.parts.iter().find(|p| lamps.contains(&p.name)) else { continue };
        let d = case.about_part(CheckId::LampInNeutral, Signal::Caution, first, "across").net(case.net(live));
        let said = LampInNeutral { outlet: outlet.name.clone(), lamps };
        out.push(d.source(&rules::limiter_in_line()).states(Said::LampInNeutral(said)));
    }
}
