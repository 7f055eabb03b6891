//! Every plugin that may look at a jig: those of the program, of the home and of folders that were named, and the lock
//! beside the jig. Must not judge, nor decide whom to trust.

use crate::finding::PluginRun;
use crate::jig;
use crate::plugin::find::{self, Known, Origin};
use crate::plugin::run::Found;
use crate::plugin::{Folder, Plugin};
use crate::sharing::lock::{Lock, Pin};
use crate::sharing::{Day, Home, Installed, SharingError, Stopped, applicable, installed};
use std::path::{Path, PathBuf};

/// The plugins for a jig of this unit: to be run, or stopped and why. A lock beside the jig holds for all of them, wherever
/// they come from, unless a new one is to be written.
///
/// # Errors
/// The home, the lock or a folder that was named cannot be read.
pub(super) fn plugins(
    jig: &Path,
    unit: &str,
    folders: &[PathBuf],
    relock: bool,
) -> Result<Vec<Known>, Vec<jig::InputError>> {
    let lock = if relock { None } else { Lock::load(jig).map_err(|f| vec![told(&f)])? };
    // A user without a home folder has no plugins there.
    let added = match Home::find() {
        Ok(home) => applicable(&home, unit, Day::today()).map_err(|f| vec![told(&f)])?,
        Err(_) => Default::default(),
    };
    let stopped = added.stopped.into_iter().map(stopped);
    let added = stopped.chain(added.ready.into_iter().map(found)).collect();
    let mut known = find::for_unit(find::all(folders, added)?, unit);
    if let Some(lock) = lock {
        hold(&lock, &mut known, unit);
    }
    Ok(known)
}

/// Every plugin there is, for whatever unit.
///
/// # Errors
/// The home or a folder that was named cannot be read.
pub(super) fn every_plugin(folders: &[PathBuf]) -> Result<Vec<Known>, Vec<jig::InputError>> {
    let added = match Home::find() {
        Ok(home) => installed(&home, Day::today()).map_err(|f| vec![told(&f)])?,
        Err(_) => vec![],
    };
    find::all(folders, added.into_iter().map(found).collect())
}

fn stopped(p: Stopped) -> Found {
    Found::Stopped { id: p.id, version: p.version, sha256: p.sha256, why: p.why }
}

/// A plugin of the home as the host knows it.
fn found(p: Installed) -> Found {
    if p.stopped.is_some() {
        return stopped(p.into());
    }
    let folder = Folder { origin: PathBuf::from(&p.id), files: p.files.unwrap_or_default() };
    match folder.plugin() {
        // What was verified is the archive: its hash is the one to tell.
        Ok(plugin) => Found::Ready(Plugin { sha256: p.sha256, vetted_by: p.vetted_by, ..plugin }),
        Err(faults) => {
            let why = faults.first().map_or_else(String::new, ToString::to_string);
            Found::Stopped { id: p.id, version: p.version, sha256: p.sha256, why }
        }
    }
}

/// Stops what the lock does not let run, and tells what it pins and is not here.
fn hold(lock: &Lock, known: &mut Vec<Known>, unit: &str) {
    let here = known.iter().filter(|k| k.looks_at(unit)).filter_map(|k| match &k.found {
        Found::Ready(p) => Some(pin(&p.manifest.id, &p.manifest.version.to_string(), &p.sha256, &p.vetted_by)),
        Found::Stopped { .. } => None,
    });
    for held in lock.stops(&here.collect::<Vec<_>>()) {
        let same = known.iter().position(|k| k.id() == held.id && k.looks_at(unit));
        let already = known.iter().any(|k| k.id() == held.id && matches!(k.found, Found::Stopped { .. }));
        match same.map(|at| &mut known[at]) {
            Some(k) => {
                let why = match k.origin {
                    Origin::Shipped => format!("{}. It is part of this program, which was another one then", held.why),
                    Origin::Added => held.why.clone(),
                    Origin::Named => format!("{}. It is the one that was named with --plugins", held.why),
                };
                k.found = stopped(Stopped { why, ..held });
            }
            // One that is stopped already says why itself.
            None if already => {}
            None => {
                let other = known.iter().find_map(|k| match &k.found {
                    Found::Ready(p) if p.manifest.id == held.id => Some(p.manifest.units.join(", ")),
                    _ => None,
                });
                let why = other.map_or(held.why.clone(), |units| {
                    format!("it checked this jig (lock file), and what is here of this name is for {units} only")
                });
                let found = stopped(Stopped { why, ..held });
                known.push(Known { found, origin: Origin::Added, instead: String::new(), behind: vec![] });
            }
        }
    }
}

fn pin(id: &str, version: &str, sha256: &str, vetted_by: &[String]) -> Pin {
    Pin { id: id.into(), version: version.into(), sha256: sha256.into(), vetted_by: vetted_by.to_vec() }
}

/// Writes the lock of a jig from the plugins that ran.
///
/// # Errors
/// One of them did not run, or the machine did not do it: the lock is as it was.
pub(super) fn write_lock(jig: &Path, runs: &[PluginRun]) -> Result<(), jig::InputError> {
    if let Some(run) = runs.iter().find(|r| r.outcome == "failed") {
        let message = format!("no lock is written: plugin {} did not run", run.id);
        return Err(told(&SharingError::wrong(jig, message, run.why.clone())));
    }
    let ran = runs.iter().filter(|r| r.outcome == "ran");
    let pins = ran.map(|r| pin(&r.id, &r.version, &r.sha256, &r.vetted_by));
    Lock::new(Day::today(), pins.collect()).save(jig).map_err(|f| told(&f))
}

/// A fault of sharing in the shape of a jig's; its place already holds line and column.
fn told(fault: &SharingError) -> jig::InputError {
    let SharingError { place, message, help, .. } = fault.clone();
    jig::InputError { file: place, line: 0, column: 0, message, help }
}
