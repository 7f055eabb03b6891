//! The plugins of the home that look at a jig, and the lock beside it. Must not judge, nor decide whom to trust.

use crate::judgement::PluginRun;
use crate::sharing::lock::{Lock, Pin};
use crate::sharing::{Day, Fault, Home, gate};
use std::path::Path;

/// What became of each plugin of the home that is for this unit. A lock beside the jig holds unless a new one is to be
/// written.
///
/// # Errors
/// The home or the lock cannot be read.
pub(super) fn plugins(jig: &Path, unit: &str, relock: bool) -> Result<Vec<PluginRun>, Fault> {
    let home = match Home::find() {
        Ok(home) => home,
        // A user without a home folder has no plugins there.
        Err(_) => return Ok(vec![]),
    };
    let lock = if relock { None } else { Lock::load(jig)? };
    let found = gate(&home, unit, lock.as_ref(), &[], Day::today())?;
    let mut runs: Vec<PluginRun> =
        found.stopped.into_iter().map(|p| run(p.id, p.version, p.sha256, vec![], p.why)).collect();
    runs.extend(found.ready.into_iter().map(|p| {
        let why = "this program does not run plugins of the home yet".to_string();
        run(p.id, p.version, p.sha256, p.vetted_by, why)
    }));
    runs.sort_by(|a, b| a.id.cmp(&b.id));
    Ok(runs)
}

fn run(id: String, version: String, sha256: String, vetted_by: Vec<String>, why: String) -> PluginRun {
    PluginRun { id, version, sha256, vetted_by, outcome: "failed", why }
}

/// Writes the lock of a jig from the plugins that ran.
///
/// # Errors
/// One of them did not run, or the machine did not do it: the lock is as it was.
pub(super) fn write_lock(jig: &Path, runs: &[PluginRun]) -> Result<(), Fault> {
    if let Some(run) = runs.iter().find(|r| r.outcome == "failed") {
        let message = format!("no lock is written: plugin {} did not run", run.id);
        return Err(Fault::wrong(jig, message, run.why.clone()));
    }
    let pins = runs.iter().filter(|r| r.outcome == "ran").map(|r| Pin {
        id: r.id.clone(),
        version: r.version.clone(),
        sha256: r.sha256.clone(),
        vetted_by: r.vetted_by.clone(),
    });
    Lock::new(Day::today(), pins.collect()).save(jig)
}
