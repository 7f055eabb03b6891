//! Jigs to begin from: every unit on every supply it makes sense for, written and checked by the built program.
#![allow(missing_docs, clippy::unwrap_used)]

use super::program::{printed, program, said};
use serde_json::Value;
use std::path::Path;

/// Units the way the trade names them, and whether they hang on the mains.
const UNITS: &[(&str, bool)] = &[
    ("strobe-lamp", true),
    ("led-strobe", true),
    ("capacitor-lamp", true),
    ("series-lamp-limiter", true),
    ("test-outlet", true),
    ("isolated-supply", true),
    ("variable-supply", true),
    ("extension-box", true),
    ("bench-supply", true),
    ("bench-lamp", true),
    ("module-supply", true),
    ("discharge-probe", false),
    ("mains-probe", true),
];

const SUPPLIES: &[&str] = &[
    "100 V 50 Hz",
    "120 V 60 Hz",
    "127 V 60 Hz",
    "220 V 50 Hz",
    "230 V 50 Hz",
    "uk_230",
    "240 V 50 Hz",
    "240 V 60 Hz line to line",
];

fn new(folder: &Path, arguments: &[&str]) -> (i32, String, String) {
    let mut command = program([&["new"], arguments].concat());
    let out = command.current_dir(folder).env("DEADFRONT_HOME", folder.join("home")).output().unwrap();
    (out.status.code().unwrap(), printed(&out), said(&out))
}

#[test]
fn every_unit_on_every_supply_checks_or_is_refused_with_the_reason() {
    let folder = tempfile::tempdir().unwrap();
    let mut refused = vec![];
    for (unit, mains) in UNITS {
        let supplies = if *mains { SUPPLIES } else { &SUPPLIES[..1] };
        for (n, supply) in supplies.iter().enumerate() {
            let file = format!("{unit}-{n}.toml");
            let (status, out, err) = new(folder.path(), &[unit, &file, "--supply", supply]);
            if status == 2 {
                assert!(err.contains("error: no ") && err.len() > 60, "{unit} {supply}: {err}");
                assert!(!folder.path().join(&file).exists());
                refused.push((*unit, *supply));
                continue;
            }
            assert_eq!((status, err.as_str()), (0, ""), "{unit} {supply}");
            assert!(out.contains("Change first"), "{out}");
            let text = std::fs::read_to_string(folder.path().join(&file)).unwrap();
            assert!(text.starts_with("#:schema "), "{text}");
            assert!(text.lines().filter(|l| l.starts_with('#')).count() >= 6, "{text}");
            let check = program(["check", &file, "--format", "json"]).current_dir(folder.path()).output().unwrap();
            let json: Value = serde_json::from_str(&printed(&check)).unwrap();
            assert_eq!(check.status.code(), Some(0), "{unit} {supply}: {}", json["findings"]);
        }
    }
    assert_eq!(refused, REFUSED, "what cannot be built, and nothing else");
}

/// Pairs that cannot be built.
const REFUSED: &[(&str, &str)] = &[];

#[test]
fn a_file_that_is_there_stays_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("mine.toml"), "mine").unwrap();
    let (status, out, err) = new(folder.path(), &["bench-lamp", "mine.toml"]);
    assert_eq!((status, out.as_str()), (2, ""));
    assert!(err.contains("mine.toml") && err.contains("is there already"), "{err}");
    assert_eq!(std::fs::read_to_string(folder.path().join("mine.toml")).unwrap(), "mine");
}

#[test]
fn names_of_the_trade_are_known_and_others_told_with_what_there_is() {
    let folder = tempfile::tempdir().unwrap();
    let (status, out, _) = new(folder.path(), &["dim-bulb", "bulb.toml", "--supply", "120 V 60 Hz"]);
    assert_eq!(status, 0);
    assert!(out.contains("series-lamp-limiter"), "{out}");
    for (arguments, words) in [
        (&["strobe", "a.toml"][..], "strobe-lamp"),
        (&["bench-lamp", "a.toml", "--supply", "231 V 50 Hz"], "supplies table has no"),
        (&["bench-lamp", "a.toml", "--plug", "Z"], "no plug type"),
        // A metal box on the protective earth behind a plug without one.
        (&["test-outlet", "a.toml", "--plug", "C"], "protective earth"),
        // A plug that is not made for the volts.
        (&["bench-lamp", "a.toml", "--supply", "230 V 50 Hz", "--plug", "A"], "rated"),
    ] {
        let (status, out, err) = new(folder.path(), arguments);
        assert_eq!((status, out.as_str()), (2, ""), "{arguments:?}");
        assert!(err.contains(words), "{arguments:?}: {err}");
        assert!(!folder.path().join("a.toml").exists(), "{arguments:?}");
    }
}
