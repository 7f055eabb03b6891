//! What of a home may run on one jig: the installed plugins for its unit, verified. All of it is decided before the first
//! of them runs. Must not run one.

use super::installed::{Installed, installed};
use super::{Day, Home, SharingError};
use crate::plugin::Stopped;

/// The plugins for one jig.
#[derive(Debug, Default)]
pub(crate) struct Applicable {
    /// Those that may run.
    pub ready: Vec<Installed>,
    /// Those that must not, or are missing: the check is not complete without them.
    pub stopped: Vec<Stopped>,
}

impl From<Installed> for Stopped {
    fn from(plugin: Installed) -> Stopped {
        let why = plugin.stopped.unwrap_or_default();
        Stopped { id: plugin.id, version: plugin.version, sha256: plugin.sha256, why }
    }
}

/// Decides which plugins of a home may look at a jig of this unit.
///
/// # Errors
/// The home is there and cannot be listed.
pub(crate) fn applicable(home: &Home, unit: &str, today: Day) -> Result<Applicable, SharingError> {
    let mut found = Applicable::default();
    for plugin in installed(home, today)? {
        // One whose bytes are not those that were added may be for any unit.
        if plugin.units.as_ref().is_some_and(|units| !units.iter().any(|u| u == unit)) {
            continue;
        }
        if plugin.stopped.is_none() { found.ready.push(plugin) } else { found.stopped.push(plugin.into()) }
    }
    Ok(found)
}
