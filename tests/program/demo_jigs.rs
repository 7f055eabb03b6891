//! The demo jigs through the whole program: the sound ones stay below WARNING, each wrong one is told what is wrong with it.
#![allow(missing_docs, clippy::unwrap_used)]

use serde_json::Value;
use std::path::Path;
use std::process::Command;

fn check(file: &str) -> (i32, Value) {
    let out = Command::new(super::program::binary())
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .args(["check", "--format", "json", file])
        .output()
        .unwrap();
    (out.status.code().unwrap(), serde_json::from_slice(&out.stdout).unwrap())
}

fn jigs(folder: &str) -> Vec<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let mut out: Vec<String> = std::fs::read_dir(path)
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .filter(|n| n.ends_with(".toml"))
        .map(|n| format!("{folder}/{n}"))
        .collect();
    out.sort();
    out
}

#[test]
fn sound_jigs_draw_nothing_above_caution() {
    let sound = jigs("demo-data");
    assert!(sound.len() >= 6, "{sound:?}");
    for file in sound {
        let (exit, v) = check(&file);
        let grave: Vec<&Value> = v["findings"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|f| f["signal"] == "DANGER" || f["signal"] == "WARNING")
            .collect();
        assert!(grave.is_empty() && exit == 0, "{file}: {grave:#?}");
        assert_eq!(v["conditions"]["unsolved"], 0, "{file}");
        assert!(v["conditions"]["solved"].as_u64().unwrap() > 10, "{file}");
    }
}

/// What a careful reviewer would have to say of each wrong jig.
const WRONG: &[(&str, &[&str])] = &[
    (
        "capacitor-led-no-bleeder",
        &["capacitor-class", "capacitor-voltage", "stored-charge", "fuse-breaking", "insulation-too-weak"],
    ),
    ("discharge-probe-one-resistor", &["resistor-power", "insulation-too-weak", "clearance", "creepage"]),
    (
        "isolated-supply-earthed",
        &[
            "earth-broken-by-part",
            "outlet-shock",
            "touch-current",
            "no-fuse",
            "single-pole-switch",
            "insulation-too-weak",
        ],
    ),
    ("led-switch-in-neutral", &["switch-in-neutral", "led-reverse", "no-limiting", "resistor-power"]),
    ("neon-100k-on-230v", &["touch-current", "resistor-power", "no-fuse", "no-limiting", "cord-relief"]),
    (
        "series-lamp-limiter-no-earth",
        &["earth-open", "earth-not-bonded", "live-pins", "touch-current", "no-fuse", "switch-rating", "class-conflict"],
    ),
];

#[test]
fn wrong_jigs_are_told_what_is_wrong_with_them() {
    let wrong = jigs("demo-data/wrong");
    assert_eq!(wrong.len(), WRONG.len(), "{wrong:?}");
    for (name, wanted) in WRONG {
        let (exit, v) = check(&format!("demo-data/wrong/{name}.toml"));
        assert_eq!(exit, 1, "{name}");
        assert_eq!(v["verdict"], "stop", "{name}");
        let told: Vec<&str> = v["findings"].as_array().unwrap().iter().map(|f| f["check"].as_str().unwrap()).collect();
        for check in *wanted {
            assert!(told.contains(check), "{name}: {check} is missing among {told:?}");
        }
    }
}

#[test]
fn every_part_has_its_six_rows_and_two_runs_agree_to_the_byte() {
    let file = "demo-data/capacitor-led-230v.toml";
    let (_, v) = check(file);
    for part in ["F1", "R1", "C1", "R2", "BR1", "BR1.1", "LED1"] {
        for quantity in ["power", "voltage_rms", "voltage_peak", "current_rms", "current_mean", "current_peak"] {
            let rows = v["stresses"].as_array().unwrap().iter();
            let mine: Vec<_> = rows.filter(|r| r["part"] == part && r["quantity"] == quantity).collect();
            assert!(mine.iter().any(|r| r["kind"] == "normal"), "{part} {quantity}");
            assert!(mine.iter().all(|r| r["nominal"].is_number()), "{part} {quantity}");
        }
    }
    // However the work is shared between threads, the answer is the same.
    for _ in 0..3 {
        assert_eq!(check(file).1, v);
    }
}
