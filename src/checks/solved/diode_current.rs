//! Mean current of diodes and bridges.

use super::lookup::{lasting, rated};
use super::propose;
use super::rectifiers::{Rectifier, first_of_each};
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, DiodeCurrent};
use crate::finding::{CheckId, Compared, Quantity, Said, Signal, Situation};

pub(super) const CHECK: Check = Check {
    id: CheckId::DiodeCurrent,
    judges: &[of("diode", &["current"], &[At::Use]), of("bridge", &["current"], &[At::Use])],
    about: About {
        looks_at: "the mean current of every diode and bridge in normal use",
        limit: "its rated mean current",
        rows: &["jig"],
        how: "mean of the current over a mains cycle",
        mend: "take a larger rectifier, or lower the load",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    first_of_each(case, |r| mean(case, r), out);
}

fn mean(case: &Case, r: &Rectifier) -> Option<Draft> {
    let a = r.amperes.filter(|_| r.whole)?;
    let s = lasting(case, r.item, Quantity::CurrentMean, Situation::Normal).filter(|s| s.value > a)?;
    let d = case.about_part(CheckId::DiodeCurrent, Signal::Warning, r.part, "current");
    let said = DiodeCurrent { part: r.part.name.clone(), current: s.amount(), limit: Amount::new(a, "A") };
    let d = d.over(Compared::CurrentMean, &s, &rated(a, "A")).states(Said::DiodeCurrent(said));
    Some(d.proposes(propose::rectifier(case, r.part)))
}
