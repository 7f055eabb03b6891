//! `deadfront plugin try`. Runs the cases here and once more in a process of its own: a plugin whose findings hang on an
//! address or on an order that changes from run to run shows there. Must not compare.

use super::printed::{Printed, printed};
use crate::command::errors::Errors;
use crate::command::exit::Exit;
use crate::plugin::cases::{self, CaseResult};
use crate::plugin::vm::Bounds;
use crate::plugin::{Folder, trial};
use crate::report::{Trial, TrialCase, trial_text};
use anyhow::{Context as _, anyhow};
use clap::Args;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

const HELP: &str = "\
Each case is a jig file in cases/ that ends with [expect] and findings = [\"check-name\"] or none = true. Only what the \
plugin finds is compared, by the names of its checks; { check = \"check-name\", part = \"R1\", signal = \"WARNING\" } in place of \
a name asks for more. Each case runs twice, and both runs must find the same.

Exit status: 0 every case came out as expected; 1 one did not; 2 something could not be read or is wrong; 3 the plugin \
failed, or two runs differed.

Example:
  deadfront plugin try probe-bleeder";

/// Run a plugin's cases: what was expected, what was found
#[derive(Debug, Clone, Args)]
#[command(after_help = HELP)]
pub(crate) struct TryArgs {
    /// The plugin's folder
    pub folder: PathBuf,
    /// Run the cases in this process only
    #[arg(long, hide = true)]
    pub once: bool,
}

pub(super) fn run(args: &TryArgs) -> Result<Printed, Errors> {
    let folder = Folder::read(&args.folder)?;
    let plugin = folder.plugin()?;
    let cases = cases::read(&folder, &plugin)?;
    let mut results: Vec<CaseResult> = cases.iter().map(|c| cases::run(&plugin, c, Bounds::default())).collect();
    if !args.once {
        let failed = || format!("{}: error: the second run of the cases could not be made", args.folder.display());
        trial::compare(&mut results, &again(&args.folder).with_context(failed)?);
    }
    let exit = match (results.iter().any(|r| r.outcome.is_err()), results.iter().all(CaseResult::as_expected)) {
        (true, _) => Exit::Incomplete,
        (false, true) => Exit::Clean,
        (false, false) => Exit::Found,
    };
    let notes = trial::left_open(&plugin, &results);
    let json = json!({
        "id": plugin.manifest.id, "version": plugin.manifest.version.to_string(), "sha256": plugin.sha256,
        "as_expected": exit == Exit::Clean, "cases": results.iter().map(trial::facts).collect::<Vec<_>>(), "notes": notes,
    });
    let shown = Trial { plugin: plugin.manifest.stamp(), cases: results.iter().map(case).collect(), notes };
    Ok(Printed { exit, ..printed(json, move |look| trial_text(&shown, look))? })
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
        missing: if t.outcome.is_ok() { missing(t) } else { vec![] },
        surplus,
        failed: t.outcome.as_ref().err().cloned(),
    }
}

/// The cases as another process finds them.
fn again(folder: &Path) -> Result<Value, anyhow::Error> {
    let out = Command::new(std::env::current_exe()?)
        .args(["plugin", "try", "--once", "--format", "json", "--"])
        .arg(folder)
        .stdin(Stdio::null())
        .output()?;
    // What it says on standard error is why it printed nothing that reads.
    serde_json::from_slice(&out.stdout).map_err(|_| anyhow!("{}", String::from_utf8_lossy(&out.stderr)))
}

/// What was expected and not found: checks, then what was asked of a finding besides.
fn missing(t: &CaseResult) -> Vec<String> {
    let checks = t.expected.difference(&t.found()).cloned().collect::<Vec<_>>();
    checks.into_iter().chain(t.unmet().map(|w| w.words())).collect()
}
