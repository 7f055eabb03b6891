//! What the fuzzer runs (`tests/fuzz/`), over its corpus and over damaged copies of it: the same damage in every run.
#![allow(clippy::unwrap_used)]

use super::entries::{ENTRIES, Entry};
use super::support::dice::Dice;
use std::path::{Path, PathBuf};

/// Damaged copies of each file: more with `DEADFRONT_FUZZ=100000`.
fn copies() -> usize {
    std::env::var("DEADFRONT_FUZZ").ok().and_then(|n| n.parse().ok()).unwrap_or(60)
}

fn files_in(folder: &Path) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else { return vec![] };
    let mut all: Vec<PathBuf> = entries.map(|e| e.unwrap().path()).filter(|p| p.is_file()).collect();
    all.sort();
    all
}

/// The corpus of an entry; for jigs and manifests also those that stand elsewhere in the tree.
fn corpus(name: &str) -> Vec<Vec<u8>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut files = files_in(&root.join("tests/fuzz/corpus").join(name));
    match name {
        "jig" => files.extend(["demo-data", "tests/jigs"].iter().flat_map(|f| files_in(&root.join(f)))),
        "manifest" => {
            let shipped = std::fs::read_dir(root.join("plugins")).unwrap();
            files.extend(shipped.map(|e| e.unwrap().path().join("plugin.toml")).filter(|p| p.is_file()));
            files.sort();
        }
        _ => {}
    }
    files.iter().map(|f| std::fs::read(f).unwrap()).collect()
}

/// Bytes and pieces that mean something to a reader.
const PIECES: [&[u8]; 18] = [
    b"\"",
    b"[",
    b"]]",
    b"{",
    b"= ",
    b"\n",
    b"\0",
    b"\xff",
    b"\x1b[2J",
    b"1e999",
    b"-0",
    b"nan",
    "Ω".as_bytes(),
    "\u{202e}".as_bytes(),
    b"\"\"\"",
    b"'''",
    b"99999999999999999999",
    b"\\u0000",
];

fn damage(bytes: &mut Vec<u8>, others: &[Vec<u8>], dice: &mut Dice) {
    let at = dice.below(bytes.len() + 1);
    let long = dice.below(24);
    let end = (at + long).min(bytes.len());
    match dice.below(7) {
        0 => drop(bytes.drain(at..end)),
        1 => bytes.truncate(at),
        2 => drop(bytes.splice(at..end, PIECES[dice.below(PIECES.len())].iter().copied())),
        3 => bytes.insert(at, dice.bits() as u8),
        4 if at < bytes.len() => bytes[at] ^= 1 << dice.below(8),
        5 => {
            let copy = bytes[at..end].to_vec();
            let to = dice.below(bytes.len() + 1);
            drop(bytes.splice(to..to, copy));
        }
        _ => {
            let other = &others[dice.below(others.len())];
            let from = dice.below(other.len() + 1);
            let piece = other[from..(from + 4 * long).min(other.len())].to_vec();
            drop(bytes.splice(at..end, piece));
        }
    }
}

fn run(entry: Entry, name: &str, bytes: &[u8]) {
    let held = std::panic::catch_unwind(|| entry(bytes));
    assert!(held.is_ok(), "{name} of {:?}", String::from_utf8_lossy(bytes));
}

#[test]
fn everything_a_stranger_hands_over_is_read_or_told() {
    for (k, (name, entry)) in ENTRIES.iter().enumerate() {
        let corpus = corpus(name);
        assert!(!corpus.is_empty(), "{name} has no corpus");
        let mut dice = Dice::new(k as u64);
        for whole in &corpus {
            run(*entry, name, whole);
            for _ in 0..copies() {
                let mut bytes = whole.clone();
                for _ in 0..=dice.below(4) {
                    damage(&mut bytes, &corpus, &mut dice);
                }
                run(*entry, name, &bytes);
            }
        }
    }
}

/// Every file of the corpus that should be read is, so that its damaged copies come far.
#[test]
fn the_corpus_is_read() {
    use crate::sharing::{lock::Lock, policy::Policy, shops::Shops, sign::Signature, vet::Record};
    let text = |name: &str| corpus(name).into_iter().map(|b| String::from_utf8(b).unwrap()).collect::<Vec<_>>();
    let place = Path::new("f.toml");
    assert!(corpus("record").iter().all(|b| Record::read(b, place).is_ok()));
    assert!(corpus("lock").iter().all(|b| Lock::read(b, place).is_ok()));
    assert!(text("policy").iter().all(|t| Policy::read(t, place).is_ok()));
    assert!(text("shops").iter().all(|t| Shops::read(t, place).is_ok()));
    assert_eq!(corpus("signature").iter().filter(|b| Signature::read(b, place).is_ok()).count(), 1);
    let manifests = corpus("manifest");
    let read = |b: &Vec<u8>| crate::plugin::Manifest::parse("plugin.toml", b).map_err(|e| panic!("{e:?}")).is_ok();
    assert!(manifests.iter().all(read));
    let limits = Policy::read(crate::sharing::policy::DEFAULT, place).unwrap().archive;
    let archives = corpus("archive");
    assert!(
        archives
            .iter()
            .all(|b| crate::sharing::archive::read(b, Path::new("probe-bleeder-1.0.0.tar.gz"), &limits).is_ok())
    );
}
