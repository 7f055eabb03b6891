//! The lock file beside a jig (`wand.toml` → `wand.lock`): the exact plugins that checked it. Written on request, read
//! before anything runs. Must not know where the plugins come from: those of the home, of the program and of
//! a folder that was named are pinned alike.

use super::{Day, SharingError};
use crate::finding::PluginRun;
use crate::plugin::Stopped;
use semver::Version;
use serde::{Deserialize, Serialize};
use std::path::{Path, PathBuf};

/// Longest lock that is read.
const LONGEST: u64 = 1 << 20;

/// A plugin as the lock file pins it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(crate) struct Pin {
    /// Id.
    pub id: String,
    /// Version.
    pub version: String,
    /// sha256 of its exact bytes.
    pub sha256: String,
    /// Shops that had vetted them.
    #[serde(default)]
    pub vetted_by: Vec<String>,
}

/// A lock file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(crate) struct Lock {
    format: u32,
    /// Day on which it was written.
    pub date: Day,
    /// The plugins, sorted by id.
    #[serde(default, rename = "plugin")]
    pub pins: Vec<Pin>,
}

/// Where the lock file of a jig lies.
pub(crate) fn place(jig: &Path) -> PathBuf {
    jig.with_extension("lock")
}

impl Lock {
    /// A lock on these plugins.
    pub(crate) fn new(date: Day, mut pins: Vec<Pin>) -> Lock {
        pins.sort_by(|a, b| a.id.cmp(&b.id));
        Lock { format: 1, date, pins }
    }

    /// A lock on the plugins that looked at a jig.
    ///
    /// # Errors
    /// One of them did not run.
    pub(crate) fn of_runs(jig: &Path, runs: &[PluginRun], date: Day) -> Result<Lock, SharingError> {
        if let Some(run) = runs.iter().find(|r| r.outcome == "failed") {
            let message = format!("no lock is written: plugin {} did not run", run.id);
            return Err(SharingError::wrong(jig, message, run.why.clone()));
        }
        let pin = |r: &PluginRun| Pin {
            id: r.id.clone(),
            version: r.version.clone(),
            sha256: r.sha256.clone(),
            vetted_by: r.vetted_by.clone(),
        };
        Ok(Lock::new(date, runs.iter().filter(|r| r.outcome == "ran").map(pin).collect()))
    }

    /// The lock of a jig; None where there is none.
    ///
    /// # Errors
    /// It cannot be read or understood.
    pub(crate) fn load(jig: &Path) -> Result<Option<Lock>, SharingError> {
        let place = place(jig);
        if place == jig {
            return Ok(None);
        }
        match place.symlink_metadata() {
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(None),
            Err(error) => return Err(SharingError::machine(&place, "could not be read", &error)),
            Ok(_) => {}
        }
        Lock::read(&super::disk::read_bounded(&place, LONGEST)?, &place).map(Some)
    }

    /// Reads the bytes of a lock.
    ///
    /// # Errors
    /// They cannot be understood.
    pub(crate) fn read(bytes: &[u8], place: &Path) -> Result<Lock, SharingError> {
        let help = "if nothing is to be pinned any more, remove the file; `check --lock` writes it anew";
        let text = std::str::from_utf8(bytes).map_err(|_| SharingError::wrong(place, "is not UTF-8", help))?;
        let mut lock: Lock = toml::from_str(text).map_err(|e| SharingError::toml(place, text, &e, help))?;
        if lock.format != 1 {
            let message = format!("has format {}, this program knows format 1", lock.format);
            return Err(SharingError::wrong(place, message, help));
        }
        lock.pins.sort_by(|a, b| a.id.cmp(&b.id));
        if let Some(pair) = lock.pins.windows(2).find(|pair| pair[0].id == pair[1].id) {
            return Err(SharingError::wrong(place, format!("pins {} twice", pair[0].id.escape_debug()), help));
        }
        Ok(lock)
    }

    /// What it pins otherwise than another, a line each.
    pub(crate) fn changes_from(&self, old: Option<&Lock>) -> Vec<String> {
        let none = vec![];
        let before = old.map_or(&none, |old| &old.pins);
        let mut changes = vec![];
        for pin in &self.pins {
            match before.iter().find(|p| p.id == pin.id) {
                None => changes.push(format!("pins {} {}", pin.id, pin.version)),
                Some(p) if p.version != pin.version => {
                    changes.push(format!("pins {} {} instead of {}", pin.id, pin.version, p.version));
                }
                Some(p) if p.sha256 != pin.sha256 => {
                    changes.push(format!("pins other bytes of {} {}", pin.id, pin.version));
                }
                Some(p) if p.vetted_by != pin.vetted_by => {
                    let by = if pin.vetted_by.is_empty() { "nobody".into() } else { pin.vetted_by.join(", ") };
                    changes.push(format!("{} {}: vetted by {by}", pin.id, pin.version));
                }
                Some(_) => {}
            }
        }
        let gone = before.iter().filter(|p| self.pins.iter().all(|pin| pin.id != p.id));
        changes.extend(gone.map(|p| format!("pins {} no more (it was {})", p.id, p.version)));
        changes
    }

    /// Its text.
    pub(crate) fn text(&self) -> String {
        // Texts and lists of texts always become TOML.
        let body = toml::to_string(self).unwrap_or_default();
        format!("# The exact plugins that checked the jig of this name. Written by `deadfront check --lock`.\n{body}")
    }

    /// Writes it beside a jig, over the one that is there.
    ///
    /// # Errors
    /// The jig's own name ends in `.lock`, or the machine did not do it.
    pub(crate) fn save(&self, jig: &Path) -> Result<(), SharingError> {
        let place = place(jig);
        if place == jig {
            return Err(SharingError::wrong(jig, "its lock would be the jig itself", "end the jig's name with .toml"));
        }
        super::disk::write_public(&place, self.text().as_bytes())
    }

    /// Why a plugin may not run beside this lock; None when it is the pinned one, or is not pinned at all.
    pub(crate) fn against(&self, id: &str, version: &str, sha256: &str) -> Option<String> {
        let pin = self.pins.iter().find(|p| p.id == id)?;
        if pin.sha256 == sha256 && pin.version == version {
            return None;
        }
        let now = "`check --lock` pins what is here now";
        let parsed = |text: &str| Version::parse(text).ok();
        Some(match (parsed(version), parsed(&pin.version)) {
            (Some(here), Some(pinned)) if here < pinned => {
                format!("{version} is older than {}, which checked this jig (lock file); {now}", pin.version)
            }
            (Some(here), Some(pinned)) if here > pinned => {
                format!("{version} is not {}, which checked this jig (lock file); {now}", pin.version)
            }
            _ => format!("its bytes are not those which checked this jig (lock file, {}); {now}", pin.version),
        })
    }

    /// Of the plugins that would look at the jig, those that may not, and those that are pinned and would not look: the
    /// check is not complete without them.
    pub(crate) fn stops(&self, here: &[Pin]) -> Vec<Stopped> {
        let held = here.iter().filter_map(|p| {
            let why = self.against(&p.id, &p.version, &p.sha256)?;
            Some(Stopped { id: p.id.clone(), version: p.version.clone(), sha256: p.sha256.clone(), why })
        });
        let gone = self.pins.iter().filter(|pin| here.iter().all(|p| p.id != pin.id)).map(|pin| Stopped {
            id: pin.id.clone(),
            version: pin.version.clone(),
            sha256: pin.sha256.clone(),
            why: "it checked this jig (lock file), and is not here any more".into(),
        });
        held.chain(gone).collect()
    }
}
