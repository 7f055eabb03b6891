//! Windings of transformers in normal use, and the volts on the primary.

use super::lookup::nominal_volts;
use super::overload::{self, Normal, Stressed};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, TransformerRating};
use crate::finding::{CheckId, Compared, Said, Signal};
use crate::jig::{Part, PartKind};

pub(super) const CHECK: Check = Check {
    id: CheckId::TransformerRating,
    about: About {
        looks_at: "the current of every winding in normal use, and the volts on the primary",
        limit: "rated power over rated volts of the winding; a primary stands a tenth more than its volts (supply tolerance)",
        rows: &["jig"],
        how: "r.m.s. current at nominal supply, I rated = S / U",
        mend: "a larger transformer, a smaller load, or a winding for the supply's volts",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (part, n) in overload::in_normal_use(case, |kind| matches!(kind, PartKind::Transformer(_))) {
        out.push(match n.what {
            Stressed::Primary => saturated(case, part, &n),
            Stressed::Volts | Stressed::Watts | Stressed::Current => {
                let (draft, current) = overload::carries(case, CheckId::TransformerRating, part, &n);
                draft.states(Said::TransformerRating(TransformerRating::Current(current)))
            }
        });
    }
}

fn saturated(case: &Case, part: &Part, n: &Normal) -> Draft {
    case.about_part(CheckId::TransformerRating, Signal::Warning, part, "primary")
        .over(Compared::PrimaryVolts, &n.seen, &n.limit)
        .states(Said::TransformerRating(TransformerRating::Primary {
            part: part.name.clone(),
            volts: n.seen.amount(),
            limit: (&n.limit).into(),
            supply: Amount::new(nominal_volts(case), "V"),
        }))
}
