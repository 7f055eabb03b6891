//! What was tried, through the whole program: the list of conditions, one of them in full, what ends which fault, pairs
//! of faults. Expected numbers are worked out by hand beside each test.
#![allow(missing_docs, clippy::unwrap_used)]

use serde_json::Value;
use std::process::{Command, Output};

const WAND: &str = "demo-data/neon-wand-230v.toml";
const SUPPLY: &str = "demo-data/isolated-supply-230v.toml";

fn run(args: &[&str]) -> Output {
    Command::new(super::program::binary()).current_dir(env!("CARGO_MANIFEST_DIR")).args(args).output().unwrap()
}

fn json(args: &[&str]) -> Value {
    let out = run(&[&["check", "--format", "json"], args].concat());
    serde_json::from_slice(&out.stdout).unwrap_or_else(|e| panic!("{e}: {}", String::from_utf8_lossy(&out.stderr)))
}

fn text(args: &[&str]) -> String {
    String::from_utf8(run(&[&["check"], args].concat()).stdout).unwrap()
}

fn number(v: &Value) -> f64 {
    v.as_f64().unwrap_or_else(|| panic!("no number: {v}"))
}

fn near(got: f64, want: f64, relative: f64) {
    assert!((got - want).abs() <= relative * want.abs(), "{got} is not {want}");
}

fn row<'a>(rows: &'a Value, key: &str, name: &str) -> &'a Value {
    rows.as_array().unwrap().iter().find(|r| r[key] == name).unwrap_or_else(|| panic!("no {name} in {rows}"))
}

#[test]
fn the_list_holds_every_condition_that_is_counted() {
    let v = json(&[WAND, "--conditions"]);
    let rows = v["conditions_tried"].as_array().unwrap();
    let count = &v["conditions"];
    assert_eq!(rows.len() as u64, count["solved"].as_u64().unwrap() + count["unsolved"].as_u64().unwrap());
    for (k, r) in rows.iter().enumerate() {
        assert_eq!(r["number"].as_u64().unwrap(), k as u64 + 1);
        assert!(["solved", "cleared", "unsolved"].contains(&r["outcome"].as_str().unwrap()), "{r}");
    }
    // Every part open and shorted, and both conductors of the cord. The insulation of the tube is reinforced: no single
    // fault breaks it down.
    let mut faults: Vec<&str> = rows.iter().filter_map(|r| r["faults"][0].as_str()).collect();
    faults.sort_unstable();
    faults.dedup();
    let mut want: Vec<String> =
        ["F1", "F2", "R1", "R2", "LP1"].iter().flat_map(|p| [format!("{p}-open"), format!("{p}-short")]).collect();
    want.extend(["L-open".to_string(), "N-open".to_string()]);
    want.sort();
    assert_eq!(faults, want);
    // A type C plug goes in both ways round, at three supply levels.
    for (key, words) in [("supply", vec!["low", "nominal", "high"]), ("plug", vec!["as wired", "reversed"])] {
        words.iter().for_each(|w| assert!(rows.iter().any(|r| r[key] == *w), "{key} {w}"));
    }
    assert!(json(&[WAND])["conditions_tried"].is_null(), "the list is there only when it is asked for");
    let page = text(&[WAND, "--conditions"]);
    assert!(page.contains("Conditions tried") && page.lines().all(|l| l.chars().count() <= 80), "{page}");
}

/// The lamp shorted: two 150 kΩ resistors alone across the highest mains, 253 V (230 V + 10 %). The fuses and the mains add
/// less than 20 Ω: 2 · 10⁻⁵ of the resistance at the most.
#[test]
fn a_fault_played_again_agrees_with_ohms_law() {
    let v = json(&[WAND, "--only", "LP1-short"]);
    let by_name = &v["replay"];
    assert_eq!(by_name["faults"], serde_json::json!(["LP1-short"]));
    let listed = json(&[WAND, "--conditions", "--only", "LP1-short"]);
    let r = &listed["replay"];
    let number_of_it = r["number"].as_u64().unwrap().to_string();
    let again = json(&[WAND, "--only", &number_of_it]);
    assert_eq!(again["replay"], *r, "by number it is the same condition");
    assert_eq!((&by_name["states"], &by_name["condition"]), (&r["states"], &r["condition"]), "by name alone as well");
    let high = r["others"].as_array().unwrap().iter().map(Value::to_string).chain([number_of_it]);
    let mut seen = 0;
    for n in high {
        let v = json(&[WAND, "--only", &n]);
        let r = &v["replay"];
        if r["supply"] != "high" || r["tolerances"].as_object().is_none_or(|t| !t.is_empty()) {
            continue;
        }
        seen += 1;
        let amperes = 253.0 / 300e3;
        for part in ["F1", "R1", "R2", "LP1", "F2"] {
            near(number(&row(&r["states"][0]["parts"], "part", part)["current_rms"]), amperes, 1e-4);
        }
        near(number(&row(&r["states"][0]["parts"], "part", "R1")["power"]), amperes * amperes * 150e3, 2e-4);
        let live = if r["plug"] == "reversed" { "N" } else { "L" };
        near(number(&row(&r["states"][0]["nets"], "net", live)["voltage_rms"]), 253.0, 1e-4);
        near(number(&row(&r["states"][0]["nets"], "net", "m")["voltage_rms"]), 253.0 / 2.0, 1e-4);
        assert_eq!(r["states"][0]["opens"], serde_json::json!([]), "843 µA opens no 50 mA fuse");
    }
    assert_eq!(seen, 2, "one way round and the other");
}

/// By name nothing but the condition is solved, and nobody may take that for a check.
#[test]
fn one_condition_is_no_check() {
    for name in ["LP1-short", "no-fault"] {
        let out = run(&["check", "--format", "json", WAND, "--only", name]);
        assert_eq!(out.status.code(), Some(3));
        let v: Value = serde_json::from_slice(&out.stdout).unwrap();
        // Both ways round of the plug at the highest supply.
        assert_eq!(v["conditions"]["solved"], 2, "{name}");
        assert_eq!(v["replay"]["supply"], "high");
        assert!(v["replay"]["number"].is_null() && v["conditions_tried"].is_null());
        let page = text(&[WAND, "--only", name]);
        assert!(page.contains("this is no check of the tool") && !page.contains("Nothing graver"), "{page}");
    }
    assert!(json(&[WAND, "--only", "no-fault", "--conditions"])["conditions"]["solved"].as_u64().unwrap() > 100);
}

/// The mains at the metal: until something opens the touch current is what the case's volts drive through the body
/// network of IEC 60990 (1500 Ω with 0.22 µF across it, then 500 Ω), at 50 Hz |1500/(1 + jω·1500·0.22e-6) + 500| = 1990 Ω.
#[test]
fn a_cleared_fault_shows_before_and_after() {
    let v = json(&[SUPPLY, "--only", "insulation-L1-CASE"]);
    let r = &v["replay"];
    assert_eq!(r["outcome"], "cleared");
    let times: Vec<f64> =
        r["states"][0]["opens"].as_array().unwrap().iter().map(|o| number(&o["within_seconds"])).collect();
    assert!(times.len() >= 2 && times.is_sorted(), "{times:?}");
    let states = r["states"].as_array().unwrap();
    assert_eq!(states.len(), 2);
    let touch = &states[0]["touch"][0];
    // 1.5 kΩ beside 220 nF, then 500 Ω beside 10 kΩ and 22 nF (IEC 60990 figure 4), read on the 22 nF over 500 Ω.
    let w = 2.0 * std::f64::consts::PI * 50.0 * 1500.0 * 0.22e-6;
    let reader = 1.0 / (2.0 * std::f64::consts::PI * 50.0 * 22e-9);
    let size = 10.5e3 * 10.5e3 + reader * reader;
    let (re, im) = (500.0 * (10e3 * 10.5e3 + reader * reader) / size, 500.0 * 500.0 * reader / size);
    let body = (1500.0 / (1.0 + w * w) + re).hypot(1500.0 * w / (1.0 + w * w) + im);
    let read = number(&touch["voltage_rms"]) / body * reader / size.sqrt();
    near(number(&touch["current_rms"]), read, 1e-3);
    assert!(number(&states[1]["touch"][0]["voltage_rms"]) < 1.0, "dead once it has opened");
    let page = text(&[SUPPLY, "--only", "insulation-L1-CASE"]);
    assert!(page.contains("opens within") && page.lines().all(|l| l.chars().count() <= 80), "{page}");
    assert!(page.contains("prove it dead") && page.contains("SAFETY.md"), "the cautions are on every page");
}

#[test]
fn a_fault_that_does_not_exist_is_told_with_what_does() {
    for (wanted, said) in [("R1-shrt", "did you mean R1-short"), ("999999", "--conditions"), ("", "no-fault")] {
        let out = run(&["check", WAND, "--only", wanted]);
        let err = String::from_utf8(out.stderr).unwrap();
        assert_eq!(out.status.code(), Some(2), "{err}");
        assert!(err.contains(said) && out.stdout.is_empty(), "{err}");
    }
    assert_eq!(json(&[WAND, "--only", "no-fault"])["replay"]["faults"], serde_json::json!([]));
}

/// The short of an outlet is ended by a fuse; that fuse bridged as well would be two faults, which are not tried as one.
#[test]
fn a_short_and_its_fuse_bridged_are_two_faults() {
    let v = json(&[SUPPLY, "--conditions"]);
    let rows = v["conditions_tried"].as_array().unwrap();
    let ended = |load: &str, fault: Option<&str>| {
        let mine = rows.iter().filter(|r| r["loads"]["OUT"] == load && r["switches"]["SW1"] == "on");
        let mine = mine.filter(|r| r["faults"][0].as_str() == fault && r["supply"] == "high" && r["moment"] == "");
        mine.map(|r| r["cleared_by"].as_str().unwrap_or("nothing").to_string()).collect::<Vec<_>>()
    };
    let short = ended("shorted", None);
    assert!(!short.is_empty() && short.iter().all(|by| by == "F3"), "{short:?}");
    assert!(ended("shorted", Some("F3-short")).is_empty());
    // The next fuse in the way is not what ends the short: bridged alone it leaves that to the first.
    let next = ended("shorted", Some("F4-short"));
    assert!(!next.is_empty() && next.iter().all(|by| by == "F3"), "{next:?}");
    let open = ended("open", Some("F3-short"));
    assert!(!open.is_empty() && open.iter().all(|by| by == "nothing"), "{open:?}");
}

/// A fusible resistor of more than 10 Ω opens within 60 s at 16 times its rated power (data sheet of the series NFR01/02/03).
/// With C1 shorted R1 takes over 70 W, more than 16 × 2 W and less than 16 × 5 W.
#[test]
fn a_fusible_resistor_ends_what_is_past_its_published_gate() {
    let jig = std::fs::read_to_string("demo-data/capacitor-led-230v.toml").unwrap();
    let folder = tempfile::tempdir().unwrap();
    let ended = |name: &str, jig: &str| {
        let file = folder.path().join(name);
        std::fs::write(&file, jig).unwrap();
        let v = json(&[file.to_str().unwrap(), "--only", "C1-short"]);
        assert!(number(&row(&v["replay"]["states"][0]["parts"], "part", "R1")["power"]) > 60.0);
        v["replay"]["states"][0]["opens"]
            .as_array()
            .unwrap()
            .iter()
            .find(|o| o["device"] == "R1")
            .map(|o| number(&o["within_seconds"]))
    };
    assert!(jig.contains("fusible = true") && jig.contains("power = \"2 W\""));
    assert_eq!(ended("as-it-is.toml", &jig), Some(60.0));
    assert_eq!(ended("five-watts.toml", &jig.replace("power = \"2 W\"", "power = \"5 W\"")), None);
    assert_eq!(ended("plain.toml", &jig.replace("fusible = true", "fusible = false")), None);
}

#[test]
fn what_ends_a_fault_is_listed_with_its_slowest_time() {
    let v = json(&[SUPPLY, "--conditions"]);
    let cleared = v["cleared"].as_array().unwrap();
    let total: u64 = cleared.iter().map(|r| r["conditions"].as_u64().unwrap()).sum();
    assert_eq!(total, v["conditions"]["cleared"].as_u64().unwrap());
    let slowest = v["conditions_tried"].as_array().unwrap().iter();
    let slowest = slowest.filter_map(|r| r["within_seconds"].as_f64()).fold(0.0, f64::max);
    let listed = cleared.iter().map(|r| number(&r["within_seconds"])).fold(0.0, f64::max);
    assert_eq!(listed, slowest);
}

/// Pairs of faults are a report: nothing else in the check changes by them.
#[test]
fn pairs_of_faults_leave_the_verdict_alone() {
    for file in [WAND, "demo-data/wrong/neon-100k-on-230v.toml", SUPPLY] {
        let (one, mut two) = (json(&[file]), json(&[file, "--faults", "2"]));
        let pairs = two.as_object_mut().unwrap().remove("double_faults").unwrap();
        assert_eq!(one, two, "{file}");
        assert_eq!(run(&["check", file]).status, run(&["check", file, "--faults", "2"]).status);
        // n faults make n(n-1)/2 pairs, less those of one part with itself (open and shorted).
        let listed = json(&[file, "--conditions"]);
        let rows = listed["conditions_tried"].as_array().unwrap();
        let mut faults: Vec<&str> = rows.iter().filter_map(|r| r["faults"][0].as_str()).collect();
        faults.sort_unstable();
        faults.dedup();
        let of_part = |f: &&str| f.ends_with("-open") && faults.iter().any(|o| *o == f.replace("-open", "-short"));
        let welded = |f: &&str| f.ends_with("-open") && faults.iter().any(|o| *o == f.replace("-open", "-welded"));
        let twice = faults.iter().filter(|f| of_part(f) || welded(f)).count();
        let n = faults.len();
        assert_eq!(pairs["pairs"].as_u64().unwrap() as usize, n * (n - 1) / 2 - twice, "{file}");
        let signals: Vec<&str> =
            pairs["ranked"].as_array().unwrap().iter().map(|p| p["finding"]["signal"].as_str().unwrap()).collect();
        let weight = |s: &&str| ["DANGER", "WARNING", "CAUTION"].iter().position(|x| x == s).unwrap();
        assert!(signals.is_sorted_by_key(weight), "gravest first: {signals:?}");
    }
}

/// Each fault alone is borne: the earth ends the one, nothing is live with the other. Both at once put the mains on the
/// case: the highest mains, 253 V, over the 1990 Ω of the body network.
#[test]
fn a_pair_that_kills_where_neither_does_alone_is_ranked() {
    let v = json(&[SUPPLY, "--faults", "2"]);
    let ranked = v["double_faults"]["ranked"].as_array().unwrap();
    let pair = ranked.iter().find(|p| p["faults"] == serde_json::json!(["PE-open", "insulation-L1-CASE"])).unwrap();
    assert_eq!((&pair["finding"]["check"], &pair["finding"]["signal"]), (&"touch-current".into(), &"DANGER".into()));
    near(number(&pair["finding"]["value"]), 0.9974 * 253.0 / 1990.0, 2e-3);
    let page = text(&[SUPPLY, "--faults", "2"]);
    assert!(page.contains("not part of the verdict") && page.lines().all(|l| l.chars().count() <= 80), "{page}");
    assert_eq!(run(&["check", SUPPLY, "--faults", "3"]).status.code(), Some(2));
}

/// Threads share the work out anew every time: the answer must not tell.
#[test]
fn the_same_jig_gives_the_same_answer_every_time() {
    let args = ["check", SUPPLY, "--format", "json", "--conditions", "--faults", "2", "--only", "no-fault"];
    let first = run(&args).stdout;
    (0..5).for_each(|_| assert!(run(&args).stdout == first));
}

/// What the first fuse leaves may make the next one open. The live side of an autotransformer's outlet at the earthed case:
/// with the outlet shorted F3 may open first, and then F1 carries the earth fault, some 29 A, past the gate at four times its
/// 3.15 A. A fault that ends in two steps is no smouldering one.
#[test]
fn a_second_device_ends_what_the_first_leaves() {
    let v = json(&["tests/jigs/variable-supply-no-rcd.toml", "--conditions"]);
    let rows = v["conditions_tried"].as_array().unwrap();
    let second = rows.iter().enumerate().filter(|(_, r)| {
        r["faults"] == serde_json::json!(["insulation-B-CASE"])
            && r["moment"] == "after F3 has opened"
            && r["outcome"] == "cleared"
    });
    let second: Vec<(usize, &Value)> = second.collect();
    assert!(!second.is_empty());
    for (k, r) in second {
        assert_eq!((&r["cleared_by"], &rows[k - 1]["cleared_by"]), (&"F1".into(), &"F3".into()));
        assert!(number(&r["amperes"]) > 4.0 * 3.15, "{r}");
        assert!(number(&r["within_seconds"]) > number(&rows[k - 1]["within_seconds"]), "counted from the fault");
        assert_eq!(rows[k + 1]["moment"], "after F3 has opened and then F1");
        assert_eq!(rows[k + 1]["outcome"], "solved");
    }
    let findings = v["findings"].as_array().unwrap();
    assert!(findings.iter().all(|f| f["signal"] != "DANGER" && f["signal"] != "WARNING"), "{findings:#?}");
}

/// Sound tools that are not among the demo jigs: an LED on an approved extra-low-voltage module, a switched outlet in an
/// earthed box, a 12 V lamp on a transformer. None of them may draw more than a CAUTION.
#[test]
fn other_sound_tools_draw_no_alarm() {
    for name in ["led-on-extra-low-volts", "test-outlet", "bench-lamp", "variable-supply-no-rcd"] {
        let v = json(&[&format!("tests/jigs/{name}.toml")]);
        let grave = |f: &&Value| f["signal"] == "DANGER" || f["signal"] == "WARNING";
        let grave: Vec<&Value> = v["findings"].as_array().unwrap().iter().filter(grave).collect();
        assert!(grave.is_empty(), "{name}: {grave:#?}");
    }
}

/// The only resistor of an LED: on 5 V the LED dies, behind a bridge on the mains it bursts.
#[test]
fn one_resistor_is_enough_on_extra_low_volts_only() {
    let signal = |file: &str| {
        let v = json(&[file]);
        let f = v["findings"].as_array().unwrap().iter().find(|f| f["check"] == "no-limiting").cloned();
        f.unwrap_or_else(|| panic!("{v}"))["signal"].as_str().unwrap().to_string()
    };
    assert_eq!(signal("tests/jigs/led-on-extra-low-volts.toml"), "NOTICE");
    assert_eq!(signal("demo-data/wrong/led-switch-in-neutral.toml"), "WARNING");
}

/// A winding bears half as much again for ever: 500 VA at 230 V are 2.17 A, and a fault makes it 2.66 A. Some nine times its
/// current, as in the isolated supply without a fuse, it does not.
#[test]
fn a_winding_bears_some_overload() {
    let jig = std::fs::read_to_string("tests/jigs/variable-supply-no-rcd.toml").unwrap();
    let folder = tempfile::tempdir().unwrap();
    let signal = |power: &str| {
        let file = folder.path().join("jig.toml");
        std::fs::write(&file, jig.replace("500 VA", power)).unwrap();
        let v = json(&[file.to_str().unwrap()]);
        let f = v["findings"].as_array().unwrap().iter().find(|f| f["check"] == "smoulder").cloned();
        f.map(|f| f["signal"].as_str().unwrap().to_string())
    };
    assert_eq!(signal("500 VA").as_deref(), Some("CAUTION"));
    assert_eq!(signal("2 kVA"), None, "then it is no overload at all");
    let v = json(&["demo-data/wrong/isolated-supply-earthed.toml"]);
    let f = v["findings"].as_array().unwrap().iter().find(|f| f["check"] == "smoulder").unwrap();
    assert!(f["signal"] == "WARNING" && number(&f["value"]) > 5.0 * number(&f["limit"]), "{f}");
}
