//! Everything this shop knows of one archive, without letting it in: whose it is, who said what of it, what the policy asks
//! for besides. For people who read before they decide. Must not write, nor run a plugin.

use super::admit::read;
use super::archive::{Files, Package};
use super::evaluate::{Said, SignedArchive, evaluate, verify};
use super::installation::Installation;
use super::lift::Lifted;
use super::rules::Rules;
use super::shops::Shop;
use super::signed::{Signed, Signer};
use super::vet::Record;
use super::{Day, Home, SharingError, parcel, stop, stored};
use crate::plugin::Identity;
use std::path::{Path, PathBuf};

/// What is known of an archive.
#[derive(Debug, Clone)]
pub(crate) struct Dossier {
    /// What it says it is.
    pub identity: Identity,
    /// sha256 of its bytes.
    pub sha256: String,
    /// Its files.
    pub files: Files,
    /// The shop that signed it, and the key with which it did; None where no shop of the list did.
    pub signer: Option<Shop>,
    /// What is said of it by shops of the list.
    pub heard: Vec<Heard>,
    /// Shops whose vets count today.
    pub vetted_by: Vec<String>,
    /// Who says that it is bad, one sentence each.
    pub bad: Vec<String>,
    /// What the policy asks for and is not there.
    pub missing: Vec<String>,
    /// Signatures and records that are not what they say, and keys nobody here knows.
    pub wrong: Vec<String>,
}

/// What a shop of the list said.
#[derive(Debug, Clone)]
pub(crate) struct Heard {
    /// The shop, as it stands in the list.
    pub shop: String,
    /// Its record.
    pub record: Record,
    /// Why it counts for nothing, where its key was called back.
    pub void: Option<String>,
}

/// Of an archive that lies in a file, with what lies beside it.
///
/// # Errors
/// The archive cannot be read, or the home cannot.
pub(crate) fn of_file(home: &Home, place: &Path, today: Day) -> Result<Dossier, Vec<SharingError>> {
    let one = |error| vec![error];
    let _held = home.reading().map_err(one)?;
    let rules = Rules::load(home, today).map_err(one)?;
    let parcel = parcel::open(&[PathBuf::from(place)], &rules.policy.archive)?;
    let Some(signed) = parcel.archives.into_iter().next() else {
        let help = "name an archive ID-VERSION.tar.gz, or the id of a plugin that is here";
        return Err(vec![SharingError::wrong(place, "is no archive", help)]);
    };
    let package = read(&signed, &rules.policy).map_err(one)?;
    of(home, package, &signed, parcel.records, &rules).map_err(one)
}

/// Of an installed plugin; None where none of that id is.
///
/// # Errors
/// Its archive is not what was added, or the home cannot be read.
pub(crate) fn of_installed(home: &Home, id: &str, today: Day) -> Result<Option<Dossier>, SharingError> {
    let _held = home.reading()?;
    let Some(state) = Installation::load(home, id)?.filter(|s| s.installed) else { return Ok(None) };
    let rules = Rules::load(home, today)?;
    let signed = Signed::read(&home.archive(&state.sha256), rules.policy.archive.archive_bytes())?;
    let package = super::installed::package(&signed, &state, &rules.policy)?;
    of(home, package, &signed, vec![], &rules).map(Some)
}

fn of(
    home: &Home,
    package: Package,
    signed: &Signed,
    beside: Vec<Signed>,
    rules: &Rules,
) -> Result<Dossier, SharingError> {
    let mut records = stored::records(home, &package.sha256)?;
    records.extend(beside.into_iter().filter(|b| records.iter().all(|r| r.bytes != b.bytes)).collect::<Vec<_>>());
    let verified = verify(records, &rules.shops);
    let mut wrong: Vec<String> = verified.errors.iter().map(ToString::to_string).collect();
    wrong.extend(verified.remarks);
    let (stops, lifted) = (stop::kept(home, &package.sha256)?, Lifted::load(home)?);
    let said = Said { records: &verified.records, stops: &stops, lifted: &lifted };
    let mut dossier = Dossier {
        identity: package.identity.clone(),
        sha256: package.sha256.clone(),
        files: package.files,
        signer: None,
        heard: vec![],
        vetted_by: vec![],
        bad: stops.iter().filter(|s| !lifted.holds(s)).map(super::stop::Stop::words).collect(),
        missing: vec![],
        wrong,
    };
    match signed.signer(&rules.shops) {
        Err(error) => dossier.wrong.push(error.to_string()),
        Ok(Signer::Unlisted(number)) => {
            dossier.wrong.push(format!("it is signed with key {number}, which is not in shops.toml"))
        }
        Ok(Signer::Listed(shop, key)) => {
            let void = rules.shops.void(key, &dossier.sha256);
            let archive = SignedArchive { identity: &dossier.identity, sha256: &dossier.sha256, signer: shop, void };
            let evaluation = evaluate(&archive, said, rules);
            (dossier.vetted_by, dossier.bad, dossier.missing) =
                (evaluation.vetted_by, evaluation.bad, evaluation.missing);
            dossier.signer = Some(Shop { key: key.clone(), ..shop.clone() });
        }
    }
    dossier.heard = verified
        .records
        .into_iter()
        .filter(|v| v.record.sha256 == dossier.sha256)
        .map(|v| Heard { shop: v.shop.name, record: v.record, void: v.void })
        .collect();
    dossier.heard.sort_by(|a, b| (&a.shop, a.record.number).cmp(&(&b.shop, b.record.number)));
    Ok(dossier)
}
