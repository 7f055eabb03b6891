//! The page that `check` prints: short enough to be read, with the verdict where it is seen.
#![allow(missing_docs, clippy::unwrap_used)]

use super::program::{printed, program, root};
use serde_json::Value;

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

/// What each wrong jig is worst in, told by hand: a word of it must be on the last screen of 24 lines.
const WORST: &[(&str, &str)] = &[
    ("capacitor-led-no-bleeder", "after the plug is pulled"),
    ("discharge-probe-one-resistor", "probe barrel"),
    ("isolated-supply-earthed", "isolated"),
    ("led-switch-in-neutral", "SW1 off does not mean dead"),
    ("neon-100k-on-230v", "lamp ferrule"),
    ("series-lamp-limiter-no-earth", "J1 is open to a finger"),
];

#[test]
fn wrong_jigs_take_twelve_lines_a_cause_and_end_with_the_worst() {
    let wrong = jigs("demo-data/wrong");
    assert_eq!(wrong.len(), WORST.len(), "{wrong:?}");
    for (name, worst) in WORST {
        let file = format!("demo-data/wrong/{name}.toml");
        let (status, text) = check(&file, &[]);
        assert_eq!(status, 1, "{file}");
        let json: Value = serde_json::from_str(&check(&file, &["--format", "json"]).1).unwrap();
        let causes = json["actions"].as_array().unwrap().len();
        let lines = text.lines().filter(|l| !l.is_empty()).count();
        assert!(lines <= 12 * causes, "{file}: {lines} lines for {causes} causes\n{text}");
        let lines: Vec<&str> = text.lines().collect();
        let screen = lines[lines.len().saturating_sub(24)..].join(" ");
        let flat = screen.split_whitespace().collect::<Vec<_>>().join(" ");
        let last = flat.rsplit_once("Worst: ").unwrap_or_else(|| panic!("{file}: {flat}")).1;
        assert!(last.contains(worst), "{file}: {last}");
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
