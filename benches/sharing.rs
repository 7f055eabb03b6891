//! Speed of sharing: adding a plugin of fifty files, and verifying eight installed ones as each check does.
//! `cargo bench --features measured --bench sharing`.

use deadfront::measured::sharing;
use divan::Bencher;

fn main() {
    divan::main();
}

#[divan::bench]
fn add_fifty_files(bencher: Bencher) {
    let (home, add) = sharing::add_fifty_files();
    bencher.with_inputs(home).bench_local_refs(|home| add(home));
}

/// Eight plugins of so many files.
#[divan::bench(args = [5, 50])]
fn verify_eight(bencher: Bencher, files: usize) {
    bencher.bench_local(sharing::verify_eight(files));
}
