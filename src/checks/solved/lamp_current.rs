//! The current of glow lamps.

use super::limiting;
use super::lookup::{lasting, rated};
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, LampCurrent, Percent};
use crate::finding::{CheckId, Compared, Quantity, Said, Signal, Situation};
use crate::jig::PartKind;
use crate::part::Neon;
use crate::standard::{self, Limit};

pub(super) const CHECK: Check = Check {
    id: CheckId::LampCurrent,
    judges: &[of("neon-lamp", &["current", "max-current"], &[At::Use])],
    about: About {
        looks_at: "the r.m.s. current of every glow lamp in normal use",
        limit: "its max-current; where none is stated {bench.part_model.neon_max_current.multiple_of_design} times the design current",
        rows: &["jig"],
        how: "r.m.s. current over a mains cycle, highest supply, worst tolerances",
        mend: "raise the series resistance to the next preferred value that brings the current back",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        let PartKind::Neon(Neon { current, max_current: max, .. }) = &part.kind else { continue };
        if limiting::is_bare(case, k) {
            continue;
        }
        let Some(s) = lasting(case, k, Quantity::CurrentRms, Situation::Normal) else { continue };
        let Some(limit) = limiting::highest(*current, *max).filter(|m| s.value > *m) else { continue };
        let limit = match max {
            Some(m) => rated(*m, "A"),
            None => Limit { value: limit, unit: "A", ..standard::bench::neon_max_current_multiple() },
        };
        out.push(
            case.about_part(CheckId::LampCurrent, Signal::Notice, part, "max-current")
                .over(Compared::CurrentRms, &s, &limit)
                .states(Said::LampCurrent(LampCurrent {
                    part: part.name.clone(),
                    current: s.amount(),
                    limit: Amount::new(limit.value, "A"),
                    cure: Percent::of(s.value / limit.value - 1.0),
                }))
                .proposes(propose::less_current(case, k, s.value / limit.value)),
        );
    }
}
