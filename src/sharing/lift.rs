//! Lifts: a person of this shop takes a stop back, by name and with a reason, in a record that this shop signs. It lifts
//! exactly the records it names: the next "known bad" stops again. Must not decide whether the plugin may run then.

use super::evaluate::verify;
use super::keys::own_keys;
use super::names::SIGNATURE_ENDING;
use super::own::OwnShop;
use super::shops::Shops;
use super::sign::{PublicKey, Signature};
use super::signed::{Signed, signature_place};
use super::standing::standing;
use super::stop::{self, Stop};
use super::stored::{self, NewFiles};
use super::{Day, Home, SharingError, names, sha256};
use serde::{Deserialize, Serialize};
use std::path::Path;

/// Ending of a lift's name.
const ENDING: &str = ".lift";
/// Longest lift that is read.
const LONGEST: u64 = 64 * 1024;

/// One lift.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(crate) struct Lift {
    format: u32,
    /// Number of the record within this shop's key.
    number: u64,
    /// sha256 of the archive.
    pub sha256: String,
    /// This shop.
    pub shop: String,
    /// Who lifted it.
    pub by: String,
    /// Why.
    pub reason: String,
    /// When.
    pub date: Day,
    /// sha256 of each record that is lifted.
    pub records: Vec<String>,
}

/// Every lift of this shop.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Lifted(Vec<Lift>);

impl Lifted {
    /// The lifts of a home, each verified with this shop's own key.
    ///
    /// # Errors
    /// One of them is not what this shop signed.
    pub(super) fn load(home: &Home) -> Result<Lifted, SharingError> {
        let listed = home.names(&home.lifts())?;
        let listed: Vec<_> = listed.iter().filter(|n| n.ends_with(ENDING)).collect();
        if listed.is_empty() {
            return Ok(Lifted::default());
        }
        let keys = own_keys(home)?;
        listed.into_iter().map(|name| read(&home.lifts().join(name), &keys)).collect::<Result<_, _>>().map(Lifted)
    }

    /// Whether this stop was lifted.
    pub(super) fn holds(&self, stop: &Stop) -> bool {
        self.of(stop).is_some()
    }

    /// The lift of this stop.
    pub(crate) fn of(&self, stop: &Stop) -> Option<&Lift> {
        self.0.iter().find(|l| l.sha256 == stop.sha256 && l.records.contains(&stop.record))
    }
}

fn read(place: &Path, keys: &[PublicKey]) -> Result<Lift, SharingError> {
    let help = "what it lifted stands again until it is put back as it was, or taken away";
    let signed = Signed::read(place, LONGEST)?;
    let beside = signature_place(place);
    let bytes = signed.signature.as_ref();
    let bytes = bytes.ok_or_else(|| SharingError::wrong(place, "has no signature of this shop", help))?;
    let signature = Signature::read(bytes, &beside)?;
    if !keys.iter().any(|key| signature.is_of(key, &signed.bytes)) {
        return Err(SharingError::wrong(place, "is not what this shop's key signed", help));
    }
    let text = std::str::from_utf8(&signed.bytes).map_err(|_| SharingError::wrong(place, "is not UTF-8", help))?;
    let lift: Lift = toml::from_str(text).map_err(|e| SharingError::toml(place, text, &e, help))?;
    if lift.format != 1 {
        return Err(SharingError::wrong(
            place,
            format!("has format {}, this program knows format 1", lift.format),
            help,
        ));
    }
    Ok(lift)
}

/// Who lifts, and why.
#[derive(Debug, Clone)]
pub(crate) struct LiftReason {
    /// Name of the person.
    pub by: String,
    /// The reason.
    pub reason: String,
    /// Only what this shop said; empty means all of it.
    pub of: String,
    /// Today.
    pub date: Day,
}

impl OwnShop {
    /// Lifts the stops on an archive, named by the first digits of its sha256 or as ID@VERSION.
    ///
    /// # Errors
    /// Nothing of that name is stopped, it names several archives, name or reason are missing, or the machine did not do it.
    pub(crate) fn lift(&self, home: &Home, what: &str, why: LiftReason) -> Result<(Lift, Vec<Stop>), SharingError> {
        let _alone = home.writing()?;
        let stops = liftable(home, what, &why)?;
        let number = self.next_number(home)?;
        let records = stops.iter().map(|s| s.record.clone()).collect();
        let LiftReason { by, reason, date, .. } = why;
        let about = stops.first().map_or_else(String::new, |s| s.sha256.clone());
        let lift = Lift { format: 1, number, sha256: about, shop: self.name.clone(), by, reason, date, records };
        // Texts, numbers and lists of texts always become TOML.
        let body = toml::to_string(&lift).unwrap_or_default();
        let text = format!("# Lift: a person of this shop takes back what stopped these bytes of a plugin.\n{body}");
        let place = home.lifts().join(format!("{}{ENDING}", sha256(text.as_bytes())));
        let comment = format!("deadfront lift {number} {}", lift.sha256);
        let signature = self.signed(text.as_bytes(), &comment, &place)?;
        let mut new = NewFiles::default();
        let signature_place = home.lifts().join(format!("{}{ENDING}{SIGNATURE_ENDING}", sha256(text.as_bytes())));
        let result = new.file(&signature_place, signature.as_bytes()).and_then(|()| new.file(&place, text.as_bytes()));
        if let Err(error) = result {
            new.remove();
            return Err(error);
        }
        Ok((lift, stops))
    }
}

/// What is to be lifted, where somebody says why.
pub(super) fn liftable(home: &Home, what: &str, why: &LiftReason) -> Result<Vec<Stop>, SharingError> {
    let wrong = |message: String, help: &str| SharingError::wrong(&home.stops(), message, help);
    for (word, text) in [("--by", &why.by), ("--reason", &why.reason)] {
        if let Some(error) = names::error_in_words(text) {
            return Err(wrong(format!("{word} {error}"), "say who lifts the stop and why; both are kept"));
        }
    }
    chosen(home, what, &why.of)
}

/// The stops on one archive that are not lifted yet.
fn chosen(home: &Home, what: &str, of: &str) -> Result<Vec<Stop>, SharingError> {
    let lifted = Lifted::load(home)?;
    let named = |s: &Stop| {
        let hex = what.len() >= FEWEST_DIGITS && s.sha256.starts_with(what);
        hex || what.split_once('@') == Some((&s.plugin, &s.version))
    };
    let mut stops = stop::all(home)?;
    stops.retain(|s| named(s) && (of.is_empty() || s.shop == of) && !lifted.holds(s));
    let help = "`deadfront plugin stops` lists what is stopped";
    match stops.first().map(|s| s.sha256.clone()) {
        None => {
            let message = format!("nothing that \"{}\" names is stopped", what.escape_debug());
            Err(SharingError::wrong(&home.stops(), message, help))
        }
        Some(first) if stops.iter().any(|s| s.sha256 != first) => {
            let message = format!("\"{}\" names several archives", what.escape_debug());
            Err(SharingError::wrong(
                &home.stops(),
                message,
                "name one by its sha256; `deadfront plugin stops` lists them",
            ))
        }
        Some(_) => Ok(stops),
    }
}

/// Digits of a sha256 that name an archive: fewer could mean another.
const FEWEST_DIGITS: usize = 12;

/// A stop as it is listed: what took it back, where something did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ListedStop {
    /// The stop.
    pub stop: Stop,
    /// The lift.
    pub lift: Option<Lift>,
    /// Day on which the shop withdrew it.
    pub withdrawn: Option<Day>,
    /// Whether these bytes are installed.
    pub installed: bool,
}

/// Every stop that was ever heard.
///
/// # Errors
/// The home cannot be read.
pub(crate) fn stops(home: &Home) -> Result<Vec<ListedStop>, SharingError> {
    let _held = home.reading()?;
    let (lifted, shops) = (Lifted::load(home)?, Shops::load(home)?);
    let mut listed = vec![];
    for stop in stop::all(home)? {
        let records = verify(stored::records(home, &stop.sha256)?, &shops).records;
        let own = records.iter().filter(|v| v.void.is_none() && v.shop.has_key(&stop.key));
        let own = own.filter(|v| v.shop.counts_for(&stop.plugin));
        let withdrawn = standing(own, |v| v.record.plugin == stop.plugin).withdrawn;
        let withdrawn = withdrawn.filter(|v| v.record.number > stop.number).map(|v| v.record.date);
        let (lift, installed) = (lifted.of(&stop).cloned(), home.archive(&stop.sha256).exists());
        listed.push(ListedStop { stop, lift, withdrawn, installed });
    }
    listed.sort_by(|a, b| {
        let key = |l: &ListedStop| (l.stop.plugin.clone(), l.stop.version.clone(), l.stop.shop.clone(), l.stop.number);
        key(a).cmp(&key(b))
    });
    Ok(listed)
}
