//! What stands across varistors and suppressors for ever.

use super::lookup::nominal_volts;
use super::overload::{self, Normal, Stressed};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, VaristorRating};
use crate::finding::{CheckId, Compared, Said, Signal};
use crate::jig::{Part, PartKind};
use crate::standard;

pub(super) const CHECK: Check = Check {
    id: CheckId::VaristorRating,
    about: About {
        looks_at: "the volts that stand across every varistor and suppressor for ever",
        limit: "the highest continuous a.c. volts stated for it; {parts.varistor.usual_for_230v.rated_ac_v} is usual on {parts.varistor.usual_for_230v.mains_v}",
        rows: &["jig"],
        how: "r.m.s. volts at the highest supply",
        mend: "use the varistor usual for the supply, behind the fuse",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let surge = |kind: &PartKind| matches!(kind, PartKind::Varistor(_) | PartKind::Suppressor(_));
    for (part, n) in overload::in_normal_use(case, surge) {
        out.push(match n.what {
            Stressed::Watts => suppressor(case, part, &n),
            Stressed::Volts | Stressed::Winding | Stressed::Current => varistor(case, part, &n),
        });
    }
}

fn varistor(case: &Case, part: &Part, n: &Normal) -> Draft {
    let said = VaristorRating::Volts {
        part: part.name.clone(),
        volts: n.seen.amount(),
        limit: (&n.limit).into(),
        cure: usual(case),
    };
    case.about_part(CheckId::VaristorRating, Signal::Warning, part, "voltage")
        .over(Compared::VoltsRms, &n.seen, &n.limit)
        .states(Said::VaristorRating(said))
}

fn suppressor(case: &Case, part: &Part, n: &Normal) -> Draft {
    let said = VaristorRating::Watts { part: part.name.clone(), watts: n.seen.amount(), limit: (&n.limit).into() };
    case.about_part(CheckId::VaristorRating, Signal::Warning, part, "power")
        .over(Compared::Power, &n.seen, &n.limit)
        .states(Said::VaristorRating(said))
}

/// Rated volts of the varistor that is usual on this supply.
fn usual(case: &Case) -> Option<Amount> {
    let rows = standard::parts::varistor();
    let row = rows.iter().find(|r| r.number("mains_v") == Some(nominal_volts(case)));
    row.and_then(|r| r.number("rated_ac_v")).map(|v| Amount::new(v, "V"))
}
