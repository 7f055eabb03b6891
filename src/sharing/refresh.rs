//! `refresh`: what is new on a shelf comes in, each plugin by itself. Where the shelf is older than it was, lapsed, or not what
//! its index says, that is told and the stricter holds: nothing new comes in, and what stops a plugin is heard all the same.
//! Must not know what a plugin does.

use super::admit::{Admitted, admit, read};
use super::evaluate::{Verified, VerifiedRecord, verify};
use super::install::{install, take_keys};
use super::installation::Installation;
use super::key_record::{KeyRecord, KeyWord};
use super::keys::KeysTaken;
use super::lift::Lifted;
use super::names::{ARCHIVE_ENDING, KEY_RECORD_ENDING, RECORD_ENDING};
use super::rules::Rules;
use super::shelf::{INDEX, Index, LONGEST, files};
use super::signed::{Signed, Signer};
use super::stop::{self, Stop};
use super::stored::{clean_up, keep_record, keep_stops};
use super::vet::{Record, VetResult};
use super::{Day, Home, SharingError, disk, sha256};
use semver::Version;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// What a refresh came to.
#[derive(Debug, Clone, Default)]
pub(crate) struct Refreshed {
    /// Shop that keeps the shelf.
    pub keeper: String,
    /// Number of its index.
    pub serial: u64,
    /// Last day on which it is to be believed.
    pub expires: Option<Day>,
    /// What is amiss with the shelf.
    pub amiss: Vec<String>,
    /// What became of each plugin.
    pub plugins: Vec<PluginNews>,
    /// What is newly stopped, one sentence each.
    pub stopped: Vec<String>,
    /// What changed about keys.
    pub keys: Vec<String>,
    /// What is worth saying besides.
    pub remarks: Vec<String>,
}

/// What became of one plugin.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct PluginNews {
    /// Id.
    pub id: String,
    /// Version on the shelf.
    pub version: String,
    /// What it is.
    pub news: News,
    /// Version that was here before.
    pub before: Option<String>,
    /// Why it was refused.
    pub why: Vec<String>,
}

/// What a shelf has of one plugin.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum News {
    /// It was not here.
    New,
    /// A newer version.
    Changed,
    /// The version that is here, with more vets.
    Vetted,
    /// Nothing new.
    Same,
    /// It does not come in.
    Refused,
}

impl News {
    /// In one word.
    pub(crate) fn word(self) -> &'static str {
        match self {
            News::New => "new",
            News::Changed => "changed",
            News::Vetted => "newly vetted",
            News::Same => "nothing new",
            News::Refused => "refused",
        }
    }
}

/// What is remembered of a shelf.
#[derive(Debug, Clone, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct Memory {
    format: u32,
    /// Name of the shop that keeps it.
    shop: String,
    /// Highest number of an index.
    serial: u64,
    /// sha256 of that index.
    index: String,
    /// Every "known bad" that was seen there: sha256 of the record, and what it is about.
    #[serde(default)]
    known_bad: BTreeMap<String, String>,
}

/// A shelf as it was read.
struct Shelf {
    index: Index,
    files: BTreeMap<String, PathBuf>,
    /// Nothing new comes in.
    strict: bool,
}

/// Looks through a shelf and takes in what may come in. With `dry` nothing is written, and what would come in is told.
///
/// # Errors
/// There is no index that a shop of the list signed, or home or shelf cannot be read. Nothing was changed then.
pub(crate) fn refresh(
    home: &Home,
    folder: &Path,
    dry: bool,
    replace: bool,
    today: Day,
) -> Result<Refreshed, Vec<SharingError>> {
    let one = |error| vec![error];
    let _held = if dry { home.reading() } else { home.writing() }.map_err(one)?;
    let mut rules = Rules { replace, ..Rules::load(home, today).map_err(one)? };
    if !dry {
        keep_stops(home, &rules.shops).map_err(one)?;
    }
    let mut told = Refreshed::default();
    let (shelf, mut memory, place) = opened(home, folder, &rules, &mut told).map_err(one)?;
    take_in_keys(home, &shelf, &mut rules, dry, &mut told).map_err(one)?;
    let records = records(home, &shelf, &rules, &mut told);
    remember_bad(&records, &mut memory, &mut told);
    stops(home, &records, &shelf, dry, &mut told).map_err(one)?;
    plugins(home, &shelf, records, &rules, dry, &mut told).map_err(one)?;
    if !dry {
        memory.format = 1;
        memory.shop.clone_from(&shelf.index.shop);
        // Texts and numbers always become TOML.
        let text =
            format!("# Written by `deadfront plugin refresh`.\n{}", toml::to_string(&memory).unwrap_or_default());
        disk::write_private(&place, text.as_bytes()).map_err(one)?;
        clean_up(home);
    }
    Ok(told)
}

/// Reads index and files, and holds the index against what is remembered of the shelf.
fn opened(
    home: &Home,
    folder: &Path,
    rules: &Rules,
    told: &mut Refreshed,
) -> Result<(Shelf, Memory, PathBuf), SharingError> {
    let place = folder.join(INDEX);
    if place.symlink_metadata().is_err() {
        let help = "`deadfront plugin shelf make FOLDER` makes a shelf; a loose folder is added with `plugin add`";
        return Err(SharingError::wrong(&place, "is not there", help));
    }
    let signed = Signed::read(&place, LONGEST)?;
    let (shop, key) = match signed.signer(&rules.shops)? {
        Signer::Listed(shop, key) => (shop, key),
        Signer::Unlisted(number) => {
            let help = "whoever keeps a shelf has to be in the list, if only to warn: `deadfront plugin shops add`";
            let message = format!("is signed with key {number}, which is not in shops.toml");
            return Err(SharingError::refused(&place, message, help));
        }
    };
    let bytes = sha256(&signed.bytes);
    if let Some(void) = rules.shops.void(key, &bytes) {
        return Err(SharingError::refused(&place, format!("does not count: {void}"), "ask the shop by voice"));
    }
    let index = Index::read(&signed.bytes, &place)?;
    if index.shop != shop.name {
        let message = format!("speaks for {}, but the key is that of {}", index.shop, shop.name);
        return Err(SharingError::wrong(&place, message, ""));
    }
    let name = format!("{}.{}.toml", super::names::slug(&shop.name), index.shelf);
    let memory_place = home.shelves().join(name);
    let mut memory: Memory = match home.read_text(&memory_place)? {
        None => Memory::default(),
        Some(text) => toml::from_str(&text).map_err(|e| {
            SharingError::toml(&memory_place, &text, &e, "put it back from a copy of the home, or take it away")
        })?,
    };
    let amiss = &mut told.amiss;
    if index.expires < rules.today {
        amiss.push(format!("the index lapsed on {}: what is newer is not on it", index.expires));
    }
    if index.made > rules.today {
        amiss.push(format!("the index is of {}, which has not come yet", index.made));
    }
    if index.serial < memory.serial {
        amiss.push(format!("its index is number {}, and number {} was seen before", index.serial, memory.serial));
    } else if index.serial == memory.serial && memory.index != bytes {
        amiss.push(format!("its index is another than the one of number {} that was seen before", index.serial));
    } else {
        (memory.serial, memory.index) = (index.serial, bytes);
    }
    let strict = !amiss.is_empty();
    let (found, others) = files(folder)?;
    told.remarks.extend(others.iter().map(|o| format!("{o} does not belong on a shelf: left out")));
    amiss.extend(index.files.iter().filter(|f| !found.contains_key(&f.path)).map(|f| format!("{} is gone", f.path)));
    amiss.extend(found.keys().filter(|p| index.of(p).is_none()).map(|p| format!("{p} is not in the index")));
    (told.keeper, told.serial, told.expires) = (index.shop.clone(), index.serial, Some(index.expires));
    Ok((Shelf { index, files: found, strict }, memory, memory_place))
}

impl Shelf {
    /// A file with its signature, and whether both are what the index says.
    fn signed(&self, path: &str, most: u64) -> Result<(Signed, bool), SharingError> {
        let place = self.files.get(path).map_or_else(PathBuf::new, Clone::clone);
        let signed = Signed::read(&place, most)?;
        let as_listed = |path: &str, bytes: &[u8]| self.index.of(path).is_some_and(|sum| sum == sha256(bytes));
        let beside = format!("{path}{}", super::names::SIGNATURE_ENDING);
        let good = as_listed(path, &signed.bytes)
            && signed.signature.as_ref().is_none_or(|signature| as_listed(&beside, signature));
        Ok((signed, good))
    }

    fn ending_in(&self, ending: &str) -> Vec<String> {
        self.files.keys().filter(|p| p.ends_with(ending)).cloned().collect()
    }
}

/// Takes in what is said of keys: a revocation always, all else only from a shelf that is in order.
fn take_in_keys(
    home: &Home,
    shelf: &Shelf,
    rules: &mut Rules,
    dry: bool,
    told: &mut Refreshed,
) -> Result<(), SharingError> {
    let mut handed = vec![];
    for path in shelf.ending_in(KEY_RECORD_ENDING) {
        match shelf.signed(&path, super::key_record::LONGEST) {
            Err(error) => told.remarks.push(error.to_string()),
            Ok((signed, good)) => {
                let revokes = || KeyRecord::verified(&signed).is_ok_and(|r| r.says == KeyWord::Revocation);
                if (good && !shelf.strict) || revokes() { handed.push(signed) } else { differs(&path, told) }
            }
        }
    }
    let KeysTaken { changed, remarks, errors } = take_keys(home, &handed, rules, !dry)?;
    told.keys = changed;
    told.remarks.extend(remarks.into_iter().chain(errors.iter().map(ToString::to_string)));
    Ok(())
}

fn differs(path: &str, told: &mut Refreshed) {
    let line = format!("{path} is not what the index says");
    if !told.amiss.iter().any(|a| a.starts_with(path)) {
        told.amiss.push(line);
    }
}

/// The records of a shelf that count: from one that is in order all that the index lists, else those alone that stop something.
fn records(home: &Home, shelf: &Shelf, rules: &Rules, told: &mut Refreshed) -> Vec<VerifiedRecord> {
    let mut all = vec![];
    for path in shelf.ending_in(RECORD_ENDING) {
        match shelf.signed(&path, super::vet::LONGEST) {
            Err(error) => told.remarks.push(error.to_string()),
            Ok((signed, good)) => {
                let bad = || Record::read(&signed.bytes, &signed.place).is_ok_and(|r| r.result == VetResult::KnownBad);
                if !good {
                    differs(&path, told);
                }
                // What is here already is no news.
                let here = |s: &Signed| home.root().join("vets").join(sha256(&s.bytes)).exists();
                if (good && !shelf.strict) || bad() {
                    all.push(signed);
                } else if !here(&signed) && shelf.strict && good {
                    told.remarks.push(format!("{path} waits for an index that is in order"));
                }
            }
        }
    }
    let Verified { records, errors, remarks } = verify(all, &rules.shops);
    told.remarks.extend(errors.iter().map(ToString::to_string).chain(remarks));
    records
}

/// Remembers each "known bad", and tells which one that was there is there no more.
fn remember_bad(records: &[VerifiedRecord], memory: &mut Memory, told: &mut Refreshed) {
    let bad: BTreeMap<String, String> = records
        .iter()
        .filter(|v| v.record.result == VetResult::KnownBad && v.void.is_none())
        .map(|v| (sha256(&v.signed.bytes), format!("{} {}, by {}", v.record.plugin, v.record.version, v.shop.name)))
        .collect();
    for (record, what) in memory.known_bad.iter().filter(|(record, _)| !bad.contains_key(*record)) {
        let line =
            format!("a \"known bad\" is not on the shelf any more ({what}, record {}…): it holds here", &record[..12]);
        told.amiss.push(line);
    }
    memory.known_bad.extend(bad);
}

/// Keeps what stops a plugin, and what takes that back.
fn stops(
    home: &Home,
    records: &[VerifiedRecord],
    shelf: &Shelf,
    dry: bool,
    told: &mut Refreshed,
) -> Result<(), SharingError> {
    let lifted = Lifted::load(home)?;
    for verified in records.iter().filter(|v| v.void.is_none()) {
        let VerifiedRecord { record, shop, signed, .. } = verified;
        let known = stop::kept(home, &record.sha256)?;
        match Stop::of(verified) {
            Some(_) if !shop.counts_for(&record.plugin) => {
                told.remarks.push(format!(
                    "{} calls {} {} bad, but is trusted with other plugins only",
                    shop.name, record.plugin, record.version
                ));
            }
            Some(stop) => {
                if known.iter().all(|k| k.record != stop.record) && !lifted.holds(&stop) {
                    told.stopped.push(format!("{} {}: {}", record.plugin, record.version, stop.words()));
                }
                if !dry {
                    keep_record(home, signed, &record.sha256)?;
                    stop.keep(home)?;
                }
            }
            None if record.result == VetResult::Withdrawn && !shelf.strict && !dry => {
                keep_record(home, signed, &record.sha256)?;
            }
            None => {}
        }
    }
    Ok(())
}

/// Decides about the newest version of each plugin.
fn plugins(
    home: &Home,
    shelf: &Shelf,
    records: Vec<VerifiedRecord>,
    rules: &Rules,
    dry: bool,
    told: &mut Refreshed,
) -> Result<(), SharingError> {
    for (id, (version, path)) in newest(shelf) {
        let here = Installation::load(home, &id).ok().flatten().filter(|h| h.installed);
        let before = here.as_ref().map(|h| h.version.to_string());
        let mut news =
            PluginNews { id: id.clone(), version: version.to_string(), news: News::Refused, before, why: vec![] };
        let of = |signed: &Signed, good: bool| -> Result<_, SharingError> {
            let package = read(signed, &rules.policy)?;
            if !good {
                let message = format!("{path} is not what the index says");
                return Err(SharingError::wrong(&signed.place, message, ""));
            }
            Ok(package)
        };
        let opened = shelf.signed(&path, rules.policy.archive.archive_bytes());
        let (package, signed) = match opened.and_then(|(signed, good)| Ok((of(&signed, good)?, signed))) {
            Ok(opened) => opened,
            Err(error) => {
                news.why.push(error.to_string());
                told.plugins.push(news);
                continue;
            }
        };
        let same = here.as_ref().is_some_and(|h| h.sha256 == package.sha256);
        if shelf.strict {
            news.news = if same { News::Same } else { News::Refused };
            if !same {
                news.why.push("the shelf is not in order: nothing new comes in from it".into());
            }
            told.plugins.push(news);
            continue;
        }
        let own: Vec<VerifiedRecord> = records.iter().filter(|r| r.record.sha256 == package.sha256).cloned().collect();
        let kept: BTreeSet<Vec<u8>> =
            super::stored::records(home, &package.sha256)?.into_iter().map(|s| s.bytes).collect();
        let more = own.iter().any(|r| !kept.contains(&r.signed.bytes));
        match admit(home, (package, signed), own, rules) {
            Err((errors, _)) => news.why = errors.iter().map(|e| e.message.clone()).collect(),
            Ok(admitted) => {
                news.news = match (&news.before, same, more) {
                    (None, ..) => News::New,
                    (_, false, _) => News::Changed,
                    (_, true, true) => News::Vetted,
                    (_, true, false) => News::Same,
                };
                if !dry && news.news != News::Same {
                    let admitted: Admitted = admitted;
                    install(home, &admitted, rules.today)?;
                }
            }
        }
        told.plugins.push(news);
    }
    Ok(())
}

/// The newest version of each plugin of a shelf, with the path of its archive.
fn newest(shelf: &Shelf) -> BTreeMap<String, (Version, String)> {
    let mut newest: BTreeMap<String, (Version, String)> = BTreeMap::new();
    for path in shelf.ending_in(ARCHIVE_ENDING) {
        let parts: Vec<&str> = path.split('/').collect();
        let ["plugins", id, version, _] = parts.as_slice() else { continue };
        let Ok(version) = Version::parse(version) else { continue };
        if newest.get(*id).is_none_or(|(best, _)| *best < version) {
            newest.insert((*id).to_string(), (version, path.clone()));
        }
    }
    newest
}
