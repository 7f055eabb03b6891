//! Which locked jigs rest on bytes of a plugin that are stopped, superseded or gone. Must not run a plugin.

use super::lift::Lifted;
use super::lock::{Lock, Pin};
use super::stop;
use super::{Day, Home, SharingError, Sources, lift};
use crate::plugin::Loaded;
use std::path::{Path, PathBuf};

/// What became of a plugin that checked a jig.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum State {
    /// Its bytes are stopped, and why.
    Stopped(String),
    /// A newer version is here.
    Superseded(String),
    /// It is not here any more.
    Gone,
}

impl State {
    /// In one word.
    pub(crate) fn word(&self) -> &'static str {
        match self {
            State::Stopped(_) => "stopped",
            State::Superseded(_) => "superseded",
            State::Gone => "gone",
        }
    }

    /// In words.
    pub(crate) fn why(&self) -> String {
        match self {
            State::Stopped(why) => why.clone(),
            State::Superseded(version) => format!("{version} is here"),
            State::Gone => "it is not here any more".into(),
        }
    }
}

/// A locked jig that is affected, by one plugin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Affected {
    /// The jig's lock.
    pub jig: String,
    /// Id of the plugin.
    pub id: String,
    /// Version that checked it.
    pub version: String,
    /// Its bytes.
    pub sha256: String,
    /// What became of them.
    pub state: State,
}

/// What was found.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct AffectedJigs {
    /// How many locks were read.
    pub locks: usize,
    /// Those that are affected, what is stopped first.
    pub jigs: Vec<Affected>,
}

/// How deep folders are looked into.
const DEEPEST: usize = 8;

/// Looks through the locks of folders and jigs.
///
/// # Errors
/// A lock, a folder or the home cannot be read.
pub(crate) fn affected(
    home: Option<&Home>,
    paths: &[PathBuf],
    today: Day,
) -> Result<AffectedJigs, Vec<crate::jig::InputError>> {
    let one = |error: SharingError| vec![error.into()];
    let mut locks = vec![];
    for path in paths {
        if path.is_dir() {
            gather(path, 0, &mut locks).map_err(one)?;
        } else {
            locks.push(path.clone());
        }
    }
    locks.sort();
    locks.dedup();
    let known = Sources { home: home.cloned(), folders: vec![], lock_of: None }.all(today)?;
    let stops = match home {
        Some(home) => stopped(home).map_err(one)?,
        None => vec![],
    };
    let mut found = AffectedJigs::default();
    for jig in locks {
        let Some(lock) = Lock::load(&jig).map_err(one)? else { continue };
        found.locks += 1;
        for pin in &lock.pins {
            let here = known.iter().find(|k| k.plugin.id() == pin.id).map(|k| &k.plugin);
            if let Some(state) = state(pin, here, &stops) {
                let Pin { id, version, sha256, .. } = pin.clone();
                found.jigs.push(Affected { jig: jig.display().to_string(), id, version, sha256, state });
            }
        }
    }
    let rank = |a: &Affected| match a.state {
        State::Stopped(_) => 0,
        State::Gone => 1,
        State::Superseded(_) => 2,
    };
    found.jigs.sort_by(|a, b| (rank(a), &a.jig, &a.id).cmp(&(rank(b), &b.jig, &b.id)));
    Ok(found)
}

fn state(pin: &Pin, here: Option<&Loaded>, stops: &[(String, String)]) -> Option<State> {
    if let Some((_, why)) = stops.iter().find(|(sha256, _)| *sha256 == pin.sha256) {
        return Some(State::Stopped(why.clone()));
    }
    match here {
        None => Some(State::Gone),
        Some(Loaded::Stopped(s)) if s.sha256 == pin.sha256 => Some(State::Stopped(s.why.clone())),
        Some(Loaded::Stopped(s)) => Some(State::Superseded(format!("{}, which is stopped,", s.version))),
        Some(Loaded::Ready(p)) if p.sha256 == pin.sha256 => None,
        Some(Loaded::Ready(p)) => Some(State::Superseded(p.manifest.version.to_string())),
    }
}

/// What holds as stopped in a home: sha256 and why.
fn stopped(home: &Home) -> Result<Vec<(String, String)>, SharingError> {
    let withdrawn: Vec<String> =
        lift::stops(home)?.into_iter().filter(|l| l.withdrawn.is_some()).map(|l| l.stop.record).collect();
    let _held = home.reading()?;
    let lifted = Lifted::load(home)?;
    let all = stop::all(home)?.into_iter().filter(|s| !lifted.holds(s) && !withdrawn.contains(&s.record));
    Ok(all.map(|s| (s.sha256.clone(), s.words())).collect())
}

/// The jigs of a folder that have a lock.
fn gather(folder: &Path, deep: usize, locks: &mut Vec<PathBuf>) -> Result<(), SharingError> {
    let failed = |e: std::io::Error| SharingError::machine(folder, "the folder could not be read", &e);
    for entry in std::fs::read_dir(folder).map_err(failed)? {
        let entry = entry.map_err(failed)?;
        let (path, kind) = (entry.path(), entry.file_type().map_err(failed)?);
        let hidden = entry.file_name().to_string_lossy().starts_with('.');
        if kind.is_dir() && !hidden && deep < DEEPEST {
            gather(&path, deep + 1, locks)?;
        } else if path.extension().is_some_and(|e| e == "lock") && path.with_extension("toml").is_file() {
            // Other programs lock as well: theirs is not of this form, and has no jig that says so.
            let jig = path.with_extension("toml");
            let ours = std::fs::read_to_string(&jig).is_ok_and(|text| text.lines().any(|l| l.trim() == "[jig]"));
            if ours {
                locks.push(jig);
            }
        }
    }
    Ok(())
}
