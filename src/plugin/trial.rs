//! What the cases of a plugin show: two runs of them compared, and what they leave open. Must not run a plugin.

use super::cases::CaseResult;
use super::folder::Plugin;
use serde_json::{Value, json};
use std::collections::BTreeSet;

/// A result as JSON, in which runs are compared.
pub(crate) fn facts(t: &CaseResult) -> Value {
    json!({
        "file": t.file, "line": t.line, "expected": t.expected, "found": t.found(), "as_expected": t.as_expected(),
        "failed": t.outcome.as_ref().err(), "findings": t.outcome.as_ref().unwrap_or(&vec![]),
    })
}

/// Compares results with those of a second run, an object that holds the same under `cases`. Where they differ the plugin
/// has failed: what it finds must hang on the jig alone.
pub(crate) fn compare(results: &mut [CaseResult], second: &Value) {
    let all = second["cases"].as_array();
    for (k, t) in results.iter_mut().enumerate() {
        // Through text and back, as the other one came: numbers are compared to the last bit that is printed.
        let mine: Option<Value> = serde_json::from_str(&facts(t).to_string()).ok();
        let same = mine.is_some() && mine.as_ref() == all.and_then(|a| a.get(k));
        if !same && t.outcome.is_ok() {
            t.outcome =
                Err("two runs did not find the same; what a plugin finds must hang on the jig alone".to_string());
        }
    }
}

/// What the cases leave open.
pub(crate) fn left_open(plugin: &Plugin, results: &[CaseResult]) -> Vec<String> {
    let flagged: BTreeSet<&String> = results.iter().flat_map(|t| &t.expected).collect();
    let mut notes = vec![];
    if flagged.is_empty() {
        notes.push("no case is bad: nothing shows that the plugin would find anything".to_string());
    } else {
        let open: Vec<&str> =
            plugin.manifest.checks.keys().filter(|c| !flagged.contains(c)).map(String::as_str).collect();
        if !open.is_empty() {
            notes.push(format!("no case expects {}", open.join(", ")));
        }
    }
    if results.iter().all(|t| !t.expected.is_empty()) {
        notes.push("no case is good: nothing shows that the plugin would be quiet".to_string());
    }
    for f in results.iter().flat_map(|t| &t.loose_ends) {
        notes.push(format!("{}:{}: {}", f.place.file, f.place.line, f.message));
    }
    notes
}
