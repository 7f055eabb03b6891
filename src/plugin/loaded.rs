//! A plugin that was looked for: ready to run, or stopped and why. Runs nothing.

use super::folder::Plugin;

/// A plugin that was found, or why it cannot be used.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Loaded {
    /// It can be run.
    Ready(Box<Plugin>),
    /// It must not be run, and why: a changed byte, a known-bad record, a manifest that cannot be read.
    Stopped(Stopped),
}

/// A plugin that must not run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Stopped {
    /// Its id, or the name of its folder.
    pub id: String,
    /// Its version; empty where it is not known.
    pub version: String,
    /// Hash of its bytes, lower-case hex; empty where it is not known.
    pub sha256: String,
    /// Why, in words.
    pub why: String,
}

impl Loaded {
    /// Its id.
    pub(crate) fn id(&self) -> &str {
        match self {
            Loaded::Ready(p) => &p.manifest.id,
            Loaded::Stopped(s) => &s.id,
        }
    }

    /// Hash of its bytes, lower-case hex; empty where it is not known.
    pub(crate) fn sha256(&self) -> &str {
        match self {
            Loaded::Ready(p) => &p.sha256,
            Loaded::Stopped(s) => &s.sha256,
        }
    }

    /// Whether it would look at a jig of this unit.
    pub(crate) fn looks_at(&self, unit: &str) -> bool {
        matches!(self, Loaded::Ready(p) if p.manifest.units.iter().any(|u| u == unit))
    }
}

impl From<Plugin> for Loaded {
    fn from(plugin: Plugin) -> Loaded {
        Loaded::Ready(Box::new(plugin))
    }
}
