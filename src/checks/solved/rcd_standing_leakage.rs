//! What the earth conductor carries in normal use.

use super::earth_return;
use super::lookup::seen;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, LeakageLimit, RcdStandingLeakage};
use crate::finding::{CheckId, Compared, Said, Signal, Situation};
use crate::standard::residual::rcd_holds;

pub(super) const CHECK: Check = Check {
    id: CheckId::RcdStandingLeakage,
    judges: &[],
    about: About {
        looks_at: "the current in the earth conductor in normal use",
        limit: "{supplies.rcd.general_half.multiple} of the rated current of the residual-current device: it must hold up to there and may trip above; without one in the file, the {parts.inspection.leakage.class_1_other_max_ma} of in-service inspection",
        rows: &[],
        how: "r.m.s. current in PE, highest supply, worst tolerances",
        mend: "smaller Y capacitors, or fewer of them",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let Some(w) = case.survey.ledger.lasting.conductors[2][Situation::Normal].copied() else { return };
    let s = seen(w, "A", Situation::Normal);
    // What works between a pole and the earth is no leakage, and is told as what it is.
    if earth_return::found(case).is_some() {
        return;
    }
    let holds = rcd_holds();
    let (limit, source, by) = match case.jig.supply.rcd {
        Some(Some(rated)) => (holds.value * rated, holds.source.clone(), LeakageLimit::Device),
        _ => match crate::standard::limit("parts.inspection.leakage.class_1_other_max_ma") {
            Some(l) => (l.value, l.source, LeakageLimit::Inspection),
            None => return,
        },
    };
    if s.value <= limit {
        return;
    }
    let signal = if matches!(case.jig.supply.rcd, Some(Some(_))) { Signal::Notice } else { Signal::Caution };
    out.push(
        case.about_key(CheckId::RcdStandingLeakage, signal, "supply.rcd")
            .value(Compared::EarthCurrentRms, s.value, "A")
            .limit(limit, &source)
            .found_in(s.at)
            .states(Said::RcdStandingLeakage(RcdStandingLeakage {
                current: s.amount(),
                limit: Amount::new(limit, "A"),
                by,
            })),
    );
}
