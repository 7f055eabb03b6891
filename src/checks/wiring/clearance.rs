//! The shortest way through air.

use super::distances::{Measured, judge};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Compared, Said};

pub(super) const CHECK: Check = Check {
    id: CheckId::Clearance,
    judges: &[],
    about: About {
        looks_at: "The shortest way through air.",
        limit: "Mains, by volts to earth: up to {insulation.crosscheck.iec61010_150v.line_to_neutral_to_v} {insulation.crosscheck.iec61010_150v.clearance_mm}, up to {insulation.crosscheck.iec61010_300v.line_to_neutral_to_v} {insulation.crosscheck.iec61010_300v.clearance_mm}; {insulation.creepage_rule.reinforced.factor} times that for reinforced insulation. Else by impulse at pollution degree 2: {insulation.clearance_rows impulse_kv pd2_mm}.",
        rows: &[
            "rules.rule.beyond_the_table",
            "insulation.crosscheck.iec61010_150v",
            "insulation.crosscheck.iec61010_300v",
            "insulation.clearance_rule",
        ],
        how: "Compares the stated clearance with the row of the voltage to earth.",
        mend: "Move the parts apart, or put a barrier between them.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let found = judge(case, CheckId::Clearance, &Compared::Clearance, |insulation, least| Measured {
        stated: insulation.clearance,
        least: least.clearance,
    });
    out.extend(found.into_iter().map(|(draft, said)| draft.states(Said::Clearance(said))));
}
