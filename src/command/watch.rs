//! `deadfront check --watch`: the same check again each time a jig is saved. Must not know what is checked.

use super::errors::Errors;
use crate::jig::InputError;
use notify::{EventKind, RecursiveMode, Watcher as _};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

/// A save is several events: what follows within this belongs to it.
const ONE_SAVE: Duration = Duration::from_millis(80);

/// Waits for saves of some files.
pub(super) struct Saves {
    events: Receiver<notify::Result<notify::Event>>,
    files: BTreeSet<PathBuf>,
    // Dropped, it tells nothing more.
    _watcher: notify::RecommendedWatcher,
}

impl Saves {
    /// Begins to look. The folders of the files are watched: editors put a new file in the place of the old one.
    ///
    /// # Errors
    /// The machine does not watch one of the folders.
    pub(super) fn of(files: &[PathBuf]) -> Result<Saves, Errors> {
        let (tell, events) = channel();
        let cannot = |e: notify::Error| {
            let why = format!("cannot be watched: {e}");
            InputError::of_file("--watch", why, "check it without --watch")
        };
        let mut watcher = notify::recommended_watcher(tell).map_err(cannot)?;
        let absolute: BTreeSet<PathBuf> = files.iter().filter_map(|f| std::path::absolute(f).ok()).collect();
        let folders: BTreeSet<&Path> = absolute.iter().filter_map(|f| f.parent()).collect();
        for folder in folders {
            watcher.watch(folder, RecursiveMode::NonRecursive).map_err(cannot)?;
        }
        Ok(Saves { events, files: absolute, _watcher: watcher })
    }

    /// Waits for the next save of one of the files. False when nothing more will come.
    pub(super) fn next(&self) -> bool {
        loop {
            let Ok(event) = self.events.recv() else { return false };
            if event.is_ok_and(|e| self.is_save(&e)) {
                while self.events.recv_timeout(ONE_SAVE).is_ok() {}
                return true;
            }
        }
    }

    fn is_save(&self, event: &notify::Event) -> bool {
        // Reading is no save; what is done to names is.
        let written = matches!(event.kind, EventKind::Create(_) | EventKind::Modify(_));
        written && event.paths.iter().any(|p| self.files.contains(p))
    }
}
