//! Everything that a stranger may hand over, one entry each: bytes in, and a panic where what must hold does not. Run by
//! libFuzzer (`tests/fuzz/`) and, over the corpus and damaged copies of it, by `cargo test --lib fuzzed`.
#![allow(clippy::unwrap_used, missing_docs, unreachable_pub)]

use crate::InputError;
use crate::deadtest::{self, DeadTest};
use crate::jig::{self, MOST_ERRORS};
use crate::plugin::manifest::Manifest;
use crate::quantity::{self, Kind, Range};
use crate::sharing::SharingError;
use crate::sharing::archive;
use crate::sharing::lock::Lock;
use crate::sharing::policy::{DEFAULT, Policy};
use crate::sharing::shops::Shops;
use crate::sharing::sign::{PublicKey, Signature};
use crate::sharing::vet::Record;
use std::path::Path;

/// What is done with bytes.
pub type Entry = fn(&[u8]);

/// By name; the corpus of each lies in `corpus/NAME/`.
pub const ENTRIES: &[(&str, Entry)] = &[
    ("jig", jig_file),
    ("quantity", quantities),
    ("manifest", manifest),
    ("archive", archives),
    ("record", record),
    ("signature", signature),
    ("policy", policy),
    ("shops", shops),
    ("lock", lock),
    ("readings", readings),
];

/// Errors have words, stand inside of the file, and nothing in them commands a terminal.
fn told(errors: &[InputError], bytes: &[u8]) {
    assert!(!errors.is_empty() && errors.len() <= MOST_ERRORS + 1, "{} errors", errors.len());
    let lines = bytes.iter().filter(|b| **b == b'\n').count() + 1;
    for e in errors {
        assert!(!e.message.is_empty() && e.line as usize <= lines, "{e}");
        assert!(!e.to_string().contains(['\n', '\u{1b}', '\0']), "{e}");
    }
}

fn one_told(error: &SharingError) {
    let words = error.to_string();
    assert!(!words.is_empty() && !words.contains(['\u{1b}', '\0']), "{words}");
}

fn jig_file(bytes: &[u8]) {
    if let Err(errors) = jig::parse("jig.toml", bytes) {
        told(&errors, bytes);
    }
}

/// What is read is finite and within what a part can have, and reads back from how it is printed.
fn quantities(bytes: &[u8]) {
    const LARGEST: f64 = 1e15;
    // Printed to three digits.
    const PRINTED: f64 = 0.006;
    let text = String::from_utf8_lossy(bytes);
    for kind in Kind::ALL {
        match quantity::parse_in(&text, kind, Range::Any) {
            Ok(value) => {
                assert!(value.is_finite() && value.abs() <= LARGEST, "{text:?} is {value}");
                let printed = quantity::format(value, kind);
                let again = quantity::parse_in(&printed, kind, Range::Any);
                let again = again.unwrap_or_else(|e| panic!("{text:?} is printed as {printed:?}: {e:?}"));
                assert!((again - value).abs() <= PRINTED * value.abs(), "{text:?} {value} {printed:?} {again}");
            }
            Err(error) => {
                let words = format!("{} {}", error.message, error.help);
                assert!(!error.message.is_empty() && !words.contains(['\u{1b}', '\0', '\n']), "{words:?}");
            }
        }
    }
}

fn manifest(bytes: &[u8]) {
    match Manifest::parse("plugin.toml", bytes) {
        Ok(manifest) => assert!(!manifest.stamp().is_empty()),
        Err(errors) => told(&errors, bytes),
    }
}

/// There is one way to write what an archive holds, and what was read is written so.
fn archives(bytes: &[u8]) {
    let place = Path::new("a-1.0.0.tar.gz");
    let limits = Policy::read(DEFAULT, Path::new("policy.toml")).unwrap().archive;
    match archive::read(bytes, place, &limits) {
        Ok(package) => {
            let (again, packed) = archive::pack(&package.files, place).unwrap();
            assert!(again == package && packed == bytes, "two archives of one plugin");
        }
        Err(error) => one_told(&error),
    }
}

/// A record that is read is written so that it reads the same.
fn record(bytes: &[u8]) {
    let place = Path::new("a.vet.toml");
    match Record::read(bytes, place) {
        Ok(record) => {
            let again =
                Record::read(record.text().as_bytes(), place).unwrap_or_else(|e| panic!("{e}\n{}", record.text()));
            assert_eq!(again, record);
        }
        Err(error) => one_told(&error),
    }
}

/// The key of the corpus never signed what is asked for here.
fn signature(bytes: &[u8]) {
    let place = Path::new("a.minisig");
    match Signature::read(bytes, place) {
        Ok(signature) => {
            assert!(!signature.key_number().is_empty());
            assert!(!signature.is_of(&PublicKey::from_text(KEY).unwrap(), b"never signed"));
        }
        Err(error) => one_told(&error),
    }
    let text = String::from_utf8_lossy(bytes);
    if let Ok(key) = PublicKey::from_file_text(&text) {
        assert_eq!(PublicKey::from_file_text(&key.file_text("a shop")), Ok(key));
    }
}

/// Whose signatures lie in the corpus.
const KEY: &str = "RWRIFjj4uc1w8/gPDWk2Ni/IwtxEK2GBJiUFraTuWpsUztuVxZ+mUn1p";

fn policy(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    match Policy::read(text, Path::new("policy.toml")) {
        Ok(policy) => assert!(policy.vets_needed > 0),
        Err(error) => one_told(&error),
    }
}

fn shops(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let place = Path::new("shops.toml");
    match Shops::read(text, place) {
        Ok(shops) => assert_eq!(Shops::read(&shops.text(), place).unwrap_or_else(|e| panic!("{e}")), shops),
        Err(error) => one_told(&error),
    }
}

fn lock(bytes: &[u8]) {
    let place = Path::new("jig.lock");
    match Lock::read(bytes, place) {
        Ok(lock) => assert_eq!(Lock::read(lock.text().as_bytes(), place).unwrap_or_else(|e| panic!("{e}")), lock),
        Err(error) => one_told(&error),
    }
}

/// The dead test of the wand, in each thread its own.
fn readings(bytes: &[u8]) {
    thread_local! {
        static TEST: DeadTest = {
            let text = include_str!("../../demo-data/neon-wand-230v.toml");
            deadtest::dead_test(&jig::parse("jig.toml", text.as_bytes()).unwrap())
        };
    }
    let text = String::from_utf8_lossy(bytes).into_owned();
    TEST.with(|test| {
        let file = deadtest::Wish { file: Some(("r.toml".into(), text.clone())), any_jig: true, ..Default::default() };
        let argument = deadtest::Wish { readings: vec![text], ..Default::default() };
        for wish in [file, argument] {
            match deadtest::given(test, &wish) {
                Ok(given) => assert!(test.diagnose(&given).explained_by.len() < usize::MAX),
                Err(errors) => {
                    assert!(errors.iter().all(|e| !e.message.is_empty() && !e.to_string().contains('\u{1b}')))
                }
            }
        }
    });
}
