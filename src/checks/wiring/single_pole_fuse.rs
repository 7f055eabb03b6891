//! A fuse in each pole that can be live.

use super::poles::one_pole_fuses;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Said};
use crate::nets::Live;

pub(super) const CHECK: Check = Check {
    id: CheckId::SinglePoleFuse,
    judges: &[],
    about: About {
        looks_at: "A fuse in one pole where either pin can be live.",
        limit: "A fuse in each pole that can be live: both on reversible plugs and on line-to-line supplies.",
        rows: &["rules.rule.fuse_each_pole"],
        how: "Walks from each pin that can be live: the fuse must be the first thing it meets.",
        mend: "Add a second fuse of the same rating directly behind the other pin.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    // Which of two tips is live nobody can say of a probe, and what leads on from either ends in the other.
    if !case.jig.supply.held && case.nets().live().is_some_and(|live| live != Live::Line) {
        let found = one_pole_fuses(case, CheckId::SinglePoleFuse);
        out.extend(found.into_iter().map(|(draft, said)| draft.states(Said::SinglePoleFuse(said))));
    }
}
