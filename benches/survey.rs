//! How long whole surveys take: every single fault on one and on two threads, every pair of faults. Conditions a second
//! are printed as items a second. `cargo bench --features measured --bench survey`.

use deadfront::measured::survey;
use divan::Bencher;
use divan::counter::ItemsCount;

const JIGS: [&str; 4] = ["neon-wand-230v", "capacitor-led-230v", "series-lamp-limiter-230v", "isolated-supply-230v"];

fn main() {
    divan::main();
}

fn single_faults(bencher: Bencher, name: &str, threads: usize) {
    let (conditions, run) = survey::single_faults(name, threads);
    bencher.counter(ItemsCount::new(conditions)).bench_local(run);
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
    let (conditions, run) = survey::double_faults(name);
    bencher.counter(ItemsCount::new(conditions)).bench_local(run);
}

#[divan::bench(args = JIGS)]
fn judging(bencher: Bencher, name: &str) {
    bencher.bench_local(survey::judging(name));
}
