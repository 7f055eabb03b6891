//! The current of coils, motors and inrush limiters in normal use.

use super::overload;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Said};
use crate::jig::PartKind;

pub(super) const CHECK: Check = Check {
    id: CheckId::WindingRating,
    judges: &[
        of("inductor", &["current"], &[At::Use]),
        of("winding", &["current"], &[At::Use]),
        of("thermistor", &["current"], &[At::Use]),
    ],
    about: About {
        looks_at: "the current of every coil, motor and inrush limiter in normal use",
        limit: "its rated current",
        rows: &["jig"],
        how: "r.m.s. current at nominal supply",
        mend: "a larger one or a smaller current",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let coil = |kind: &PartKind| matches!(kind, PartKind::Inductor(_) | PartKind::Winding(_) | PartKind::Thermistor(_));
    let found = overload::in_normal_use(case, coil);
    out.extend(found.into_iter().map(|(part, n)| {
        let (draft, current) = overload::carries(case, CheckId::WindingRating, part, &n);
        draft.states(Said::WindingRating(current))
    }));
}
