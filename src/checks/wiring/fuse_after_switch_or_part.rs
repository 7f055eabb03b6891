//! A fuse comes first in the live conductor.

use super::graph::{Wiring, once};
use super::poles::poles;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::NET_L;
use crate::standard::rules;
use crate::wording::join::list;

pub(super) const CHECK: Check = Check {
    id: CheckId::FuseAfterSwitchOrPart,
    about: About {
        looks_at: "A fuse that does not come first in the live conductor.",
        limit: "Protection against overcurrent stands at the start of what it protects.",
        rows: &["rules.rule.fuse_at_start"],
        how: "Walks from each live pin: what it meets before the fuse has no fuse of its own.",
        mend: "Move the fuse directly behind the plug, before switch and parts.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let w = Wiring::new(case.jig);
    let poles = poles(case, &w);
    let late: Vec<&(String, String)> = poles.iter().flat_map(|p| &p.1.late).collect();
    for fuse in once(late.iter().map(|l| l.0.clone())) {
        let before = once(late.iter().filter(|l| l.0 == fuse).map(|l| l.1.clone()));
        let pin = poles.iter().find(|p| p.1.late.iter().any(|l| l.0 == fuse)).map_or(NET_L, |p| p.0);
        if let Some(part) = case.jig.parts.iter().find(|p| p.name == fuse) {
            let mut d = case.about_part(CheckId::FuseAfterSwitchOrPart, Signal::Warning, part, "across");
            d = before.iter().fold(d, |d, b| d.part(b)).net(case.net(pin));
            out.push(d.source(&rules::fuse_at_start()).says(
                format!(
                    "{fuse} comes after {}, so a fault there or in the wiring before it is not ended by the fuse",
                    list(&before)
                ),
                format!(
                    "move {fuse} to the start of the live conductor: one end on {}, all else behind it",
                    case.net(pin)
                ),
            ));
        }
    }
}
