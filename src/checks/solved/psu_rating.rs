//! What a bought module has to deliver in normal use.

use super::overload;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Said};
use crate::jig::PartKind;

pub(super) const CHECK: Check = Check {
    id: CheckId::PsuRating,
    judges: &[of("psu", &["current", "power"], &[At::Use])],
    about: About {
        looks_at: "what a bought module has to deliver in normal use",
        limit: "its rated current",
        rows: &["jig"],
        how: "the circuit behind it is solved with the module as a stiff source",
        mend: "a larger module, or a smaller load",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let found = overload::in_normal_use(case, |kind| matches!(kind, PartKind::Psu(_)));
    out.extend(found.into_iter().map(|(part, n)| {
        let (draft, current) = overload::carries(case, CheckId::PsuRating, part, &n);
        draft.states(Said::PsuRating(current))
    }));
}
