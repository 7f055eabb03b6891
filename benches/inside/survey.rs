//! Whole surveys: every single fault, every pair of faults, and judging.

use crate::survey::{Options, Watch, survey};
use crate::{checks, jig};
use std::hint::black_box;
use std::path::Path;

fn read(name: &str) -> jig::Jig {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("demo-data/{name}.toml"));
    jig::read(&path).unwrap_or_else(|errors| panic!("{}", errors[0]))
}

/// Every single fault of a demo jig on so many threads: how many conditions, and the survey.
pub fn single_faults(name: &str, threads: usize) -> (usize, impl Fn()) {
    let jig = read(name);
    let options = Options { faults: 1, threads, ..Options::default() };
    let conditions = survey(&jig, &options).count().solved;
    (conditions, move || drop(black_box(survey(black_box(&jig), &options))))
}

/// Every pair of faults of a demo jig on two threads: how many conditions, and the survey.
pub fn double_faults(name: &str) -> (usize, impl Fn()) {
    let jig = read(name);
    let options = Options { threads: 2, ..Options::default() };
    let pairs = move || checks::pairs::double_faults(black_box(&jig), &[], &options, &Watch::default());
    (pairs().conditions.max(1), move || drop(black_box(pairs())))
}

/// Judging a demo jig that is surveyed.
pub fn judging(name: &str) -> impl Fn() {
    let jig = read(name);
    let survey = survey(&jig, &Options::default());
    move || drop(black_box(checks::judge(black_box(&jig), black_box(&survey), "2026-01-01")))
}
