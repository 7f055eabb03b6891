//! `add` and `remove`: everything is decided in memory before the first byte is written; then archive and records are
//! laid beside what is there, and one file, renamed into its place, makes them the installed ones. A run that is
//! killed leaves the old or the new. Must not know what a plugin does.

use super::archive::{self, Package};
use super::disk::write_private;
use super::installed::{State, records};
use super::laid::{Laid, keep, sweep};
use super::policy::Policy;
use super::shops::{For, Shops};
use super::vet::Opinion;
use super::weigh::{Heard, Signed, Subject, Voice, Whose, hear, weigh};
use super::{Day, Home, SharingError, parcel};
use crate::plugin::identity::{Identity, is_kebab};
use crate::plugin::manifest::API;
use std::path::{Path, PathBuf};

/// What `add` did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Added {
    /// What became of the plugins.
    pub plugins: Vec<Outcome>,
    /// Records about other bytes that were kept: "known bad" and withdrawn ones.
    pub warnings: Vec<String>,
    /// What is worth saying besides.
    pub remarks: Vec<String>,
}

/// One plugin that was added.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Outcome {
    /// Id.
    pub id: String,
    /// Version that is installed now.
    pub version: String,
    /// sha256 of its archive.
    pub sha256: String,
    /// Version that was installed before; the same one when only records came in.
    pub before: Option<String>,
    /// Shop that signed it.
    pub signed_by: String,
    /// Shops whose vets count.
    pub vetted_by: Vec<String>,
}

/// What `remove` did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Removed {
    /// Version that was installed.
    pub version: String,
    /// Whether an older version could come in again.
    pub forgotten: bool,
}

/// A plugin that may come in.
struct Accepted {
    package: Package,
    signed: Signed,
    voices: Vec<Voice>,
    outcome: Outcome,
}

/// Adds what lies at `paths`: archives with their signatures and records, or records alone. All or nothing; only a
/// "known bad" or withdrawn record of a trusted shop is kept even when an archive beside it is refused.
///
/// # Errors
/// Everything that is missing or wrong. Nothing was installed then.
pub fn add(home: &Home, paths: &[PathBuf], today: Day) -> Result<Added, Vec<SharingError>> {
    let one = |fault| vec![fault];
    let policy = Policy::load(home).map_err(one)?;
    let shops = Shops::load(home).map_err(one)?;
    let parcel = parcel::open(paths, &policy.archive)?;
    let Heard { voices, mut faults, mut remarks } = hear(parcel.records, &shops);
    let (mut accepted, mut packages) = (vec![], vec![]);
    for signed in parcel.archives {
        match read(&signed, &policy) {
            Ok(package) => packages.push((package, signed)),
            Err(fault) => faults.push(fault),
        }
    }
    // Of several versions in one parcel the newest is meant.
    packages
        .sort_by(|(a, _), (b, _)| (&a.identity.id, &b.identity.version).cmp(&(&b.identity.id, &a.identity.version)));
    packages.dedup_by(|(later, _), (first, _)| {
        let older = later.identity.id == first.identity.id;
        if older {
            remarks.push(format!("{} is older than {}, left out", later.identity.stem(), first.identity.stem()));
        }
        older
    });
    let mut about_other = voices;
    for (package, signed) in packages {
        let own;
        (own, about_other) = about_other.into_iter().partition(|v| v.record.sha256 == package.sha256);
        match accept(home, package, signed, own, &policy, &shops, today) {
            Ok(plugin) => accepted.push(plugin),
            Err((mut missing, voices)) => {
                faults.append(&mut missing);
                about_other.extend(voices);
            }
        }
    }
    let mut warnings = vec![];
    for voice in about_other {
        let record = &voice.record;
        let known = home.archive(&record.sha256).exists();
        let what = format!("{} {}: {}, says {}", record.plugin, record.version, record.result.word(), record.shop);
        if record.result == Opinion::KnownBad && !voice.shop.covers(&record.plugin, For::Warn) {
            remarks.push(format!("{what}; that shop is not trusted to warn, so it stops nothing"));
        } else if record.result != Opinion::Good || known {
            keep(home, &voice.signed, &record.sha256).map_err(one)?;
            warnings.push(what);
        } else if faults.is_empty() {
            remarks.push(format!("{what}; it is about other bytes (sha256 {}…)", &record.sha256[..12]));
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut plugins = vec![];
    for plugin in accepted {
        install(home, &plugin).map_err(one)?;
        plugins.push(plugin.outcome);
    }
    sweep(home);
    Ok(Added { plugins, warnings, remarks })
}

/// Reads an archive; its name has to be that of what is in it.
fn read(signed: &Signed, policy: &Policy) -> Result<Package, SharingError> {
    let package = archive::read(&signed.bytes, &signed.place, &policy.archive)?;
    let name = format!("{}{}", package.identity.stem(), archive::ENDING);
    if signed.place.file_name().is_none_or(|n| n != name.as_str()) {
        let message = format!("was renamed: in it is {}", package.identity.stem());
        return Err(SharingError::wrong(&signed.place, message, format!("its name has to be {name}")));
    }
    if package.identity.api > API {
        let message = format!("asks for plugin interface {}, this program has {API}", package.identity.api);
        return Err(SharingError::wrong(&signed.place, message, "a newer deadfront may have it"));
    }
    Ok(package)
}

/// Decides about one archive; hands the records back when it is refused.
fn accept(
    home: &Home,
    package: Package,
    signed: Signed,
    mut voices: Vec<Voice>,
    policy: &Policy,
    shops: &Shops,
    today: Day,
) -> Result<Accepted, (Vec<SharingError>, Vec<Voice>)> {
    let place = &signed.place;
    let mut faults = vec![];
    let Identity { id, version, .. } = &package.identity;
    for voice in voices.iter().filter(|v| !v.record.is_about(&package.identity, &package.sha256)) {
        let message = format!("calls these bytes {} {}", voice.record.plugin, voice.record.version);
        faults.push(SharingError::wrong(&voice.signed.place, message, format!("they are {id} {version}")));
    }
    if let Err(unusable) = archive::usable(&package.files, place) {
        faults.extend(unusable);
    }
    let before = match State::load(home, id) {
        Ok(state) => state,
        Err(fault) => return Err((vec![fault], voices)),
    };
    if let Some(fault) = before.as_ref().and_then(|state| replay(state, &package, place)) {
        faults.push(fault);
    }
    // What is kept here about these bytes is part of what is weighed: a "known bad" is not got round by leaving it out.
    let given = voices.len();
    match records(home, &package.sha256) {
        Ok(kept) => {
            let mut heard = hear(kept, shops);
            voices.append(&mut heard.voices);
            faults.append(&mut heard.faults);
        }
        Err(fault) => faults.push(fault),
    }
    let mut outcome = Outcome {
        id: id.clone(),
        version: version.to_string(),
        sha256: package.sha256.clone(),
        before: before.filter(|s| s.installed).map(|s| s.version.to_string()),
        signed_by: String::new(),
        vetted_by: vec![],
    };
    match signed.whose(shops) {
        Err(fault) => faults.push(fault),
        Ok(Whose::Stranger(number)) => {
            let help = "get the shop's public key from the shop itself, then `deadfront plugin shops add`";
            let message = format!("is signed with key {number}, which is not in shops.toml");
            faults.push(SharingError::refused(place, message, help));
        }
        Ok(Whose::Of(signer)) => {
            let subject = Subject { identity: &package.identity, sha256: &package.sha256, signer };
            let weighed = weigh(&subject, &voices, policy, today);
            outcome.signed_by = signer.name.clone();
            outcome.vetted_by = weighed.vetted_by;
            let short = weighed.bad.into_iter().chain(weighed.missing);
            faults.extend(short.map(|message| SharingError::refused(place, message, "")));
        }
    }
    voices.truncate(given);
    if faults.is_empty() { Ok(Accepted { package, signed, voices, outcome }) } else { Err((faults, voices)) }
}

/// An older version, or other bytes under a version that was here already.
fn replay(state: &State, package: &Package, place: &Path) -> Option<SharingError> {
    let Identity { id, version, .. } = &package.identity;
    let help = format!("to go back on purpose: `deadfront plugin remove --forget {id}`, then add it");
    if *version < state.version {
        let message = format!("is older than {id} {}, which is or was installed here", state.version);
        return Some(SharingError::refused(place, message, help));
    }
    if *version == state.version && package.sha256 != state.sha256 {
        let message = format!("has other bytes than the {id} {version} that is or was installed here");
        return Some(SharingError::refused(place, message, "a changed plugin needs a new version"));
    }
    None
}

fn install(home: &Home, plugin: &Accepted) -> Result<(), SharingError> {
    let Accepted { package, signed, voices, .. } = plugin;
    home.write_policy_once()?;
    let mut laid = Laid::default();
    let result = laid.all(home, package, signed, voices).and_then(|()| {
        let Identity { id, version, .. } = &package.identity;
        let (id, version, sha256) = (id.clone(), version.clone(), package.sha256.clone());
        let state = State { format: 1, id, version, sha256, installed: true };
        // This is the step that installs; everything before it only lies there.
        laid.put(&home.plugin(&state.id), state.text().as_bytes())
    });
    if result.is_err() {
        laid.take_back();
    }
    result
}

/// Takes a plugin out. Its version is remembered unless it is to be forgotten; warnings about its bytes stay.
///
/// # Errors
/// It is not installed, or the machine did not do it.
pub fn remove(home: &Home, id: &str, forget: bool) -> Result<Removed, SharingError> {
    let none = || {
        let ids: Vec<String> = home.names(&home.plugins()).unwrap_or_default();
        let ids: Vec<&str> = ids.iter().filter_map(|n| n.strip_suffix(".toml")).collect();
        let help = if ids.is_empty() { "no plugin was added".into() } else { format!("there are: {}", ids.join(", ")) };
        SharingError::wrong(&home.plugins(), format!("no plugin \"{}\" is installed", id.escape_debug()), help)
    };
    if !is_kebab(id) {
        return Err(none());
    }
    let place = home.plugin(id);
    let state = State::load(home, id);
    if forget && state.is_err() {
        // What cannot be read can still be forgotten; nothing else would get it out of the way.
        std::fs::remove_file(&place).map_err(|e| SharingError::machine(&place, "could not be removed", &e))?;
        sweep(home);
        return Ok(Removed { version: "of an unknown version".into(), forgotten: true });
    }
    let state = state?.filter(|s| s.installed || forget).ok_or_else(none)?;
    let version = state.version.to_string();
    if forget {
        std::fs::remove_file(&place).map_err(|e| SharingError::machine(&place, "could not be removed", &e))?;
    } else {
        write_private(&place, State { installed: false, ..state }.text().as_bytes())?;
    }
    sweep(home);
    Ok(Removed { version, forgotten: forget })
}
