//! What stands across varistors and suppressors for ever.

use super::overload::{self, Normal, Stressed};
use super::words::{nominal_volts, show};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{Part, PartKind};
use crate::standard::{self};

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
            _ => varistor(case, part, &n),
        });
    }
}

fn varistor(case: &Case, part: &Part, n: &Normal) -> Draft {
    case.about_part(CheckId::VaristorRating, Signal::Warning, part, "voltage")
        .over("volts r.m.s.", &n.seen, &n.limit)
        .says(
            format!(
                "{} stand across {} for ever, it is made for {}: it heats up and burns",
                show(n.seen.value, "V"),
                part.name,
                show(n.limit.value, "V")
            ),
            varistor_for(case),
        )
}

fn suppressor(case: &Case, part: &Part, n: &Normal) -> Draft {
    let (takes, made_for) = (show(n.seen.value, "W"), show(n.limit.value, "W"));
    case.about_part(CheckId::VaristorRating, Signal::Warning, part, "power").over("power", &n.seen, &n.limit).says(
        format!("{} takes {takes} for ever, it is made for {made_for}", part.name),
        "use one with a higher breakdown, so that it conducts only in surges",
    )
}

fn varistor_for(case: &Case) -> String {
    let rows = standard::parts::varistor();
    let row =
        rows.iter().find(|r| r.number("mains_v") == Some(nominal_volts(case))).and_then(|r| r.number("rated_ac_v"));
    row.map_or("use one rated above the highest mains".to_string(), |v| {
        format!("use one for {} a.c., behind the fuse", show(v, "V"))
    })
}
