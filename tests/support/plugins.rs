//! Plugins made of a text, run alone on a jig.
#![allow(dead_code, clippy::unwrap_used)]

use crate::finding::Judgement;
use crate::jig::Jig;
use crate::plugin::vm::Bounds;
use crate::plugin::what_if::Subject;
use crate::plugin::worker::{self, RunResult};
use crate::plugin::{Manifest, Plugin};
use crate::survey::{Options, survey};
use crate::{checks, jig};
use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

/// A day on which the acceptances of the test's jigs hold.
pub const TODAY: &str = "2026-01-01";

/// A jig with what the core says of it.
pub fn judged(jig: Jig) -> (Arc<Subject>, Judgement) {
    let survey = survey(&jig, &Options::default());
    let judgement = checks::judge(&jig, &survey, TODAY);
    (Arc::new(Subject::new(jig, survey, &judgement)), judgement)
}

/// The jig in a file.
pub fn subject(path: &Path) -> Arc<Subject> {
    judged(jig::read(path).unwrap_or_else(|errors| panic!("{}", errors[0]))).0
}

/// A plugin of a manifest and a source.
pub fn plugin(manifest: &str, source: &str) -> Plugin {
    let manifest = Manifest::parse("plugin.toml", manifest.as_bytes()).unwrap();
    Plugin { manifest, source: source.into(), sha256: "0".repeat(64), vetted_by: vec![] }
}

/// Runs a plugin whose settings are not set.
pub fn run(plugin: &Plugin, subject: &Arc<Subject>, limits: Bounds) -> RunResult {
    worker::one(plugin, BTreeMap::new(), subject, limits)
}
