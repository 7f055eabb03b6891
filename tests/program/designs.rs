//! Designs that were written from the README and the schema alone, each with what must be said set down before it was run:
//! `stop`, a DANGER or WARNING that names one of the words; `any`, a finding that does; `not-stop`, neither DANGER nor WARNING.
//! What does not come out as expected yet is listed with its reason, and only that.

use super::program::{binary, root};
use serde_json::Value;
use std::collections::BTreeSet;
use std::process::Command;
use std::sync::Mutex;

/// Designs that come out otherwise, and why.
const OPEN: &[(&str, &str)] = &[
    (
        "au-buck-broken",
        "a winding the wrong way round raises the mains to 254 V: no check asks for the volts of an outlet",
    ),
    ("au-trickle-charger-sound", "16 W in a small box: 98 °C by the box's formula"),
    (
        "contactor-box-us-sound",
        "a receptacle that the branch breaker alone protects: by the rule every path has a fuse",
    ),
    ("foam-cutter-sound", "lists a load that is there to blow its fuse: what is listed is use"),
    ("led-strobe-mx-broken", "an LED that dies of reverse volts is a NOTICE"),
    ("marker-lamp-kr-broken", "an LED that dies of too much current is a NOTICE"),
    ("probe-broken", "a pulse of 2.5 times the chart is a CAUTION"),
];

/// Whether a design comes out as expected.
fn right(name: &str, expected: &Value) -> bool {
    let file = root().join(format!("tests/designs/{name}.toml"));
    let out = Command::new(binary())
        .args(["check", "--budget", "none", "--format", "json"])
        .arg(file)
        .output()
        .expect("the program runs");
    let Ok(report) = serde_json::from_slice::<Value>(&out.stdout) else { return false };
    let found = report["findings"].as_array().expect("a list of findings");
    let grave = |f: &&Value| f["signal"] == "DANGER" || f["signal"] == "WARNING";
    let verdict = expected["verdict"].as_str().expect("a verdict");
    if verdict == "not-stop" {
        return out.status.code() == Some(0) && !found.iter().any(|f| grave(&f));
    }
    let told = found.iter().filter(|f| verdict == "any" || grave(f));
    let words: Vec<String> = told
        .flat_map(|f| {
            let lists = ["parts", "nets", "touchables"]
                .into_iter()
                .flat_map(|key| f[key].as_array().cloned().unwrap_or_default());
            lists.chain([f["check"].clone()]).filter_map(|word| Some(word.as_str()?.to_lowercase()))
        })
        .collect();
    let mentions = expected["mention"].as_array().expect("what is to be named");
    let named = mentions.iter().filter_map(Value::as_str).any(|m| words.iter().any(|w| w.contains(&m.to_lowercase())));
    named && (verdict == "any" || out.status.code() == Some(1))
}

#[test]
fn designs_written_without_sight_of_the_program_come_out_as_expected() {
    let text = std::fs::read_to_string(root().join("tests/designs/expect.json")).expect("the expectations");
    let expected: Value = serde_json::from_str(&text).expect("JSON");
    let designs = expected.as_object().expect("a table of designs");
    assert!(designs.len() >= 60, "{}", designs.len());
    let todo = Mutex::new(designs.iter());
    let wrong = Mutex::new(BTreeSet::new());
    std::thread::scope(|scope| {
        for _ in 0..2 {
            scope.spawn(|| {
                loop {
                    let next = todo.lock().expect("no panic").next();
                    let Some((name, expectation)) = next else { break };
                    if !right(name, expectation) {
                        wrong.lock().expect("no panic").insert(name.as_str());
                    }
                }
            });
        }
    });
    let open: BTreeSet<&str> = OPEN.iter().map(|o| o.0).collect();
    assert_eq!(wrong.into_inner().expect("no panic"), open);
}
