//! What may run on one jig: the installed plugins for its unit, verified, held against the lock file beside it. All of
//! it is decided before the first of them runs. Must not run one.

use super::lock::{Lock, Pin};
use super::{Day, Fault, Home, Installed, installed};

/// The plugins for one jig.
#[derive(Debug, Default)]
pub struct Gate {
    /// Those that may run.
    pub ready: Vec<Installed>,
    /// Those that must not, or are missing: the check is not complete without them.
    pub stopped: Vec<Stopped>,
}

/// A plugin that must not run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stopped {
    /// Id.
    pub id: String,
    /// Version; empty when not known.
    pub version: String,
    /// sha256; empty when not known.
    pub sha256: String,
    /// Why.
    pub why: String,
}

impl From<Installed> for Stopped {
    fn from(plugin: Installed) -> Stopped {
        let why = plugin.stopped.unwrap_or_default();
        Stopped { id: plugin.id, version: plugin.version, sha256: plugin.sha256, why }
    }
}

/// Decides which plugins of a home may run on a jig. `lock` is the lock beside the jig, None where there is none or a
/// new one is being written; `shipped` are the plugins that are part of the program and fit the unit.
///
/// # Errors
/// The home is there and cannot be listed.
pub fn gate(home: &Home, unit: &str, lock: Option<&Lock>, shipped: &[Pin], today: Day) -> Result<Gate, Fault> {
    let mut gate = Gate::default();
    for mut plugin in installed(home, today)? {
        // One whose bytes are not to be believed may be for any unit.
        if plugin.units.as_ref().is_some_and(|units| !units.iter().any(|u| u == unit)) {
            continue;
        }
        if plugin.stopped.is_none() {
            plugin.stopped = lock.and_then(|l| l.against(&plugin.id, &plugin.version, &plugin.sha256));
        }
        if plugin.stopped.is_none() { gate.ready.push(plugin) } else { gate.stopped.push(plugin.into()) }
    }
    for Pin { id, version, sha256, .. } in lock.map_or(&[][..], |l| &l.pins) {
        let here = gate.ready.iter().any(|p| p.id == *id) || gate.stopped.iter().any(|p| p.id == *id);
        let ships = shipped.iter().find(|p| p.id == *id);
        let why = match ships {
            Some(pin) => lock.and_then(|l| l.against(id, &pin.version, &pin.sha256)),
            None if here => None,
            None => Some("it checked this jig (lock file), and is not here any more".to_string()),
        };
        if let Some(why) = why {
            let (id, version, sha256) = (id.clone(), version.clone(), sha256.clone());
            gate.stopped.push(Stopped { id, version, sha256, why });
        }
    }
    Ok(gate)
}
