//! Every plugin that may look at a jig: those of the program, of a home and of folders that were named, and the lock beside
//! the jig. All of it is decided before the first of them runs. Must not run one.

use super::applicable::applicable;
use super::held::hold;
use super::installed::{Installed, installed, kept};
use super::lock::Lock;
use super::{Day, Home, SharingError};
use crate::finding::PluginRun;
use crate::jig::InputError;
use crate::plugin::find::{self, KnownPlugin, Origin};
use crate::plugin::{Folder, Loaded, Plugin, Stopped};
use std::path::{Path, PathBuf};

/// Where plugins are looked for besides those that ship in the program, which are always there.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sources {
    /// Home whose added plugins are verified and used; none where there is no home.
    pub home: Option<Home>,
    /// Folders of a plugin, or of several. Of plugins with one id these come before those that were added, and those before
    /// the ones that ship.
    pub folders: Vec<PathBuf>,
    /// Path of the jig whose lock holds for all of them, wherever they come from; none where nothing is to be held.
    pub lock_of: Option<PathBuf>,
}

impl Sources {
    /// The plugins for a jig of this unit: to be run, or stopped and why.
    ///
    /// # Errors
    /// The home, the lock or a folder that was named cannot be read.
    pub(crate) fn for_unit(&self, unit: &str, today: Day) -> Result<Vec<KnownPlugin>, Vec<InputError>> {
        let one = |error: SharingError| vec![error.into()];
        let lock = self.lock_of.as_deref().map_or(Ok(None), Lock::load).map_err(one)?;
        let added = match &self.home {
            Some(home) => applicable(home, unit, today).map_err(one)?,
            None => Default::default(),
        };
        let stopped = added.stopped.into_iter().map(Loaded::Stopped);
        let added = stopped.chain(added.ready.into_iter().map(loaded)).collect();
        let mut known = find::for_unit(find::all(&self.folders, added)?, unit);
        if let (Some(lock), Some(home)) = (&lock, &self.home) {
            as_locked(home, lock, &mut known, today).map_err(one)?;
        }
        if let Some(lock) = lock {
            hold(&lock, &mut known, unit);
        }
        Ok(known)
    }

    /// What was to be looked for by plugins of a home that was named and is not there.
    pub(crate) fn not_there(&self) -> Option<String> {
        let missing = self.home.as_ref()?.missing()?;
        Some(format!("what added plugins look for: {missing}"))
    }

    /// Every plugin there is, for whatever unit; no lock holds.
    ///
    /// # Errors
    /// The home or a folder that was named cannot be read.
    pub(crate) fn all(&self, today: Day) -> Result<Vec<KnownPlugin>, Vec<InputError>> {
        let added = match &self.home {
            Some(home) => installed(home, today).map_err(|error| vec![error.into()])?,
            None => vec![],
        };
        find::all(&self.folders, added.into_iter().map(loaded).collect())
    }
}

/// Puts the version that the lock names in the place of the one that was added since, where it is kept and may run.
fn as_locked(home: &Home, lock: &Lock, known: &mut [KnownPlugin], today: Day) -> Result<(), SharingError> {
    for pin in &lock.pins {
        let newer = |k: &&mut KnownPlugin| {
            k.origin == Origin::Added && k.plugin.id() == pin.id && k.plugin.sha256() != pin.sha256
        };
        let Some(at) = known.iter_mut().find(newer) else { continue };
        let Some(kept) = kept(home, &pin.id, &pin.sha256, today)? else { continue };
        if kept.stopped.is_none() && kept.version == pin.version {
            let newer = std::mem::replace(&mut at.plugin, loaded(kept));
            let version = match &newer {
                Loaded::Ready(p) => p.manifest.version.to_string(),
                Loaded::Stopped(s) => s.version.clone(),
            };
            at.replaces = format!("in place of the added {version}, as the lock says (`check --lock` takes the newer)");
            at.shadowed.clear();
        }
    }
    Ok(())
}

/// A plugin of the home as the host knows it.
fn loaded(p: Installed) -> Loaded {
    if p.stopped.is_some() {
        return Loaded::Stopped(p.into());
    }
    let folder = Folder { origin: PathBuf::from(&p.id), files: p.files.unwrap_or_default() };
    match folder.plugin() {
        // What was verified is the archive: its hash is the one to tell.
        Ok(plugin) => Plugin { sha256: p.sha256, vetted_by: p.vetted_by, ..plugin }.into(),
        Err(errors) => {
            let why = errors.first().map_or_else(String::new, ToString::to_string);
            Loaded::Stopped(Stopped { id: p.id, version: p.version, sha256: p.sha256, why })
        }
    }
}

/// Writes the lock of a jig from what its plugins did, and says what that changes of the lock that was there.
///
/// # Errors
/// One of them did not run, or the machine did not do it: the lock is as it was.
pub(crate) fn write_lock(jig: &Path, runs: &[PluginRun], today: Day) -> Result<Vec<String>, SharingError> {
    let new = Lock::of_runs(jig, runs, today)?;
    // One that does not read is written over: that is how it is mended.
    let changes = new.changes_from(Lock::load(jig).ok().flatten().as_ref());
    new.save(jig)?;
    Ok(changes)
}
