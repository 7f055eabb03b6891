//! The plugins of the home that look at a jig, and the lock beside it. Must not judge, nor decide whom to trust.

use crate::judgement::PluginRun;
use crate::plugin::Folder;
use crate::plugin::run::Found;
use crate::sharing::lock::{Lock, Pin};
use crate::sharing::{Day, Fault, Home, gate};
use std::path::{Path, PathBuf};

/// The plugins of the home that are for this unit: to be run, or stopped and why. A lock beside the jig holds unless a new
/// one is to be written.
///
/// # Errors
/// The home or the lock cannot be read.
pub(super) fn plugins(jig: &Path, unit: &str, relock: bool) -> Result<Vec<Found>, Fault> {
    let home = match Home::find() {
        Ok(home) => home,
        // A user without a home folder has no plugins there.
        Err(_) => return Ok(vec![]),
    };
    let lock = if relock { None } else { Lock::load(jig)? };
    let found = gate(&home, unit, lock.as_ref(), &[], Day::today())?;
    let stopped = found.stopped.into_iter();
    let mut out: Vec<Found> =
        stopped.map(|p| Found::Stopped { id: p.id, version: p.version, sha256: p.sha256, why: p.why }).collect();
    out.extend(found.ready.into_iter().map(|p| {
        let folder = Folder { origin: PathBuf::from(&p.id), files: p.files.unwrap_or_default() };
        match folder.plugin() {
            // What was verified is the archive: its hash is the one to tell.
            Ok(mut plugin) => {
                (plugin.sha256, plugin.vetted_by) = (p.sha256, p.vetted_by);
                Found::Ready(plugin)
            }
            Err(faults) => {
                let why = faults.first().map_or_else(String::new, ToString::to_string);
                Found::Stopped { id: p.id, version: p.version, sha256: p.sha256, why }
            }
        }
    }));
    Ok(out)
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
