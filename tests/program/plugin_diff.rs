//! An update in which a limit was loosened, beside the version before it: what `plugin diff` shows of it.
#![cfg(unix)]
#![allow(missing_docs, clippy::unwrap_used)]

use super::program::{printed, root, said, shell};
use std::path::Path;

fn run(folder: &Path, script: &str) -> (Option<i32>, String) {
    let output = shell(folder, script).env("DEADFRONT_HOME", folder).output().unwrap();
    (output.status.code(), format!("{}{}", printed(&output), said(&output)))
}

/// A shipped plugin with three of its cases, and an update of it: the words of its `about` are new, a case was taken along.
fn two_versions() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let from = root().join("plugins/isolated-supply");
    let script = format!(
        "set -e; mkdir -p old/cases; cp {from}/plugin.toml {from}/check.lua old/
         cp {from}/cases/bad-leaky.toml {from}/cases/bad-no-outlet.toml {from}/cases/good-100-va.toml old/cases/
         cp -r old new; sed -i 's/^version = .*/version = \"9.0.0\"/' new/plugin.toml
         sed '/^\\[expect\\]/,$d' old/cases/bad-leaky.toml > leaky.toml
         sed '/^\\[expect\\]/,$d' old/cases/good-100-va.toml > sound.toml",
        from = from.display()
    );
    let (status, told) = run(folder.path(), &script);
    assert_eq!(status, Some(0), "{told}");
    folder
}

#[test]
fn a_limit_that_was_loosened_is_told_by_its_line_by_the_old_cases_and_by_the_jig() {
    let folder = two_versions();
    let at = folder.path();
    let loosen = "sed -i 's/^limit = \"0.25 mA\"/limit = \"25 mA\"/' new/plugin.toml; rm new/cases/bad-leaky.toml
                  printf '\\n-- \\033[8m\\n' >> new/check.lua";
    assert_eq!(run(at, loosen).0, Some(0));
    let (status, text) = run(at, "deadfront plugin diff old new --jigs leaky.toml --jigs sound.toml");
    assert_eq!(status, Some(0), "{text}");
    assert!(text.lines().all(|l| !l.contains('\u{1b}')), "{text}");
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for told in [
        "check leak, limit: 250 µA → 25 mA",
        "Cases of the old version that the new one does not pass: 1",
        "bad-leaky.toml: expected leak, the new version finds nothing",
        "Jigs of those named on which they differ: 1 - leaky.toml - CAUTION leak:",
        "cases/bad-leaky.toml: gone",
        "-- \\u{1b}[8m",
    ] {
        assert!(flat.contains(told), "{told}\n{text}");
    }
    assert!(!flat.contains("sound.toml"), "{text}");
    // An archive reads as the folder does.
    let script =
        "deadfront plugin pack new >/dev/null && deadfront plugin diff --format json old isolated-supply-9.0.0.tar.gz";
    let (status, text) = run(at, script);
    let json: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(status, Some(0));
    assert!(json["changes"].as_array().unwrap().iter().any(|c| c["what"] == "check leak, limit"), "{json}");
    assert_eq!(json["old_cases"].as_array().unwrap().len(), 1);
}

#[test]
fn an_update_that_loosens_nothing_shows_nothing_but_what_it_changes() {
    let folder = two_versions();
    let (status, text) = run(folder.path(), "deadfront plugin diff --format json old new --jigs leaky.toml");
    let json: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(status, Some(0));
    let changes: Vec<&str> = json["changes"].as_array().unwrap().iter().map(|c| c["what"].as_str().unwrap()).collect();
    assert_eq!(changes, ["version"]);
    for empty in ["code", "old_cases", "jigs"] {
        assert_eq!(json[empty], serde_json::json!([]), "{empty}");
    }
}
