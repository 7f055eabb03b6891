//! How long whole surveys take: every single fault on one and on two threads, every pair of faults. Conditions a second
//! are printed as items a second.

use deadfront::survey::{Options, Watch, survey};
use deadfront::{checks, jig};
use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use std::path::Path;

const JIGS: [&str; 4] = ["neon-wand-230v", "capacitor-led-230v", "series-lamp-limiter-230v", "isolated-supply-230v"];

fn main() {
    divan::main();
}

fn read(name: &str) -> jig::Jig {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("demo-data/{name}.toml"));
    jig::read(&path).unwrap_or_else(|faults| panic!("{}", faults[0]))
}

fn single_faults(bencher: Bencher, name: &str, threads: usize) {
    let jig = read(name);
    let options = Options { faults: 1, threads };
    let conditions = survey(&jig, &options).count().solved;
    bencher.counter(ItemsCount::new(conditions)).bench(|| survey(black_box(&jig), &options));
}

#[divan::bench(args = JIGS)]
fn single_faults_one_thread(bencher: Bencher, name: &str) {
    single_faults(bencher, name, 1);
}

#[divan::bench(args = JIGS)]
fn single_faults_two_threads(bencher: Bencher, name: &str) {
    single_faults(bencher, name, 2);
}

#[divan::bench(args = JIGS, sample_count = 10)]
fn double_faults_two_threads(bencher: Bencher, name: &str) {
    let jig = read(name);
    let pairs = checks::pairs::double_faults(&jig, &[], 2, &Watch::default());
    bencher
        .counter(ItemsCount::new(pairs.conditions.max(1)))
        .bench(|| checks::pairs::double_faults(black_box(&jig), &[], 2, &Watch::default()));
}

#[divan::bench(args = JIGS)]
fn judging(bencher: Bencher, name: &str) {
    let jig = read(name);
    let survey = survey(&jig, &Options::default());
    bencher.bench(|| checks::judge(black_box(&jig), black_box(&survey), "2026-01-01"));
}
