//! The lamp of a limiter in the neutral.

use super::names;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::LampInNeutral;
use crate::finding::{CheckId, Said, Signal};
use crate::jig::{NET_L, NET_N, NetId, Outlet, PartKind};
use crate::nets::{Edge, Live, NetSet};
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::LampInNeutral,
    judges: &[],
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
    // With more switches than can be told apart, as they stand first.
    let standings = nets.standings().unwrap_or_else(|| vec![vec![]]);
    for outlet in &case.jig.outlets {
        out.extend(standings.iter().find_map(|at| in_standing(case, outlet, at)));
    }
}

/// With the switches in one standing.
fn in_standing(case: &Case, outlet: &Outlet, at: &[usize]) -> Option<Draft> {
    let nets = case.nets();
    let is_lamp = |p: usize| matches!(case.jig.parts[p].kind, PartKind::Filament(_));
    let lamp = |e: &Edge| e.part().is_some_and(is_lamp);
    let joins = |e: &Edge| e.is_hard() && nets.is_closed(e, at);
    let hard = nets.groups(&joins);
    let way = |e: &Edge| joins(e) || lamp(e);
    let line = NetSet::of(nets.count(), |n| hard.same(n, NET_L));
    let [a, b] = outlet.across;
    let on_line = |[live, other]: &[NetId; 2]| hard.same(*live, NET_L) && !hard.same(*other, NET_L);
    let [live, other] = [[a, b], [b, a]].into_iter().find(on_line).filter(|[_, other]| !hard.same(*other, NET_N))?;
    let way = nets.walk(&[NET_N], &way).round(&line).way(other)?;
    let lamps = names::of_edges(case, way.into_iter().filter(|e| lamp(e)));
    let first = case.jig.parts.iter().find(|p| lamps.contains(&p.name))?;
    let d = case.about_part(CheckId::LampInNeutral, Signal::Caution, first, "across").net(case.net(live));
    let said = LampInNeutral { outlet: outlet.name.clone(), lamps };
    Some(d.source(&rules::limiter_in_line()).states(Said::LampInNeutral(said)))
}
