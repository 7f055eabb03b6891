//! The shortest way along a surface.

use super::distances::{Measured, judge};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Compared, Said};

pub(super) const CHECK: Check = Check {
    id: CheckId::Creepage,
    judges: &[],
    about: About {
        looks_at: "The shortest way along a surface.",
        limit: "Mains: the creepage of the same rows as for clearance, {insulation.creepage_rule.reinforced.factor} times it for reinforced insulation. Else by working voltage, material group III, pollution degree 2: {insulation.creepage_rows working_rms_v pd2_mg3_mm}.",
        rows: &[
            "rules.rule.beyond_the_table",
            "insulation.crosscheck.iec61010_150v",
            "insulation.crosscheck.iec61010_300v",
        ],
        how: "Compares the stated creepage with the row of the working voltage (r.m.s.), taken from the supply or the nominal solution, whichever is higher.",
        mend: "Move the parts apart, or cut a slot into the board.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let found = judge(case, CheckId::Creepage, &Compared::Creepage, |insulation, least| Measured {
        stated: insulation.creepage,
        least: least.creepage,
    });
    out.extend(found.into_iter().map(|(draft, said)| draft.states(Said::Creepage(said))));
}
