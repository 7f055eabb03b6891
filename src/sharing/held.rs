//! What a lock does to the plugins there are. Must not read a file.

use super::lock::{Lock, Pin};
use crate::plugin::find::{KnownPlugin, Origin};
use crate::plugin::{Loaded, Stopped};

/// Stops what the lock does not let run, and tells what it pins and is not here.
pub(super) fn hold(lock: &Lock, known: &mut Vec<KnownPlugin>, unit: &str) {
    let here = known.iter().filter(|k| k.plugin.looks_at(unit)).filter_map(|k| match &k.plugin {
        Loaded::Ready(p) => Some(Pin {
            id: p.manifest.id.clone(),
            version: p.manifest.version.to_string(),
            sha256: p.sha256.clone(),
            vetted_by: p.vetted_by.clone(),
        }),
        Loaded::Stopped(_) => None,
    });
    for held in lock.stops(&here.collect::<Vec<_>>()) {
        let same = known.iter().position(|k| k.plugin.id() == held.id && k.plugin.looks_at(unit));
        let already = known.iter().any(|k| k.plugin.id() == held.id && matches!(k.plugin, Loaded::Stopped(_)));
        match same.map(|at| &mut known[at]) {
            Some(k) => {
                let why = match k.origin {
                    Origin::Shipped => format!("{}. It is part of this program, which was another one then", held.why),
                    Origin::Added => held.why.clone(),
                    Origin::Named => format!("{}. It is the one that was named with --plugins", held.why),
                };
                k.plugin = Loaded::Stopped(Stopped { why, ..held });
            }
            // One that is stopped already says why itself.
            None if already => {}
            None => {
                let other = known.iter().find_map(|k| match &k.plugin {
                    Loaded::Ready(p) if p.manifest.id == held.id => Some(p.manifest.units.join(", ")),
                    _ => None,
                });
                let why = other.map_or(held.why.clone(), |units| {
                    format!("it checked this jig (lock file), and what is here of this name is for {units} only")
                });
                let plugin = Loaded::Stopped(Stopped { why, ..held });
                known.push(KnownPlugin { plugin, origin: Origin::Added, replaces: String::new(), shadowed: vec![] });
            }
        }
    }
}
