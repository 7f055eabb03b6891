//! `deadfront strobe`, as a user runs it.
#![allow(missing_docs, clippy::unwrap_used)]

use super::program::{printed, program, root, said};
use serde_json::Value;

fn run(arguments: &[&str]) -> (i32, String, String) {
    let out = program([&["strobe"], arguments].concat()).current_dir(root()).output().unwrap();
    (out.status.code().unwrap(), printed(&out), said(&out))
}

/// Demo jigs with a lamp that flashes.
const LAMPS: [&str; 4] = ["neon-wand-230v", "neon-wand-120v", "led-box-230v", "capacitor-led-230v"];

#[test]
fn every_lamp_of_the_demo_jigs_has_its_page() {
    for name in LAMPS {
        let file = format!("demo-data/{name}.toml");
        let (status, text, err) = run(&[&file]);
        assert_eq!((status, err.as_str()), (0, ""), "{name}");
        assert!(text.lines().all(|l| l.chars().count() <= 80) && text.lines().count() <= 60, "{name}: {text}");
        let bars = if name.contains("120v") { "216 bars for 33 1/3" } else { "180 bars for 33 1/3" };
        assert!(text.contains(bars), "{name}: {text}");
        let json: Value = serde_json::from_str(&run(&[&file, "--json"]).1).unwrap();
        assert_eq!(json["schema_version"], 1);
        assert_eq!(json["rings"].as_array().unwrap().len(), 5);
    }
}

#[test]
fn exit_status_of_strobe() {
    let drift = ["--drift", "12 bars in 60 s forward"];
    for (arguments, status) in [
        (&["--supply", "230 V 50 Hz"][..], 0),
        (&["--flashes", "100", drift[0], drift[1]], 0),
        // In the main band of seizures.
        (&["--flashes", "20"], 1),
        (&["demo-data/wrong/neon-100k-on-230v.toml"], 1),
        (&["demo-data/discharge-probe.toml"], 2),
        (&["demo-data/series-lamp-limiter-230v.toml"], 2),
        (&["no-such.toml"], 2),
        (&["--supply", "230 V"], 2),
        (&["--flashes", "100", "--rpm", "0"], 2),
        (&["--flashes", "100", "--bars", "10000"], 2),
        (&["demo-data/neon-wand-230v.toml", "--flashes", "100"], 2),
        (&[], 2),
    ] {
        let (got, out, err) = run(arguments);
        assert_eq!(got, status, "{arguments:?}: {err}");
        assert_eq!(out.is_empty(), status == 2, "{arguments:?}");
        assert!(!err.contains("panicked"), "{err}");
    }
}

#[test]
fn a_jig_may_come_from_standard_input() {
    let text = std::fs::File::open(root().join("demo-data/neon-wand-230v.toml")).unwrap();
    let out = program(["strobe", "-"]).stdin(text).output().unwrap();
    assert_eq!(out.status.code(), Some(0));
    assert!(printed(&out).contains("(standard input)"), "{}", printed(&out));
}
