//! Classic wiring errors of home-built mains tools, each with its corrected twin: the error is flagged under its name
//! with at least its signal, the twin is not. What is an error was decided by hand from the rules named in each file.

#![allow(clippy::unwrap_used)]

use std::path::{Path, PathBuf};

use crate::checks;
use crate::finding::{Finding, Signal};
use crate::survey::{Options, survey};

/// File stem under `tests/jigs/wiring`, name of the check, signal it has at least.
const CLASSICS: &[(&str, &str, Signal)] = &[
    ("no-fuse-wand", "no-fuse", Signal::Warning),
    ("no-fuse-outlet", "no-fuse", Signal::Warning),
    ("varistor-before-fuse", "no-fuse", Signal::Warning),
    ("probe-one-resistor", "no-fuse", Signal::Warning),
    ("single-pole-fuse-c", "single-pole-fuse", Signal::Caution),
    ("single-pole-fuse-class-i", "single-pole-fuse", Signal::Warning),
    ("single-pole-fuse-line-to-line", "single-pole-fuse", Signal::Warning),
    ("fuse-in-neutral", "fuse-in-neutral", Signal::Warning),
    ("switch-before-fuse", "fuse-after-switch-or-part", Signal::Warning),
    ("part-before-fuse", "fuse-after-switch-or-part", Signal::Warning),
    ("plug-fuse-no-fuse-plug", "plug-fuse", Signal::Warning),
    ("plug-fuse-not-counted", "no-fuse", Signal::Warning),
    ("switch-in-neutral", "switch-in-neutral", Signal::Warning),
    ("single-pole-switch", "single-pole-switch", Signal::Warning),
    ("switched-outlet-one-pole", "single-pole-switch", Signal::Warning),
    ("earth-open-plug", "earth-open", Signal::Danger),
    ("earth-open-cord", "earth-open", Signal::Danger),
    ("class-one-two-core", "class-conflict", Signal::Warning),
    ("class-one-two-pin", "class-conflict", Signal::Warning),
    ("two-core-class-one", "cord-cores", Signal::Warning),
    ("case-not-bonded", "earth-not-bonded", Signal::Danger),
    ("earth-through-fuse", "earth-broken-by-part", Signal::Danger),
    ("earth-through-switch", "earth-broken-by-part", Signal::Danger),
    ("earth-through-resistor", "earth-broken-by-part", Signal::Danger),
    ("case-on-neutral", "live-pins", Signal::Danger),
    ("class-two-y-to-earth", "class-conflict", Signal::Warning),
    ("class-two-metal-box", "class-conflict", Signal::Warning),
    ("class-three-on-mains", "class-conflict", Signal::Warning),
    ("insulation-missing", "insulation-missing", Signal::Warning),
    ("insulation-too-weak", "insulation-too-weak", Signal::Warning),
    ("insulation-functional", "insulation-too-weak", Signal::Warning),
    ("double-over-frame", "insulation-too-weak", Signal::Warning),
    ("clearance-small", "clearance", Signal::Warning),
    ("clearance-not-stated", "clearance", Signal::Warning),
    ("creepage-small", "creepage", Signal::Warning),
    ("creepage-small-120v", "creepage", Signal::Warning),
    ("secondary-not-insulated", "insulation-missing", Signal::Warning),
    ("plug-as-output", "live-pins", Signal::Danger),
    ("bare-binding-post", "live-pins", Signal::Danger),
    ("isolated-bare-post", "live-pins", Signal::Danger),
    ("no-box", "live-pins", Signal::Danger),
    ("opens-by-hand", "opens-by-hand", Signal::Warning),
    ("green-yellow-as-live", "wire-colour", Signal::Warning),
    ("earth-in-blue", "wire-colour", Signal::Warning),
    ("blue-as-live", "wire-colour", Signal::Warning),
    ("blue-as-live-reversible", "wire-colour", Signal::Caution),
    ("no-strain-relief", "cord-relief", Signal::Warning),
    ("strain-relief-not-stated", "cord-relief", Signal::Caution),
    ("dead-short-wire", "dead-short", Signal::Warning),
    ("dead-short-switch", "dead-short", Signal::Warning),
    ("neutral-to-earth", "dead-short", Signal::Danger),
    ("fuse-bridged", "bypassed", Signal::Warning),
    ("resistor-on-one-net", "bypassed", Signal::Warning),
    ("loose-end", "loose-end", Signal::Caution),
    ("unused-part", "unused-part", Signal::Caution),
    ("rating-missing-fuse", "rating-missing", Signal::Caution),
    ("rating-missing-resistor", "rating-missing", Signal::Caution),
    ("rating-missing-x", "rating-missing", Signal::Caution),
    ("half-wave-lamp", "flash-rate", Signal::Caution),
    ("fuse-in-neutral-plug-fused", "fuse-in-neutral", Signal::Warning),
    ("fuse-in-each-pole-assured", "fuse-in-neutral", Signal::Caution),
    ("module-without-isolation", "insulation-missing", Signal::Warning),
    ("winding-over-its-volts", "transformer-rating", Signal::Warning),
    ("lamp-half-wave", "lamp-voltage", Signal::Warning),
    ("thermistor-over", "winding-rating", Signal::Warning),
    ("snubber-not-x", "capacitor-class", Signal::Warning),
    ("film-on-ac", "capacitor-voltage", Signal::Warning),
    ("motor-capacitor-no-class", "capacitor-class", Signal::Caution),
    ("electrolytic-not-said", "rating-missing", Signal::Caution),
    ("varistor-to-earth", "varistor-rating", Signal::Caution),
    ("varistor-low", "varistor-rating", Signal::Caution),
    ("diode-no-room", "diode-reverse", Signal::Caution),
    ("plain-green-live", "wire-colour", Signal::Warning),
    ("plug-fuse-thin-flex", "plug-fuse", Signal::Warning),
    ("bond-thinner-than-cord", "wire-protection", Signal::Warning),
    ("outlet-earth-open", "earth-not-bonded", Signal::Warning),
    ("stop-button-without-contactor", "single-pole-switch", Signal::Warning),
    ("class-two-lamp-to-earth", "class-conflict", Signal::Warning),
];

fn folder(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

fn findings(file: &Path) -> Vec<Finding> {
    let jig = crate::jig::read(file).unwrap_or_else(|f| panic!("{}: {f:?}", file.display()));
    // Faults are the business of other checks: these read the wiring and the plain solution.
    let survey = survey(&jig, &Options { faults: 0, threads: 1, ..Options::default() });
    checks::judge(&jig, &survey, "2026-01-01").findings
}

fn of<'a>(all: &'a [Finding], check: &str) -> Vec<&'a Finding> {
    all.iter().filter(|f| f.check == check).collect()
}

#[test]
fn every_classic_error_is_flagged_and_its_twin_is_not() {
    let mut wrong = vec![];
    for (stem, check, least) in CLASSICS {
        let bad = findings(&folder(&format!("tests/jigs/wiring/{stem}-bad.toml")));
        match of(&bad, check).iter().map(|f| f.signal).min() {
            // Signals sort gravest first.
            Some(signal) if signal <= *least => {}
            other => wrong.push(format!("{stem}-bad: wanted {check} {least:?}, got {other:?}")),
        }
        let good = findings(&folder(&format!("tests/jigs/wiring/{stem}-good.toml")));
        for f in of(&good, check) {
            // A strobe is always told that moving parts can seem to stand still.
            if f.signal < Signal::Notice {
                wrong.push(format!("{stem}-good: {check} {:?}: {}", f.signal, f.message));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_file_belongs_to_a_case() {
    for entry in std::fs::read_dir(folder("tests/jigs/wiring")).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        let stem = name.trim_end_matches(".toml").trim_end_matches("-bad").trim_end_matches("-good");
        assert!(CLASSICS.iter().any(|c| c.0 == stem), "{name} is in no case");
    }
}

/// Names of the checks that read the wiring.
const NAMES: &[&str] = &[
    "no-fuse",
    "single-pole-fuse",
    "fuse-in-neutral",
    "fuse-after-switch-or-part",
    "switch-in-neutral",
    "single-pole-switch",
    "earth-open",
    "earth-broken-by-part",
    "earth-not-bonded",
    "class-conflict",
    "insulation-missing",
    "insulation-too-weak",
    "clearance",
    "creepage",
    "live-pins",
    "wire-colour",
    "cord-relief",
    "cord-cores",
    "plug-fuse",
    "opens-by-hand",
    "dead-short",
    "bypassed",
    "loose-end",
    "unused-part",
    "rating-missing",
    "flash-rate",
];

#[test]
fn a_sound_jig_is_told_nothing_but_notices() {
    let mut wrong = vec![];
    for entry in std::fs::read_dir(folder("demo-data")).unwrap() {
        let file = entry.unwrap().path();
        if file.is_dir() {
            continue;
        }
        for f in findings(&file).iter().filter(|f| NAMES.contains(&f.check.as_str()) && f.signal < Signal::Notice) {
            wrong.push(format!("{}: {} {:?}: {}", file.display(), f.check, f.signal, f.message));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn metal_between_two_insulations_is_no_loose_end() {
    let good = findings(&folder("tests/jigs/wiring/double-over-frame-good.toml"));
    assert!(of(&good, "loose-end").is_empty(), "{good:?}");
}

#[test]
fn every_name_has_its_page_and_every_finding_its_words() {
    let pages: Vec<&str> = checks::all().map(|c| c.id.name()).collect();
    for (stem, ..) in CLASSICS {
        for f in findings(&folder(&format!("tests/jigs/wiring/{stem}-bad.toml"))) {
            if !NAMES.contains(&f.check.as_str()) {
                continue;
            }
            assert!(pages.contains(&f.check.as_str()), "{stem}: {} has no page", f.check);
            assert!(!f.message.is_empty() && !f.remedy.is_empty() && !f.source.is_empty(), "{stem}: {f:?}");
            assert!(f.place.line > 0 && f.place.column > 0, "{stem}: {f:?}");
            assert!(!f.message.to_lowercase().contains("is safe"), "{stem}: {f:?}");
        }
    }
}
