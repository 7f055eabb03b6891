//! No fuse in the neutral, whatever else protects.

use super::names::once;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::FuseInNeutral;
use crate::finding::{CheckId, Said, Signal};
use crate::jig::{NET_L, NET_N, NetId};
use crate::nets::{Edge, Live, NetSet};
use crate::part::Link;
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::FuseInNeutral,
    judges: &[of("fuse", &["across"], &[At::Use])],
    about: About {
        looks_at: "A fuse that opens the neutral and leaves the tool live.",
        limit: "The fuse stands in the line conductor.",
        rows: &["rules.rule.fuse_in_line"],
        how: "With the live pin assured: a fuse with one end on N, through nothing but wires, contacts and fuses, is in the neutral. A fuse in the plug is no excuse; beside a fuse of the tool in the line it is a CAUTION.",
        mend: "Move the fuse into the line conductor, directly behind the plug; where one stands there already, join the ends of the one in the neutral.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    if case.nets().live() != Some(Live::Line) {
        return;
    }
    let fuses = in_pole(case, NET_N, NET_L);
    let Some(part) = case.jig.parts.iter().find(|p| fuses.contains(&p.name)) else { return };
    let in_line = in_pole(case, NET_L, NET_N);
    let signal = if in_line.is_empty() { Signal::Warning } else { Signal::Caution };
    let draft = case.about_part(CheckId::FuseInNeutral, signal, part, "across");
    let draft = fuses.iter().fold(draft, |d, f| d.part(f)).net(case.net(NET_L)).net(case.net(NET_N));
    let said = FuseInNeutral { fuses, in_line, line: case.net(NET_L).to_string() };
    out.push(draft.source(&rules::fuse_in_line()).states(Said::FuseInNeutral(said)));
}

/// Names of the fuses that stand in the pole of a pin: hard joints lead from it to one end of each, and from the other end
/// to neither pin.
fn in_pole(case: &Case, pin: NetId, other: NetId) -> Vec<String> {
    let nets = case.nets();
    let is_in_pole = |fuse: &&Edge| {
        let hard = |e: &Edge| e.is_hard() && !std::ptr::eq(e, *fuse);
        let from = |pin: NetId| -> NetSet { nets.walk(&[pin], &hard).reached() };
        let (here, there) = (from(pin), from(other));
        let stands =
            |near: NetId, beyond: NetId| here.has(near) && !here.has(beyond) && !there.has_any(&[near, beyond]);
        stands(fuse.ends[0], fuse.ends[1]) || stands(fuse.ends[1], fuse.ends[0])
    };
    let fuses = nets.edges().iter().filter(|e| matches!(e.link, Link::Fuse(_)));
    once(fuses.filter(is_in_pole).map(|e| e.name(case.jig).to_string()))
}
