//! The page that `check` prints: short enough to be read, with the verdict where it is seen.
#![allow(missing_docs, clippy::unwrap_used)]

use super::program::{printed, program, root};

fn check(file: &str, more: &[&str]) -> (i32, String) {
    let out = program([&["check", file], more].concat()).current_dir(root()).output().unwrap();
    (out.status.code().unwrap(), printed(&out))
}

fn jigs(folder: &str) -> Vec<String> {
    let names = std::fs::read_dir(root().join(folder)).unwrap().map(|e| e.unwrap().path());
    let mut names: Vec<String> = names
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .map(|p| format!("{folder}/{}", p.file_name().unwrap().to_str().unwrap()))
        .collect();
    names.sort();
    names
}

#[test]
fn sound_jigs_fit_on_forty_lines() {
    let sound = jigs("demo-data");
    assert_eq!(sound.len(), 7, "{sound:?}");
    for file in sound {
        let (status, text) = check(&file, &[]);
        assert_eq!(status, 0, "{file}");
        assert!(text.lines().count() <= 40, "{file}: {} lines\n{text}", text.lines().count());
        assert!(text.lines().all(|l| l.chars().count() <= 80), "{file}\n{text}");
        assert_eq!(text.lines().next(), text.lines().last(), "{file}: the verdict stands first and last");
    }
}

/// What each wrong jig is worst in and what is to be changed first, told by hand: words of both must be on the last screen of
/// 24 lines.
const WORST: &[(&str, &str, &str)] = &[
    ("demo-data/wrong/capacitor-led-no-bleeder", "after the plug is pulled", "across C1"),
    ("demo-data/wrong/discharge-probe-one-resistor", "probe barrel", ""),
    ("demo-data/wrong/isolated-supply-earthed", "isolated", ""),
    ("demo-data/wrong/led-switch-in-neutral", "SW1 off does not mean dead", ""),
    ("demo-data/wrong/neon-100k-on-230v", "lamp ferrule", "insulation between lamp ferrule"),
    ("demo-data/wrong/series-lamp-limiter-no-earth", "J1 is open to a finger", "J1"),
    // One transformer, wrong in six ways: the change is that of the cause, whatever it brings.
    ("tests/jigs/worst/iron-supply-basic-transformer", "socket to earth", "safety isolating transformer for T1"),
    ("tests/jigs/worst/iron-supply-joined", "return socket", "take the secondary of T1 off N2"),
    ("tests/jigs/worst/iron-supply-return-on-neutral", "return socket", "take out W1, which joins the secondary of T1"),
    ("tests/jigs/worst/iron-supply-swapped", "R1", "swap primary and secondary of T1"),
    ("tests/jigs/worst/iron-supply-large-fuse", "T1.secondary shorted", "use 630 mA for F1 and F2"),
    ("tests/jigs/worst/iron-supply-no-fuse", "T1.secondary shorted", "put a fuse into the wire from L"),
];

/// The last screen of 80 columns and 24 lines as one text.
fn last_screen(text: &str) -> String {
    let lines: Vec<&str> = text.lines().collect();
    let screen = lines[lines.len().saturating_sub(24)..].join(" ");
    screen.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_cause_is_told_with_what_it_brings_and_a_sound_twin_with_nothing() {
    let (status, text) = check("tests/jigs/worst/iron-supply.toml", &[]);
    assert_eq!(status, 0, "{text}");
    assert!(!text.contains("Worst:") && !text.contains("Change first:"), "{text}");
    // Both sockets are live by one joint: one thing to do.
    let (_, text) = check("tests/jigs/worst/iron-supply-joined.toml", &[]);
    assert!(text.contains("\n1. Take the secondary of T1 off N2") && !text.contains("\n2. "), "{text}");
    let (_, text) = check("tests/jigs/worst/iron-supply-basic-transformer.toml", &[]);
    assert!(text.contains("\n1. Use a safety isolating transformer") && !text.contains("\n2. "), "{text}");
    // What stops it from working as drawn is told before what was found in it meanwhile.
    let (_, text) = check("tests/jigs/worst/iron-supply-swapped.toml", &[]);
    assert!(text.contains("\n1. Swap primary and secondary of T1"), "{text}");
    // Degrees beyond what a box comes to are not told.
    let (_, text) = check("tests/jigs/worst/iron-supply-large-fuse.toml", &[]);
    assert!(text.contains("more than 300 °C") && !text.contains("674 °C"), "{text}");
    assert!(text.contains("\n1. T1: use 630 mA for F1 and F2") && !text.contains("\n2. "), "{text}");
}

#[test]
fn wrong_jigs_take_twelve_lines_a_cause_and_end_with_the_worst() {
    for file in jigs("demo-data/wrong") {
        assert!(WORST.iter().any(|(name, ..)| file.strip_suffix(".toml") == Some(*name)), "{file}");
    }
    for (name, worst, change) in WORST {
        let file = format!("{name}.toml");
        let (status, text) = check(&file, &[]);
        assert_eq!(status, 1, "{file}");
        // What is to be done is numbered, a cause each; what is to be known follows under a heading of its own.
        let numbered = |n: usize| text.contains(&format!("\n{n}. "));
        let known = text.split_once("\nWorth knowing\n").map_or(0, |(_, rest)| rest.matches("   NOTICE ").count());
        let causes = (1..).take_while(|n| numbered(*n)).count() + known;
        let lines = text.lines().filter(|l| !l.is_empty()).count();
        // What stands round the causes takes as many lines as on a sound tool's page.
        assert!(lines <= (12 * causes).max(40), "{file}: {lines} lines for {causes} causes\n{text}");
        let lines: Vec<&str> = text.lines().collect();
        let flat = last_screen(&text);
        let last = flat.rsplit_once("Worst: ").unwrap_or_else(|| panic!("{file}: {flat}")).1;
        let (hazard, first) = last.split_once("Change first: ").unwrap_or_else(|| panic!("{file}: {last}"));
        assert!(hazard.contains(worst), "{file}: {last}");
        assert!(first.contains(change), "{file}: {last}");
        let (verdict, first) = (lines.last().unwrap(), lines[0]);
        assert_eq!(*verdict, first);
        assert!(verdict.contains("Do not plug it in: "), "{verdict}");
    }
}

#[test]
fn what_hurts_without_a_fault_is_told_first() {
    let (_, text) = check("demo-data/wrong/series-lamp-limiter-no-earth.toml", &[]);
    let at = |words: &str| text.find(words).unwrap_or_else(|| panic!("no {words:?} in\n{text}"));
    // Open pins hurt at once; a missing earth only once insulation has failed; a switch of too few volts burns.
    assert!(at("live-pins") < at("earth-open") && at("earth-open") < at("switch-rating"), "{text}");
    // What an earth cures stands under it.
    let under = &text[at("\n2. ")..at("\n3. ")];
    for check in ["earth-open", "cord-cores", "earth-not-bonded"] {
        assert!(under.contains(check), "{check} is not under the earth:\n{text}");
    }
}

#[test]
fn every_table_is_there_where_it_is_asked_for() {
    let (_, all) = check("demo-data/capacitor-led-230v.toml", &["--all"]);
    for heading in
        ["Stresses: worst value", "Touch: open-circuit", "Charge left after unplugging", "Faults that a protective"]
    {
        assert!(all.contains(heading), "{heading}\n{all}");
    }
    let (_, short) = check("demo-data/capacitor-led-230v.toml", &[]);
    assert!(!short.contains("Stresses: worst value") && short.contains("--all prints every value"));
    // Nothing that is no more than noise.
    for text in [all, short] {
        assert!(!["fV", "pV", "nV", "fA", "pA", "nA"].iter().any(|unit| text.contains(&format!(" {unit}"))), "{text}");
    }
}
