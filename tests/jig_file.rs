//! The jig file as a whole: what is read, what is refused and in which words.
#![allow(clippy::unwrap_used)]

use std::path::PathBuf;

use deadfront::jig::{self, Fault, Jig};

fn example(name: &str) -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "tests", "jigs", name].iter().collect()
}

fn good(name: &str) -> Jig {
    jig::read(&example(name))
        .unwrap_or_else(|faults| panic!("{}", faults.iter().map(Fault::to_string).collect::<Vec<_>>().join("\n")))
}

#[test]
fn smoke() {
    for name in ["wand.toml", "probe.toml", "everything.toml"] {
        let jig = good(name);
        println!("{jig:#?} {:?}", jig.loose_nets());
    }
}
