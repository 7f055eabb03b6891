//! Mean current of diodes and bridges.

use super::propose;
use super::rectifiers::{Rectifier, first_of_each};
use super::words::{lasting, rated, show};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::Quantity;
use crate::finding::{CheckId, Kind, Signal};

pub(super) const CHECK: Check = Check {
    id: CheckId::DiodeCurrent,
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
    let s = lasting(case, r.item, Quantity::CurrentMean, Kind::Normal).filter(|s| s.value > a)?;
    let d = case.about_part(CheckId::DiodeCurrent, Signal::Warning, r.part, "current");
    let said = d.over("mean current", &s, &rated(a, "A")).says(
        format!(
            "{} carries {} mean, made for {}: it overheats and mostly fails short",
            r.part.name,
            show(s.value, "A"),
            show(a, "A")
        ),
        format!("use a rectifier of at least {}", show(s.value, "A")),
    );
    Some(said.proposes(propose::rectifier(case, r.part)))
}
