//! No fuse in the neutral while the live conductor has none.

use super::poles::one_pole_fuses;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Said};
use crate::nets::Live;

pub(super) const CHECK: Check = Check {
    id: CheckId::FuseInNeutral,
    about: About {
        looks_at: "A fuse that opens the neutral and leaves the tool live.",
        limit: "The fuse stands in the line conductor.",
        rows: &["rules.rule.fuse_in_line"],
        how: "With the live pin assured, walks from it: a fuse that is met only behind the load is in the neutral.",
        mend: "Move the fuse into the line conductor, directly behind the plug.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    if case.nets().live() == Some(Live::Line) {
        let found = one_pole_fuses(case, CheckId::FuseInNeutral);
        out.extend(found.into_iter().map(|(draft, said)| draft.states(Said::FuseInNeutral(said))));
    }
}
