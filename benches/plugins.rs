//! Speed of plugins: one machine started, loaded and run; eight that apply side by side; those of other units; a what-if
//! against the same solution of the core. `cargo bench --features measured --bench plugins`.

use deadfront::finding::Judgement;
use deadfront::measured::plugins;
use divan::Bencher;

fn main() {
    divan::main();
}

#[divan::bench(args = ["neon wand", "100 parts"])]
fn one_of_fifty_lines(bencher: Bencher, jig: &str) {
    bencher.bench_local(plugins::one_of_fifty_lines(jig));
}

/// The same without a thread of its own: what the machine itself costs.
#[divan::bench(args = ["neon wand", "100 parts"])]
fn machine_alone(bencher: Bencher, jig: &str) {
    bencher.bench_local(plugins::machine_alone(jig));
}

fn added(bencher: Bencher, judgement: &Judgement, run: impl Fn(&mut Judgement), ran: impl Fn(usize) -> bool) {
    bencher.with_inputs(|| judgement.clone()).bench_local_refs(|judgement| {
        run(judgement);
        assert!(ran(judgement.plugins.iter().filter(|p| p.outcome == "ran").count()));
    });
}

/// What so many that apply add to a check, from the folders in hand to their findings in the judgement.
#[divan::bench(args = [0, 1, 8])]
fn side_by_side(bencher: Bencher, count: usize) {
    let (judgement, run) = plugins::side_by_side(count);
    added(bencher, &judgement, run, |ran| ran == count);
}

/// The plugins that ship: read and hashed, as each check does.
#[divan::bench]
fn shipped_read() -> usize {
    plugins::shipped_read()
}

/// The shipped plugin of its unit, on the demo jig it is for.
#[divan::bench(args = ["neon-wand-230v", "led-box-230v", "discharge-probe", "series-lamp-limiter-230v", "isolated-supply-230v"])]
fn shipped_on(bencher: Bencher, name: &str) {
    let (judgement, run) = plugins::shipped_on(name);
    added(bencher, &judgement, run, |ran| ran > 0);
}

/// A hundred what-ifs of one plugin.
#[divan::bench]
fn hundred_what_ifs_of_a_plugin(bencher: Bencher) {
    bencher.bench_local(plugins::hundred_what_ifs_of_a_plugin());
}

/// The same hundred by the core alone.
#[divan::bench]
fn hundred_what_ifs_of_the_core(bencher: Bencher) {
    bencher.bench_local(plugins::hundred_what_ifs_of_the_core());
}
