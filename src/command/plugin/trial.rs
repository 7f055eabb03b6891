//! `deadfront plugin try`. Runs the cases here and once more in a process of its own: a plugin whose findings hang on an
//! address or on an order that changes from run to run shows there. Must not judge.

use super::{Authored, authored};
use crate::command::Exit;
use crate::jig::InputError;
use crate::plugin::cases::{self, CaseResult};
use crate::plugin::vm::Bounds;
use crate::plugin::{Folder, Plugin};
use crate::report::{Trial, TrialCase, trial_text};
use clap::Args;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

const HELP: &str = "\
Each case is a jig file in cases/ that ends with [expect] and findings = [\"check-name\"] or none = true. Only what the \
plugin finds is compared, by the names of its checks; each case runs twice, and both runs must find the same.

Exit status: 0 every case came out as expected; 1 one did not; 2 something could not be read or is wrong; 3 the plugin \
failed, or two runs differed.

Example:
  deadfront plugin try probe-bleeder";

/// Run a plugin's cases: what was expected, what was found
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub struct TryArgs {
    /// The plugin's folder
    pub folder: PathBuf,
    /// Run the cases in this process only
    #[arg(long, hide = true)]
    pub once: bool,
}

pub(super) fn run(args: &TryArgs) -> Result<Authored, Vec<InputError>> {
    let folder = Folder::read(&args.folder)?;
    let plugin = folder.plugin()?;
    let cases = cases::read(&folder, &plugin)?;
    let mut tried: Vec<CaseResult> = cases.iter().map(|c| cases::run(&plugin, c, Bounds::default())).collect();
    if !args.once {
        match again(&args.folder) {
            Ok(second) => compare(&mut tried, &second),
            Err(why) => {
                let message = format!("the second run of the cases could not be made: {why}");
                return Err(vec![InputError {
                    file: args.folder.display().to_string(),
                    line: 0,
                    column: 0,
                    message,
                    help: String::new(),
                }]);
            }
        }
    }
    let failed = tried.iter().any(|t| t.outcome.is_err());
    let exit = match (failed, tried.iter().all(CaseResult::as_expected)) {
        (true, _) => Exit::Incomplete,
        (false, true) => Exit::Clean,
        (false, false) => Exit::Found,
    };
    let json = json!({
        "id": plugin.manifest.id, "version": plugin.manifest.version.to_string(), "sha256": plugin.sha256,
        "as_expected": exit == Exit::Clean, "cases": tried.iter().map(facts).collect::<Vec<_>>(), "notes": notes(&plugin, &tried),
    });
    let trial = Trial {
        plugin: plugin.manifest.stamp(),
        cases: tried.iter().map(case).collect(),
        notes: notes(&plugin, &tried),
    };
    authored(exit, json, move |look| trial_text(&trial, look))
}

fn facts(t: &CaseResult) -> Value {
    json!({
        "file": t.file, "line": t.line, "expected": t.expected, "found": t.found(), "as_expected": t.as_expected(),
        "failed": t.outcome.as_ref().err(), "findings": t.outcome.as_ref().unwrap_or(&vec![]),
    })
}

fn case(t: &CaseResult) -> TrialCase {
    let findings = t.outcome.iter().flatten();
    let surplus = findings.filter(|f| !t.expected.contains(f.check.as_str()));
    let surplus = surplus.map(|f| (f.place.clone(), format!("{}: {}", f.check, f.message))).collect();
    TrialCase {
        file: t.file.clone(),
        line: t.line,
        expected: t.expected.iter().cloned().collect(),
        found: t.found().into_iter().collect(),
        missing: if t.outcome.is_ok() { t.expected.difference(&t.found()).cloned().collect() } else { vec![] },
        surplus,
        failed: t.outcome.as_ref().err().cloned(),
    }
}

/// What the cases leave open.
fn notes(plugin: &Plugin, tried: &[CaseResult]) -> Vec<String> {
    let flagged: BTreeSet<&String> = tried.iter().flat_map(|t| &t.expected).collect();
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
    if tried.iter().all(|t| !t.expected.is_empty()) {
        notes.push("no case is good: nothing shows that the plugin would be quiet".to_string());
    }
    for f in tried.iter().flat_map(|t| &t.loose_ends) {
        notes.push(format!("{}:{}: {}", f.place.file, f.place.line, f.message));
    }
    notes
}

/// The cases as another process finds them.
fn again(folder: &Path) -> Result<Value, String> {
    let program = std::env::current_exe().map_err(|e| e.to_string())?;
    let out = Command::new(program)
        .args(["plugin", "try", "--once", "--format", "json", "--"])
        .arg(folder)
        .stdin(Stdio::null())
        .output()
        .map_err(|e| e.to_string())?;
    serde_json::from_slice(&out.stdout).map_err(|_| String::from_utf8_lossy(&out.stderr).into_owned())
}

fn compare(tried: &mut [CaseResult], second: &Value) {
    let all = second["cases"].as_array();
    for (k, t) in tried.iter_mut().enumerate() {
        // Through text and back, as the other one came: numbers are compared to the last bit that is printed.
        let mine: Option<Value> = serde_json::from_str(&facts(t).to_string()).ok();
        let same = mine.is_some() && mine.as_ref() == all.and_then(|a| a.get(k));
        if !same && t.outcome.is_ok() {
            t.outcome =
                Err("two runs did not find the same; what a plugin finds must hang on the jig alone".to_string());
        }
    }
}
