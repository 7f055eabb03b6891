//! What is installed, verified anew: the archive's bytes, its signature, the records about it, the policy of today.
//! A plugin that does not stand up to it is stopped, with the reason; its files are then not handed out. Must not
//! know what runs them.

use super::archive::{self, Files};
use super::parcel::read_signed;
use super::policy::Policy;
use super::shops::Shops;
use super::weigh::{Signed, Subject, Whose, hear, weigh};
use super::{Day, Home, SharingError, sha256, vet};
use crate::plugin::Identity;
use semver::Version;
use serde::{Deserialize, Serialize};
use std::path::Path;

/// One installed plugin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Installed {
    /// Id.
    pub id: String,
    /// Version that was installed.
    pub version: String,
    /// sha256 of the archive that was installed, lower-case hex.
    pub sha256: String,
    /// Kinds of unit it is for; None where its bytes are not those that were installed, so that nothing they say can
    /// be believed.
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

/// What `plugins/ID.toml` holds. Writing it is what installs a plugin.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(super) struct State {
    pub(super) format: u32,
    pub(super) id: String,
    /// Whether it is installed; after `remove` only the memory of its version is left.
    pub(super) installed: bool,
    /// Highest version that was ever installed here: an older one does not come in again.
    pub(super) version: Version,
    /// sha256 of its archive.
    pub(super) sha256: String,
}

impl State {
    pub(super) fn load(home: &Home, id: &str) -> Result<Option<State>, SharingError> {
        let place = home.plugin(id);
        let Some(text) = home.read_text(&place)? else { return Ok(None) };
        let help = format!("`deadfront plugin remove --forget {id}`, then add the plugin again");
        let state: State = toml::from_str(&text).map_err(|e| SharingError::toml(&place, &text, &e, help.clone()))?;
        let hex = state.sha256.len() == 64 && state.sha256.bytes().all(|b| b.is_ascii_hexdigit());
        if state.format != 1 || state.id != id || !hex {
            return Err(SharingError::wrong(&place, "is not what this program wrote", help));
        }
        Ok(Some(state))
    }

    pub(super) fn text(&self) -> String {
        // Texts and numbers always become TOML.
        let body = toml::to_string(self).unwrap_or_default();
        format!("# Written by `deadfront plugin add` and `remove`.\n{body}")
    }
}

/// All plugins in a home, sorted by id, each verified as of `today`.
///
/// # Errors
/// The home is there and cannot be listed.
pub fn installed(home: &Home, today: Day) -> Result<Vec<Installed>, SharingError> {
    let names = home.names(&home.plugins())?;
    if names.is_empty() {
        return Ok(vec![]);
    }
    // A policy or list that cannot be read lets nothing run.
    let rules = Policy::load(home).and_then(|policy| Ok((policy, Shops::load(home)?)));
    let ids: Vec<&str> = names.iter().filter_map(|name| name.strip_suffix(".toml")).collect();
    let one = |id: &str| match State::load(home, id) {
        Ok(None) => None,
        Ok(Some(state)) if !state.installed => None,
        Ok(Some(state)) => Some(match &rules {
            Ok((policy, shops)) => verify(home, &state, policy, shops, today),
            Err(fault) => {
                let units = units(home, &state);
                Installed { units, ..stopped(id, state.version.to_string(), state.sha256, fault.to_string()) }
            }
        }),
        Err(fault) => Some(stopped(id, String::new(), String::new(), fault.to_string())),
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

/// Said of plugins whose verification did not come back: they do not run.
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
fn units(home: &Home, state: &State) -> Option<Vec<String>> {
    let policy = Policy::read(super::policy::DEFAULT, &home.policy()).ok()?;
    let signed = read_signed(&home.archive(&state.sha256), policy.archive.archive_bytes()).ok()?;
    Some(package(&signed, state, &policy).ok()?.identity.units)
}

fn verify(home: &Home, state: &State, policy: &Policy, shops: &Shops, today: Day) -> Installed {
    let (version, sha256) = (state.version.to_string(), state.sha256.clone());
    let mut plugin = stopped(&state.id, version, sha256, String::new());
    let place = home.archive(&state.sha256);
    let read = read_signed(&place, policy.archive.archive_bytes())
        .and_then(|signed| Ok((package(&signed, state, policy)?, signed)));
    let (package, signed) = match read {
        Ok(read) => read,
        Err(fault) => return Installed { stopped: Some(fault.to_string()), ..plugin },
    };
    plugin.units = Some(package.identity.units.clone());
    match trust(home, &package.identity, &package.sha256, &signed, policy, shops, today) {
        Err(why) => plugin.stopped = Some(why),
        Ok((signed_by, vetted_by)) => {
            (plugin.signed_by, plugin.vetted_by) = (signed_by, vetted_by);
            plugin.files = Some(package.files);
            plugin.stopped = None;
        }
    }
    plugin
}

fn package(signed: &Signed, state: &State, policy: &Policy) -> Result<archive::Package, SharingError> {
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
    identity: &Identity,
    sha256: &str,
    signed: &Signed,
    policy: &Policy,
    shops: &Shops,
    today: Day,
) -> Result<(String, Vec<String>), String> {
    let signer = match signed.whose(shops).map_err(|fault| fault.to_string())? {
        Whose::Of(shop) => shop,
        Whose::Stranger(number) => return Err(format!("it was signed with key {number}, which is not in shops.toml")),
    };
    let heard = hear(records(home, sha256).map_err(|fault| fault.to_string())?, shops);
    let weighed = weigh(&Subject { identity, sha256, signer }, &heard.voices, policy, today);
    // What is known to be bad is said first: it is the reason that matters most.
    let mut why = weighed.bad;
    why.extend(heard.faults.iter().map(SharingError::to_string));
    why.extend(weighed.missing);
    if why.is_empty() { Ok((signer.name.clone(), weighed.vetted_by)) } else { Err(why.join("; ")) }
}

/// The records kept about these bytes.
pub(super) fn records(home: &Home, sha256: &str) -> Result<Vec<Signed>, SharingError> {
    let folder = home.vets_of(sha256);
    let names = home.names(&folder)?;
    let records = names.iter().filter(|name| Path::new(name).extension().is_some_and(|e| e == "vet"));
    records.map(|name| read_signed(&folder.join(name), vet::LONGEST)).collect()
}
