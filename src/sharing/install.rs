//! `add`: everything is decided in memory before the first byte is written; then archive and records are put beside what
//! is there, and one file, renamed into its place, makes them the installed ones. A run that is killed leaves the old or
//! the new. Must not know what a plugin does.

use super::admit::{AddedPlugin, Admitted, admit, read};
use super::archive::Package;
use super::evaluate::{Verified, VerifiedRecord, verify};
use super::installation::Installation;
use super::keys::KeysTaken;
use super::parcel;
use super::policy::Policy;
use super::rules::Rules;
use super::seen::Seen;
use super::shops::Shops;
use super::signed::Signed;
use super::stop::Stop;
use super::stored::{NewFiles, clean_up, keep_record, keep_stops};
use super::vet::VetResult;
use super::{Day, Home, SharingError, keys, sha256};
use crate::plugin::Identity;
use std::path::PathBuf;

/// What `add` did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Added {
    /// What became of the plugins.
    pub plugins: Vec<AddedPlugin>,
    /// Records about other bytes that were kept: "known bad" and withdrawn ones.
    pub warnings: Vec<String>,
    /// What is worth saying besides.
    pub remarks: Vec<String>,
    /// What changed about the keys of shops.
    pub keys: Vec<String>,
}

/// Adds what lies at `paths`: archives with their signatures and records, or records alone. All or nothing; only a
/// "known bad" or withdrawn record of a trusted shop is kept even when an archive beside it is refused. Only with `replace` may
/// a plugin take the id of one that ships with the program, or that another shop signed.
///
/// # Errors
/// Everything that is missing or wrong. Nothing was installed then.
pub(crate) fn add(home: &Home, paths: &[PathBuf], replace: bool, today: Day) -> Result<Added, Vec<SharingError>> {
    let one = |error| vec![error];
    let _alone = home.writing().map_err(one)?;
    let rules = Rules { replace, ..Rules::load(home, today).map_err(one)? };
    let mut rules = rules;
    keep_stops(home, &rules.shops).map_err(one)?;
    let parcel = parcel::open(paths, &rules.policy.archive)?;
    // What is said of keys holds for all that comes with it, and whatever becomes of that.
    let taken = take_keys(home, &parcel.key_records, &mut rules, true).map_err(one)?;
    let Verified { records, mut errors, mut remarks } = verify(parcel.records, &rules.shops);
    errors.extend(taken.errors);
    remarks.extend(taken.remarks);
    let mut packages = vec![];
    for signed in parcel.archives {
        match read(&signed, &rules.policy) {
            Ok(package) => packages.push((package, signed)),
            Err(error) => errors.push(error),
        }
    }
    newest_of_each(&mut packages, &mut remarks);
    let (mut admitted, mut about_other) = (vec![], records);
    for (package, signed) in packages {
        let own;
        (own, about_other) = about_other.into_iter().partition(|r| r.record.sha256 == package.sha256);
        match admit(home, (package, signed), own, &rules) {
            Ok(plugin) => admitted.push(plugin),
            Err((mut missing, records)) => {
                errors.append(&mut missing);
                about_other.extend(records);
            }
        }
    }
    let warnings = warnings(home, about_other, errors.is_empty(), &mut remarks).map_err(one)?;
    if !errors.is_empty() {
        return Err(errors);
    }
    let mut plugins = vec![];
    for plugin in admitted {
        install(home, &plugin, today).map_err(one)?;
        plugins.push(plugin.added);
    }
    clean_up(home);
    Ok(Added { plugins, warnings, remarks, keys: taken.changed })
}

/// Takes the key records in, and what is here already of the keys they call back.
pub(super) fn take_keys(
    home: &Home,
    handed: &[Signed],
    rules: &mut Rules,
    write: bool,
) -> Result<KeysTaken, SharingError> {
    if handed.is_empty() {
        return Ok(KeysTaken::default());
    }
    if write {
        // From here on it counts which of it was here before.
        Seen::note(home, rules.today, &everything_here(home)?)?;
    }
    let taken = keys::take(home, handed, &mut rules.shops, rules.today, write)?;
    if write {
        rules.shops = Shops::load(home)?;
    }
    Ok(taken)
}

/// sha256 of every archive and record in the home.
pub(super) fn everything_here(home: &Home) -> Result<Vec<String>, SharingError> {
    let stem = |name: &String| name.split('.').next().unwrap_or_default().to_string();
    let mut all: Vec<String> = home.names(&home.store())?.iter().map(stem).collect();
    for about in home.names(&home.vets())? {
        all.extend(home.names(&home.vets_of(&about))?.iter().map(stem));
    }
    Ok(all)
}

/// Of several versions in one parcel the newest is meant.
fn newest_of_each(packages: &mut Vec<(Package, Signed)>, remarks: &mut Vec<String>) {
    packages
        .sort_by(|(a, _), (b, _)| (&a.identity.id, &b.identity.version).cmp(&(&b.identity.id, &a.identity.version)));
    packages.dedup_by(|(later, _), (first, _)| {
        let older = later.identity.id == first.identity.id;
        if older {
            remarks.push(format!("{} is older than {}, left out", later.identity.stem(), first.identity.stem()));
        }
        older
    });
}

/// Keeps the records about other bytes that may stop a plugin one day, and says what became of each.
fn warnings(
    home: &Home,
    records: Vec<VerifiedRecord>,
    all_admitted: bool,
    remarks: &mut Vec<String>,
) -> Result<Vec<String>, SharingError> {
    let mut warnings = vec![];
    for verified in records {
        let VerifiedRecord { record, shop, signed, .. } = &verified;
        let known = home.archive(&record.sha256).exists();
        let what = format!("{} {}: {}, says {}", record.plugin, record.version, record.result.word(), record.shop);
        if let Some(void) = &verified.void {
            remarks.push(format!("{what}; it does not count: {void}"));
        } else if record.result == VetResult::KnownBad && !shop.counts_for(&record.plugin) {
            remarks.push(format!("{what}; that shop is trusted with other plugins only, so it stops nothing"));
        } else if record.result != VetResult::Good || known {
            keep_record(home, signed, &record.sha256)?;
            Stop::of(&verified).map_or(Ok(()), |stop| stop.keep(home))?;
            warnings.push(what);
        } else if all_admitted {
            remarks.push(format!("{what}; it is about other bytes (sha256 {}…)", &record.sha256[..12]));
        }
    }
    Ok(warnings)
}

pub(super) fn install(home: &Home, plugin: &Admitted, today: Day) -> Result<(), SharingError> {
    let Admitted { package, signed, records, here, .. } = plugin;
    Policy::write_once(home)?;
    let records_in = records.iter().map(|r| sha256(&r.signed.bytes));
    let came: Vec<String> = std::iter::once(package.sha256.clone()).chain(records_in).collect();
    let seen = Seen::load(home)?;
    let mut new = NewFiles::default();
    let result = new.plugin(home, package, signed, records).and_then(|()| {
        Seen::note(home, today, &came)?;
        let Identity { id, version, .. } = package.identity.clone();
        let installation = Installation {
            format: 1,
            id,
            version,
            sha256: package.sha256.clone(),
            installed: true,
            kept: Installation::kept_beside(here.as_ref(), &package.sha256),
        };
        // This is the step that installs; what was written before is only there.
        new.file(&home.plugin(&installation.id), installation.text().as_bytes())
    });
    if result.is_err() {
        new.remove();
        // What did not come in was not seen. Where not even that can be written, a line too many stands in the memory: it
        // says when these bytes were here, which is true.
        let _ = seen.keep(home);
    }
    result
}
