//! Decides about an archive that is to come in: its name, its bytes, its signature, the records about it, the version that
//! is here. Must not write a file, nor know what a plugin does.

use super::archive::{self, Package};
use super::evaluate::{Evaluation, Said, SignedArchive, VerifiedRecord, evaluate, verify};
use super::installation::Installation;
use super::lift::Lifted;
use super::policy::Policy;
use super::rules::Rules;
use super::signed::{Signed, Signer};
use super::{Home, SharingError};
use super::{stop, stored};
use crate::plugin::manifest::API;
use crate::plugin::{Identity, find};
use std::path::Path;

/// One plugin that was added.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct AddedPlugin {
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

/// A plugin that may come in.
pub(super) struct Admitted {
    pub(super) package: Package,
    pub(super) signed: Signed,
    /// The records about it that came with it.
    pub(super) records: Vec<VerifiedRecord>,
    pub(super) added: AddedPlugin,
    /// What is installed under its id today.
    pub(super) here: Option<Installation>,
}

/// Reads an archive; its name has to be that of what is in it.
pub(super) fn read(signed: &Signed, policy: &Policy) -> Result<Package, SharingError> {
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

/// Decides about one archive.
///
/// # Errors
/// Everything that keeps it out, and the records that came with it.
pub(super) fn admit(
    home: &Home,
    (package, signed): (Package, Signed),
    records: Vec<VerifiedRecord>,
    rules: &Rules,
) -> Result<Admitted, (Vec<SharingError>, Vec<VerifiedRecord>)> {
    let place = &signed.place;
    let mut errors = vec![];
    let Identity { id, version, .. } = &package.identity;
    for about_other in records.iter().filter(|r| !r.record.is_about(&package.identity, &package.sha256)) {
        let VerifiedRecord { record, signed, .. } = about_other;
        let message = format!("calls these bytes {} {}", record.plugin, record.version);
        errors.push(SharingError::wrong(&signed.place, message, format!("they are {id} {version}")));
    }
    if let Err(unusable) = archive::usable(&package.files, place) {
        errors.extend(unusable);
    }
    let before = match Installation::load(home, id) {
        Ok(before) => before,
        Err(error) => return Err((vec![error], records)),
    };
    if let Some(error) = before.as_ref().and_then(|here| superseded(here, &package, place)) {
        errors.push(error);
    }
    if let Some(error) = taken(home, before.as_ref(), &package, &signed, rules) {
        errors.push(error);
    }
    // What is kept here about these bytes counts as well: a "known bad" is not got round by leaving it out.
    let mut counted = records.clone();
    match stored::records(home, &package.sha256) {
        Ok(kept) => {
            let verified = verify(kept, &rules.shops);
            counted.extend(verified.records);
            errors.extend(verified.errors);
        }
        Err(error) => errors.push(error),
    }
    let stops = stop::kept(home, &package.sha256).and_then(|stops| Ok((stops, Lifted::load(home)?)));
    let (stops, lifted) = stops.unwrap_or_else(|error| {
        errors.push(error);
        Default::default()
    });
    let said = Said { records: &counted, stops: &stops, lifted: &lifted };
    let mut added = AddedPlugin {
        id: id.clone(),
        version: version.to_string(),
        sha256: package.sha256.clone(),
        before: before.as_ref().filter(|here| here.installed).map(|here| here.version.to_string()),
        signed_by: String::new(),
        vetted_by: vec![],
    };
    match evaluated(&package, &signed, said, rules) {
        Err(error) => errors.push(error),
        Ok((signer, evaluation)) => {
            (added.signed_by, added.vetted_by) = (signer, evaluation.vetted_by);
            let short = evaluation.bad.into_iter().chain(evaluation.missing);
            errors.extend(short.map(|message| SharingError::refused(place, message, "")));
        }
    }
    if errors.is_empty() {
        Ok(Admitted { package, signed, records, added, here: before })
    } else {
        Err((errors, records))
    }
}

/// The shop that signed an archive, and what the records about it come to.
fn evaluated(
    package: &Package,
    signed: &Signed,
    said: Said<'_>,
    rules: &Rules,
) -> Result<(String, Evaluation), SharingError> {
    match signed.signer(&rules.shops)? {
        Signer::Unlisted(number) => {
            let help = "get the shop's public key from the shop itself, then `deadfront plugin shops add`";
            let message = format!("is signed with key {number}, which is not in shops.toml");
            Err(SharingError::refused(&signed.place, message, help))
        }
        Signer::Listed(signer, key) => {
            let void = rules.shops.void(key, &package.sha256);
            let archive = SignedArchive { identity: &package.identity, sha256: &package.sha256, signer, void };
            Ok((signer.name.clone(), evaluate(&archive, said, rules)))
        }
    }
}

/// An id that belongs to another: a plugin of the program itself, or one of another shop.
fn taken(
    home: &Home,
    before: Option<&Installation>,
    package: &Package,
    signed: &Signed,
    rules: &Rules,
) -> Option<SharingError> {
    let id = &package.identity.id;
    let refused = |message: String| {
        let help = "to let it take that place on purpose, add it with --replace; every check then says so";
        Some(SharingError::refused(&signed.place, message, help))
    };
    let ships = || find::shipped().iter().any(|f| f.origin.file_name().is_some_and(|name| *name == **id));
    if rules.replace {
        return None;
    }
    let Some(here) = before.filter(|here| here.installed) else {
        return if ships() {
            refused(format!("takes the place of the plugin {id} that ships with the program"))
        } else {
            None
        };
    };
    let signer = |signed: &Signed| match signed.signer(&rules.shops) {
        Ok(Signer::Listed(shop, _)) => Some(shop.name.clone()),
        _ => None,
    };
    let old = Signed::read(&home.archive(&here.sha256), rules.policy.archive.archive_bytes());
    let (old, new) = (old.ok().as_ref().and_then(signer), signer(signed));
    // Who signed the new one is told elsewhere where nobody of the list did.
    if new.is_none() || old == new {
        return None;
    }
    let old = old.unwrap_or_else(|| "a shop that is not in shops.toml any more".into());
    refused(format!("takes the place of {id} {}, which {old} signed", here.version))
}

/// An older version, or other bytes under a version that was here already.
fn superseded(here: &Installation, package: &Package, place: &Path) -> Option<SharingError> {
    let Identity { id, version, .. } = &package.identity;
    let help = format!("to go back on purpose: `deadfront plugin remove --forget {id}`, then add it");
    if *version < here.version {
        let message = format!("is older than {id} {}, which is or was installed here", here.version);
        return Some(SharingError::refused(place, message, help));
    }
    if *version == here.version && package.sha256 != here.sha256 {
        let message = format!("has other bytes than the {id} {version} that is or was installed here");
        return Some(SharingError::refused(place, message, "a changed plugin needs a new version"));
    }
    None
}
