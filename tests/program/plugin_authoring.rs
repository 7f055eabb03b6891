//! From an empty folder to a check with a plugin of one's own, through the whole program.
#![allow(missing_docs, clippy::unwrap_used)]

use super::program;
use super::program::printed;
use serde_json::Value;
use std::fs;
use std::path::Path;
use std::process::Output;

fn run_in(folder: &Path, arguments: &[&str]) -> Output {
    program::program(arguments).current_dir(folder).output().unwrap()
}

fn swap(path: &Path, from: &str, to: &str) {
    let text = fs::read_to_string(path).unwrap();
    assert!(text.contains(from), "{text}");
    fs::write(path, text.replace(from, to)).unwrap();
}

/// A folder with a fresh plugin in it.
fn fresh() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    assert_eq!(run_in(folder.path(), &["plugin", "new", "glow-box"]).status.code(), Some(0));
    folder
}

#[test]
fn a_new_plugin_passes_its_cases_as_made_and_is_not_written_twice() {
    let folder = fresh();
    let tried = run_in(folder.path(), &["plugin", "try", "glow-box"]);
    assert_eq!(tried.status.code(), Some(0), "{tried:?}");
    assert!(printed(&tried).contains("2 of 2 cases as expected"));
    let again = run_in(folder.path(), &["plugin", "new", "glow-box"]);
    assert_eq!(again.status.code(), Some(2));
    assert_eq!(run_in(folder.path(), &["plugin", "new", "../out"]).status.code(), Some(2));
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "nothing half-made is left");
}

#[test]
fn what_differs_is_told_with_its_place() {
    let folder = fresh();
    let bad = folder.path().join("glow-box/cases/bad.toml");
    swap(&bad, "findings = [\"warm-resistor\"]", "none = true");
    let tried = run_in(folder.path(), &["plugin", "try", "glow-box"]);
    assert_eq!(tried.status.code(), Some(1));
    // The place of R1 in that file, counted here.
    let line = fs::read_to_string(&bad).unwrap().lines().position(|l| l == "[part.R1]").unwrap() + 1;
    let flat = printed(&tried).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains(&format!("glow-box/cases/bad.toml:{line}:1: not expected: warm-resistor")), "{flat}");
    assert!(flat.contains("no case is bad"), "{flat}");
}

/// A slip in the name of a net makes another jig of it, and the case no longer shows what it is for.
#[test]
fn a_loose_end_in_a_case_is_told() {
    let folder = fresh();
    let flat = |o: &Output| printed(o).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(!flat(&run_in(folder.path(), &["plugin", "try", "glow-box"])).contains("named once"));
    swap(&folder.path().join("glow-box/cases/good.toml"), "[\"a\", \"N\"]", "[\"a\", \"M\"]");
    let tried = flat(&run_in(folder.path(), &["plugin", "try", "glow-box"]));
    assert!(tried.contains("M is named once (an end of LP1)"), "{tried}");
}

#[test]
fn a_failing_plugin_is_status_3_with_its_line() {
    let folder = fresh();
    fs::write(folder.path().join("glow-box/check.lua"), "return { check = function(jig)\n  error('no')\nend }\n")
        .unwrap();
    let tried = run_in(folder.path(), &["plugin", "try", "glow-box", "--format", "json"]);
    assert_eq!(tried.status.code(), Some(3));
    let json: Value = serde_json::from_slice(&tried.stdout).unwrap();
    assert!(json["cases"][0]["failed"].as_str().unwrap().contains("check.lua:2"), "{json}");
}

#[test]
fn a_slip_in_expect_is_status_2_with_its_place() {
    for (to, place) in [
        ("finding = [\"warm-resistor\"]", ":53:1:"),
        ("findings = [\"warm-resister\"]", ":53:13:"),
        ("findings = []", ":52:1:"),
        ("none = true\nfindings = [\"warm-resistor\"]", ":52:1:"),
    ] {
        let folder = fresh();
        swap(&folder.path().join("glow-box/cases/bad.toml"), "findings = [\"warm-resistor\"]", to);
        let tried = run_in(folder.path(), &["plugin", "try", "glow-box"]);
        assert_eq!(tried.status.code(), Some(2), "{to}");
        let told = String::from_utf8(tried.stderr).unwrap();
        assert!(told.starts_with(&format!("glow-box/cases/bad.toml{place}")), "{to}: {told}");
    }
}

#[test]
fn check_runs_a_named_plugin_and_never_one_that_merely_lies_there() {
    let folder = fresh();
    let case = fs::read_to_string(folder.path().join("glow-box/cases/bad.toml")).unwrap();
    fs::write(folder.path().join("jig.toml"), case.split("# What the plugin must").next().unwrap()).unwrap();
    let json =
        |arguments: &[&str]| -> Value { serde_json::from_slice(&run_in(folder.path(), arguments).stdout).unwrap() };
    let ran =
        |v: &Value| v["plugins"].as_array().unwrap().iter().any(|p| p["id"] == "glow-box" && p["outcome"] == "ran");
    assert!(!ran(&json(&["check", "jig.toml", "--format", "json"])));
    for named in ["glow-box", "."] {
        let with = json(&["check", "jig.toml", "--format", "json", "--plugins", named]);
        assert!(ran(&with), "{named}");
        let found = with["findings"].as_array().unwrap().iter().filter(|f| f["check"] == "warm-resistor").count();
        assert_eq!(found, 2, "one for each resistor");
    }
    let listed = json(&["plugin", "list", "--plugins", "glow-box", "--format", "json"]);
    assert!(listed["plugins"].as_array().unwrap().iter().any(|p| p["id"] == "glow-box" && p["from"] == "named"));
}
