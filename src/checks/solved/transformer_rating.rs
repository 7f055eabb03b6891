//! Windings of transformers in normal use: their volts and their current.

use super::lookup::nominal_volts;
use super::overload::{self, Normal, Stressed};
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, TransformerRating};
use crate::finding::{CheckId, Compared, Said, Signal};
use crate::jig::{Part, PartKind};
use crate::part::Role;

pub(super) const CHECK: Check = Check {
    id: CheckId::TransformerRating,
    judges: &[of("transformer", &["power", "primary", "secondary"], &[At::Use])],
    about: About {
        looks_at: "the current and the volts of every winding in normal use, wherever it is fed from",
        limit: "rated power over rated volts of the winding; a primary on the mains stands the supply's tolerance above its volts, any other winding {bench.rule.winding_over_volts.multiple} times its volts",
        rows: &["jig", "bench.rule.winding_over_volts"],
        how: "r.m.s. current at nominal supply, I rated = S / U; the iron has too many volts where every winding of a transformer has",
        mend: "a larger transformer, a smaller load, or a winding for the supply's volts",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (part, n) in overload::in_normal_use(case, |kind| matches!(kind, PartKind::Transformer(_))) {
        out.push(match n.what {
            Stressed::Winding => saturated(case, part, &n),
            Stressed::Volts | Stressed::Watts | Stressed::Current => {
                let (draft, current) = overload::carries(case, CheckId::TransformerRating, part, &n);
                draft.states(Said::TransformerRating(TransformerRating::Current(current)))
            }
        });
    }
}

fn saturated(case: &Case, part: &Part, n: &Normal) -> Draft {
    let item = &case.survey.model.items[n.item];
    // What hangs on the mains wants one for the supply; what is fed otherwise one for what stands there.
    let on_mains = item.ends.iter().all(|net| case.is_mains(*net));
    let supply = if on_mains { Amount::new(nominal_volts(case), "V") } else { n.seen.amount() };
    let key = if item.role == Role::Primary { "primary" } else { "secondary" };
    case.about_part(CheckId::TransformerRating, Signal::Warning, part, key)
        .over(if item.role == Role::Primary { Compared::PrimaryVolts } else { Compared::VoltsRms }, &n.seen, &n.limit)
        .states(Said::TransformerRating(TransformerRating::Volts {
            winding: item.name.clone(),
            volts: n.seen.amount(),
            limit: (&n.limit).into(),
            supply,
        }))
}
