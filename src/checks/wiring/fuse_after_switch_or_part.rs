//! A fuse comes first in the live conductor.

use super::names::once;
use super::poles::poles;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::FuseAfter;
use crate::finding::{CheckId, Said, Signal};
use crate::jig::NET_L;
use crate::standard::rules;

pub(super) const CHECK: Check = Check {
    id: CheckId::FuseAfterSwitchOrPart,
    judges: &[],
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
    let poles = poles(case);
    let late: Vec<&(String, String)> = poles.iter().flat_map(|p| &p.late).collect();
    for fuse in once(late.iter().map(|l| l.0.clone())) {
        let before = once(late.iter().filter(|l| l.0 == fuse).map(|l| l.1.clone()));
        let pin = poles.iter().find(|p| p.late.iter().any(|l| l.0 == fuse)).map_or(NET_L, |p| p.pin);
        let Some(part) = case.jig.parts.iter().find(|p| p.name == fuse) else { continue };
        let draft = case.about_part(CheckId::FuseAfterSwitchOrPart, Signal::Warning, part, "across");
        let draft = before.iter().fold(draft, |d, b| d.part(b)).net(case.net(pin)).source(&rules::fuse_at_start());
        let said = FuseAfter { fuse, before, pin: case.net(pin).to_string() };
        out.push(draft.states(Said::FuseAfterSwitchOrPart(said)));
    }
}
