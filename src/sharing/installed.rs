//! What is installed, verified anew: the archive's bytes, its signature, the records about it, the policy of today.
//! A plugin that fails it is stopped, with the reason, and nobody gets its files. Must not know what runs them.

use super::archive::{self, Files};
use super::evaluate::{Said, SignedArchive, evaluate, verify};
use super::installation::Installation;
use super::lift::Lifted;
use super::policy::Policy;
use super::rules::Rules;
use super::signed::{Signed, Signer};
use super::stop;
use super::stored::records;
use super::{Day, Home, SharingError, sha256};
use crate::plugin::Identity;

/// One installed plugin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Installed {
    /// Id.
    pub id: String,
    /// Version that was installed.
    pub version: String,
    /// sha256 of the archive that was installed, lower-case hex.
    pub sha256: String,
    /// Kinds of unit it is for; None where its bytes are not those that were installed, so that nothing they say
    /// counts.
    pub units: Option<Vec<String>>,
    /// Its files, verified; None when it is stopped.
    pub files: Option<Files>,
    /// Shop that signed it; empty when that could not be verified.
    pub signed_by: String,
    /// Shops whose vets count today.
    pub vetted_by: Vec<String>,
    /// Why it must not run; None when it may.
    pub stopped: Option<String>,
}

/// All plugins in a home, sorted by id, each verified as of `today`.
///
/// # Errors
/// The home is there and cannot be listed, or everybody may write it.
pub(crate) fn installed(home: &Home, today: Day) -> Result<Vec<Installed>, SharingError> {
    let _held = home.reading()?;
    let names = home.names(&home.plugins())?;
    if names.is_empty() {
        return Ok(vec![]);
    }
    // A policy or list that cannot be read lets nothing run.
    let rules = Rules::load(home, today);
    let ids: Vec<&str> = names.iter().filter_map(|name| name.strip_suffix(".toml")).collect();
    let one = |id: &str| match Installation::load(home, id) {
        Ok(None) => None,
        Ok(Some(state)) if !state.installed => None,
        Ok(Some(state)) => Some(match &rules {
            Ok(rules) => verified(home, &state, rules),
            Err(error) => {
                let units = units(home, &state);
                Installed { units, ..stopped(id, state.version.to_string(), state.sha256, error.to_string()) }
            }
        }),
        Err(error) => Some(stopped(id, String::new(), String::new(), error.to_string())),
    };
    // Verifying takes most of a millisecond each, and every check waits for all of them.
    let workers = std::thread::available_parallelism().map_or(1, usize::from).min(ids.len()).max(1);
    let found = std::thread::scope(|scope| {
        let shares = ids.chunks(ids.len().div_ceil(workers).max(1));
        let running: Vec<_> =
            shares.map(|share| (share, scope.spawn(|| share.iter().map(|id| one(id)).collect()))).collect();
        let joined = running.into_iter().map(|(share, worker)| {
            let lost = || share.iter().map(|id| Some(stopped(id, String::new(), String::new(), LOST.into()))).collect();
            worker.join().unwrap_or_else(|_| lost())
        });
        joined.collect::<Vec<Vec<Option<Installed>>>>()
    });
    Ok(found.into_iter().flatten().flatten().collect())
}

/// An earlier version of a plugin that is kept, verified as of `today`; None where none has these bytes.
///
/// # Errors
/// As [`installed`].
pub(super) fn kept(home: &Home, id: &str, sha256: &str, today: Day) -> Result<Option<Installed>, SharingError> {
    let _held = home.reading()?;
    let Some(state) = Installation::load(home, id).ok().flatten().filter(|s| s.installed) else { return Ok(None) };
    let Some(kept) = state.kept.iter().find(|k| k.sha256 == sha256) else { return Ok(None) };
    let (version, sha256) = (kept.version.clone(), kept.sha256.clone());
    let rules = Rules::load(home, today)?;
    Ok(Some(verified(home, &Installation { version, sha256, ..state }, &rules)))
}

/// The earlier versions of a plugin that are kept, newest first, with their sha256.
///
/// # Errors
/// As [`installed`].
pub(crate) fn kept_versions(home: &Home, id: &str) -> Result<Vec<(String, String)>, SharingError> {
    let _held = home.reading()?;
    if !crate::plugin::identity::is_kebab(id) {
        return Ok(vec![]);
    }
    let state = Installation::load(home, id)?.filter(|s| s.installed);
    Ok(state.map_or_else(Vec::new, |s| s.kept.into_iter().map(|k| (k.version.to_string(), k.sha256)).collect()))
}

/// Statement of plugins whose verification did not come back: they do not run.
const LOST: &str = "it could not be verified: the program failed while it tried";

fn stopped(id: &str, version: String, sha256: String, why: String) -> Installed {
    Installed {
        id: id.into(),
        version,
        sha256,
        units: None,
        files: None,
        signed_by: String::new(),
        vetted_by: vec![],
        stopped: Some(why),
    }
}

/// What an archive is for, where no policy can be read: its bytes are still those that were added, or nothing is known.
fn units(home: &Home, state: &Installation) -> Option<Vec<String>> {
    let policy = Policy::read(super::policy::DEFAULT, &home.policy()).ok()?;
    let signed = Signed::read(&home.archive(&state.sha256), policy.archive.archive_bytes()).ok()?;
    Some(package(&signed, state, &policy).ok()?.identity.units)
}

fn verified(home: &Home, state: &Installation, rules: &Rules) -> Installed {
    let policy = &rules.policy;
    let (version, sha256) = (state.version.to_string(), state.sha256.clone());
    let mut plugin = stopped(&state.id, version, sha256, String::new());
    let place = home.archive(&state.sha256);
    let read = Signed::read(&place, policy.archive.archive_bytes())
        .and_then(|signed| Ok((package(&signed, state, policy)?, signed)));
    let (package, signed) = match read {
        Ok(read) => read,
        Err(error) => return Installed { stopped: Some(error.to_string()), ..plugin },
    };
    plugin.units = Some(package.identity.units.clone());
    match trust(home, &package, &signed, rules) {
        Err(why) => plugin.stopped = Some(why),
        Ok((signed_by, vetted_by)) => {
            (plugin.signed_by, plugin.vetted_by) = (signed_by, vetted_by);
            // What a check needs of it; cases and texts of all plugins together would be held for nothing.
            let mut files = package.files;
            files.retain(|name, _| name == "plugin.toml" || name == "check.lua");
            plugin.files = Some(files);
            plugin.stopped = None;
        }
    }
    plugin
}

pub(super) fn package(
    signed: &Signed,
    state: &Installation,
    policy: &Policy,
) -> Result<archive::Package, SharingError> {
    // A changed byte is said as such, whatever else it makes of the archive.
    let changed = || {
        let message = format!("the bytes of {} {} are not those that were added", state.id, state.version);
        SharingError::wrong(&signed.place, message, "add it again from the shop's own archive")
    };
    let package = match archive::read(&signed.bytes, &signed.place, &policy.archive) {
        Ok(package) if package.sha256 != state.sha256 => return Err(changed()),
        Err(_) if sha256(&signed.bytes) != state.sha256 => return Err(changed()),
        read => read?,
    };
    let Identity { id, version, .. } = &package.identity;
    if *id != state.id || *version != state.version {
        let message = format!("is {id} {version}, but {} {} was added", state.id, state.version);
        return Err(SharingError::wrong(&signed.place, message, "add the plugin again"));
    }
    Ok(package)
}

/// The shop that signed it and the shops whose vets count; or why it must not run.
fn trust(
    home: &Home,
    package: &archive::Package,
    signed: &Signed,
    rules: &Rules,
) -> Result<(String, Vec<String>), String> {
    let (signer, void) = match signed.signer(&rules.shops).map_err(|error| error.to_string())? {
        Signer::Listed(shop, key) => (shop, rules.shops.void(key, &package.sha256)),
        Signer::Unlisted(number) => {
            return Err(format!("it was signed with key {number}, which is not in shops.toml"));
        }
    };
    let kept = records(home, &package.sha256).map_err(|error| error.to_string())?;
    let verified = verify(kept, &rules.shops);
    let archive = SignedArchive { identity: &package.identity, sha256: &package.sha256, signer, void };
    let stops = stop::kept(home, &package.sha256).and_then(|stops| Ok((stops, Lifted::load(home)?)));
    let (stops, lifted) = stops.map_err(|error| error.to_string())?;
    let evaluation = evaluate(&archive, Said { records: &verified.records, stops: &stops, lifted: &lifted }, rules);
    // What is known to be bad is said first: it is the reason that matters most.
    let mut why = evaluation.bad;
    why.extend(verified.errors.iter().map(SharingError::to_string));
    why.extend(evaluation.missing);
    if why.is_empty() { Ok((signer.name.clone(), evaluation.vetted_by)) } else { Err(why.join("; ")) }
}
