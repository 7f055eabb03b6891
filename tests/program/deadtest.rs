//! `deadfront deadtest` as a user meets it: its JSON is a contract, its exit status, the first power-up, what a check tells of it.
#![allow(missing_docs, clippy::unwrap_used)]

use serde_json::Value;

fn run(arguments: &[&str]) -> (i32, String, String) {
    let out = super::program::program(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env_remove("COLUMNS")
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (out.status.code().unwrap(), text(out.stdout), text(out.stderr))
}

fn json(arguments: &[&str]) -> (i32, Value) {
    let (status, text, errors) = run(&[&["deadtest", "--json"], arguments].concat());
    (status, serde_json::from_str(&text).unwrap_or_else(|e| panic!("{e}: {text}{errors}")))
}

const WAND: &str = "demo-data/neon-wand-230v.toml";

fn keys(value: &Value) -> Vec<&str> {
    value.as_object().unwrap().keys().map(String::as_str).collect()
}

#[test]
fn its_json_is_a_contract() {
    let (status, all) = json(&[WAND]);
    assert_eq!(status, 0);
    assert_eq!(all["schema_version"], 1);
    let first = &all["measurements"][0];
    for key in ["between", "expect", "id", "range", "setting", "tells", "unit"] {
        assert!(keys(first).contains(&key), "{key}: {first}");
    }
    assert_eq!(first["id"], "M1");
    assert_eq!(first["between"].as_array().unwrap().len(), 2);
    assert!(keys(&first["expect"]).iter().all(|k| ["low", "high", "words"].contains(k)));
    let dropper =
        all["measurements"].as_array().unwrap().iter().find(|m| m["between"] == serde_json::json!(["L", "LP1"]));
    let expect = &dropper.unwrap()["expect"];
    assert_eq!(expect["words"], "285 to 315 kΩ");
    // Fuse and joints of the near end are at least nothing.
    assert!((expect["low"].as_f64().unwrap() - 285e3).abs() < 1.0, "{expect}");
    assert!(all["hidden"].as_array().unwrap().iter().all(|h| keys(h) == ["fault", "why"]));
    assert!(all.get("explained_by").is_none(), "no readings, no diagnosis");
}

#[test]
fn readings_end_in_a_status() {
    let (status, fine) = json(&[WAND, "--reading", "L-LP1=299 kΩ"]);
    assert_eq!(
        (status, &fine["explained_by"], &fine["unexplained"]),
        (0, &serde_json::json!([]), &serde_json::json!([]))
    );
    assert!(!fine["still_hidden"].as_array().unwrap().is_empty() && fine["next"].is_string());
    let (status, wrong) = json(&[WAND, "--reading", "L-LP1=OL", "--reading", "L-R1/R2=150 kΩ"]);
    assert_eq!(status, 1);
    let first = &wrong["explained_by"][0];
    assert_eq!((&first["fault"], &first["rank"], &first["fits"]), (&"R2-open".into(), &1.into(), &2.into()));
    let (status, _, errors) = run(&["deadtest", WAND, "--reading", "L-LP1=299 V"]);
    assert!(status == 2 && errors.contains("ohms"), "{errors}");
    let (status, _, errors) = run(&["deadtest", WAND, "--readings", "no-such-file.toml"]);
    assert!(status == 2 && errors.contains("no such file"), "{errors}");
    let (status, text, _) = run(&["deadtest", WAND, "--reading", "L-LP1=299 kΩ"]);
    assert!(status == 0 && text.contains("No difference found in 1 measurement"), "{text}");
    assert!(!text.contains("sound.") && !text.to_lowercase().contains("safe"), "{text}");
}

#[test]
fn no_page_is_wider_than_it_may_be() {
    let folder = std::fs::read_dir(format!("{}/demo-data", env!("CARGO_MANIFEST_DIR"))).unwrap();
    for file in folder.map(|f| f.unwrap().path()).filter(|p| p.extension().is_some_and(|e| e == "toml")) {
        let (status, text, errors) = run(&["deadtest", file.to_str().unwrap()]);
        assert_eq!(status, 0, "{errors}");
        assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    }
}

#[test]
fn the_first_power_up_waits_for_the_check() {
    let (status, all) = json(&[WAND, "--first-power"]);
    assert_eq!(status, 0);
    let power = &all["first_power"];
    assert_eq!(power["offered"], true);
    let steps = power["steps"].as_array().unwrap();
    assert!(steps.len() >= 4 && steps.iter().all(|s| s["do"].is_string() && s["stop"].is_string()), "{power}");
    assert!(steps[0]["residual_a"].as_f64().unwrap() <= 0.03);
    let lamp = &steps[0]["lamp"];
    assert!(lamp["watts"].as_f64().unwrap() > 0.0, "{lamp}");
    for (jig, word) in [
        ("demo-data/wrong/neon-100k-on-230v.toml", "DANGER or WARNING"),
        ("demo-data/discharge-probe.toml", "never hangs on the mains"),
    ] {
        let (_, all) = json(&[jig, "--first-power"]);
        let power = &all["first_power"];
        assert!(power["offered"] == false && power["why"].as_str().unwrap().contains(word), "{jig}: {power}");
    }
    let (status, all) = json(&[WAND, "--first-power", "--reading", "L-LP1=OL"]);
    assert_eq!((status, &all["first_power"]["offered"]), (1, &false.into()));
}

#[test]
fn a_check_tells_what_to_measure_first() {
    let (_, text, _) = run(&["check", WAND]);
    let at = text.lines().position(|l| l.starts_with("Before first power")).unwrap_or_else(|| panic!("{text}"));
    let lines: Vec<&str> = text.lines().skip(at).take(3).collect();
    assert!(lines[1].contains("L – LP1 285 to 315 kΩ") || lines[2].contains("L – LP1 285 to 315 kΩ"), "{lines:?}");
    // Where something is to be changed first, what is read then is not told.
    let (_, text, _) = run(&["check", "demo-data/wrong/neon-100k-on-230v.toml"]);
    assert!(!text.contains("Before first power"), "{text}");
}

/// Readings of a sound LED strobe box, each well within what its dead test prints.
const BOX: [(&str, &str); 12] = [
    ("L-lid screws SW1=on ohms", "OL"),
    ("L-R1/BR1 SW1=on ohms", "15.1 kΩ"),
    ("N-lid screws SW1=on ohms", "OL"),
    ("N-R2/BR1 SW1=on ohms", "14.8 kΩ"),
    ("plus-minus SW1=on ohms", "OL"),
    ("lid screws-plus SW1=on diode", "OL"),
    ("R1/BR1-plus SW1=on diode", "0.55 V"),
    ("R2/BR1-plus SW1=on diode", "0.56 V"),
    ("minus-R1/BR1 SW1=on diode", "0.55 V"),
    ("minus-R2/BR1 SW1=on diode", "0.57 V"),
    ("L-R1/BR1 SW1=off ohms", "OL"),
    ("N-R2/BR1 SW1=off ohms", "OL"),
];

/// What a user at the bench would find: each variant differs in the one reading that the fault changes, worked out from the
/// circuit by hand.
#[test]
fn five_faulty_boxes_are_told_apart_by_their_readings() {
    let told = |changed: &[(&str, &str)]| {
        let value = |id: &str, sound: &str| changed.iter().find(|c| c.0 == id).map_or(sound, |c| c.1).to_string();
        let readings: Vec<String> = BOX.iter().map(|(id, sound)| format!("{id}={}", value(id, sound))).collect();
        let flags = readings.iter().flat_map(|r| ["--reading", r.as_str()]);
        let (status, all) = json(&[&["demo-data/led-box-230v.toml"][..], &flags.collect::<Vec<_>>()].concat());
        let first = all["explained_by"].as_array().unwrap().iter().filter(|e| e["rank"] == 1);
        (status, first.map(|e| e["fault"].as_str().unwrap().to_string()).collect::<Vec<_>>())
    };
    assert_eq!(told(&[]), (0, vec![]));
    // 1.5 kΩ in place of 15 kΩ; an arm of the bridge that never conducts; a welded contact; a bridge of solder across the
    // LEDs; some ohms of fuse and switch to the lid.
    assert_eq!(told(&[("N-R2/BR1 SW1=on ohms", "1.52 kΩ")]), (1, vec!["R2-tenth".to_string()]));
    assert_eq!(told(&[("minus-R1/BR1 SW1=on diode", "OL")]), (1, vec!["BR1.3-open".to_string()]));
    // No meter parts a welded contact from a wire that goes past it.
    let past = ["SW1.2-welded", "R2.N2-on-N1", "F2.N1-on-N2"].map(str::to_string).to_vec();
    assert_eq!(told(&[("N-R2/BR1 SW1=off ohms", "14.9 kΩ")]), (1, past));
    assert_eq!(told(&[("plus-minus SW1=on ohms", "0.3 Ω")]), (1, vec!["LED1-short".to_string()]));
    let (status, lid) = told(&[("L-lid screws SW1=on ohms", "3.1 Ω")]);
    assert!(status == 1 && lid.iter().all(|f| f.starts_with("insulation-L") && f.ends_with("-LID")), "{lid:?}");
}
