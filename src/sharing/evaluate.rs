//! Records verified and held against the policy: whose word it is, what it says of these bytes, and whether that is what
//! the policy asks for. Pure: must not read or write a file.

use super::lift::Lifted;
use super::policy::Policy;
use super::rules::Rules;
use super::shops::{Purpose, Shop, Shops};
use super::sign::PublicKey;
use super::signed::{Signed, Signer};
use super::standing::{Standing, standing};
use super::stop::Stop;
use super::vet::Record;
use super::{Day, SharingError, sha256};
use crate::plugin::Identity;

/// A record whose signature was verified with a listed key.
#[derive(Debug, Clone)]
pub(super) struct VerifiedRecord {
    pub(super) record: Record,
    pub(super) shop: Shop,
    /// The key that signed it.
    pub(super) key: PublicKey,
    pub(super) signed: Signed,
    /// Why it is nobody's word: its key was called back or handed on. It is kept, and counts for nothing.
    pub(super) void: Option<String>,
}

/// What became of records that were verified.
#[derive(Debug, Default)]
pub(super) struct Verified {
    pub(super) records: Vec<VerifiedRecord>,
    /// Records that are changed, void or not signed.
    pub(super) errors: Vec<SharingError>,
    /// What is worth saying, without being an error.
    pub(super) remarks: Vec<String>,
}

/// Verifies records one by one.
pub(super) fn verify(records: Vec<Signed>, shops: &Shops) -> Verified {
    let mut verified = Verified::default();
    for signed in records {
        match signed.signer(shops) {
            Err(error) => verified.errors.push(error),
            Ok(Signer::Unlisted(number)) => {
                let name = signed.place.file_name().unwrap_or_default().to_string_lossy().into_owned();
                verified.remarks.push(format!("{name} does not count: key {number} is not in shops.toml"));
            }
            Ok(Signer::Listed(shop, key)) => match Record::read(&signed.bytes, &signed.place) {
                Err(error) => verified.errors.push(error),
                Ok(record) if record.shop != shop.name => {
                    let message = format!("speaks for {}, but the key is that of {}", record.shop, shop.name);
                    let help = "a shop's name in shops.toml has to be the one it uses itself";
                    verified.errors.push(SharingError::wrong(&signed.place, message, help));
                }
                Ok(record) => {
                    let void = shops.void(key, &sha256(&signed.bytes)).or_else(|| shop.beyond(key, record.number));
                    let (shop, key) = (shop.clone(), key.clone());
                    verified.records.push(VerifiedRecord { record, shop, key, signed, void });
                }
            },
        }
    }
    verified
}

/// What the records about one archive come to.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Evaluation {
    /// Shops whose vets count.
    pub(super) vetted_by: Vec<String>,
    /// "known bad" of shops that are trusted with warnings, one sentence each.
    pub(super) bad: Vec<String>,
    /// What the policy asks for and is not there, one sentence each.
    pub(super) missing: Vec<String>,
}

/// An archive whose signature was verified.
pub(super) struct SignedArchive<'a> {
    pub(super) identity: &'a Identity,
    pub(super) sha256: &'a str,
    pub(super) signer: &'a Shop,
    /// Why its signature does not count, where its key was called back.
    pub(super) void: Option<String>,
}

/// What is said about one archive, by whomever.
#[derive(Debug, Clone, Copy)]
pub(super) struct Said<'a> {
    /// Records about these bytes or others.
    pub(super) records: &'a [VerifiedRecord],
    /// What was stopped of these bytes while its shop was trusted.
    pub(super) stops: &'a [Stop],
    /// What a person of this shop took back.
    pub(super) lifted: &'a Lifted,
}

/// Holds the records about an archive against the policy, and the trust in the shop that signed it as well.
pub(super) fn evaluate(archive: &SignedArchive, said: Said<'_>, rules: &Rules) -> Evaluation {
    let Rules { policy, today, .. } = rules;
    let mut evaluation = Evaluation { missing: untrusted_signer(archive, *today), ..Evaluation::default() };
    let words = words_of_each(archive, said.records);
    evaluation.bad = stopped(archive, &words, said);
    let about = said.records.iter().filter(|v| v.record.sha256 == archive.sha256);
    let void = about.filter_map(|v| Some(format!("a vet of {} does not count: {}", v.shop.name, v.void.as_ref()?)));
    let mut why_not: Vec<String> = void.collect();
    for Word { shop, standing } in &words {
        match (standing.bad, standing.withdrawn, standing.good) {
            (Some(bad), ..) if !shop.counts_for(&archive.identity.id) => {
                why_not.push(format!("{} calls it bad, but is not trusted with {}", shop.name, bad.record.plugin));
            }
            (Some(_), ..) => {}
            (_, Some(w), _) => why_not.push(format!("{} withdrew its vet on {}", shop.name, w.record.date)),
            (.., Some(good)) => match why_it_does_not_count(archive, &good.record, shop, policy, *today) {
                None => evaluation.vetted_by.push(shop.name.clone()),
                Some(why) => why_not.push(format!("the vet of {} does not count: {why}", shop.name)),
            },
            _ => {}
        }
    }
    evaluation.vetted_by.sort();
    let count = evaluation.vetted_by.len();
    if count < policy.vets_needed {
        let shops = |n: usize| if n == 1 { "1 shop".to_string() } else { format!("{n} shops") };
        let wanted = shops(policy.vets_needed);
        evaluation.missing.push(format!("it needs vets by {wanted} (vets-needed); those of {count} count"));
        if said.records.iter().all(|v| v.record.sha256 != archive.sha256) {
            evaluation
                .missing
                .push("no vet of a shop in shops.toml is with it: ask for one, or vet it yourself".into());
        }
        evaluation.missing.append(&mut why_not);
    }
    for name in &policy.must_include {
        if !evaluation.vetted_by.contains(name) {
            evaluation.missing.push(format!("the vet of {name} is missing (must-include)"));
        }
    }
    evaluation
}

/// What one shop of the list says of these bytes.
struct Word<'r> {
    shop: &'r Shop,
    standing: Standing<'r>,
}

fn words_of_each<'r>(archive: &SignedArchive, records: &'r [VerifiedRecord]) -> Vec<Word<'r>> {
    let counts = |v: &&VerifiedRecord| v.record.sha256 == archive.sha256 && v.void.is_none();
    let about: Vec<&VerifiedRecord> = records.iter().filter(counts).collect();
    let mut words: Vec<Word> = vec![];
    for verified in &about {
        // The numbers go on from key to key of one shop: all of them are one voice.
        if words.iter().any(|w| w.shop.name == verified.shop.name) {
            continue;
        }
        let own = about.iter().copied().filter(|v| v.shop.name == verified.shop.name);
        let standing = standing(own, |v| v.record.is_about(archive.identity, archive.sha256));
        words.push(Word { shop: &verified.shop, standing });
    }
    words
}

/// Who says that these bytes are bad, and is not taken back: a shop of the list in a record, or one that was trusted when it
/// said so, whatever became of the trust.
fn stopped(archive: &SignedArchive, words: &[Word<'_>], said: Said<'_>) -> Vec<String> {
    let now = words.iter().filter(|w| w.shop.counts_for(&archive.identity.id));
    let mut stops: Vec<Stop> = now.filter_map(|w| Stop::of(w.standing.bad?)).collect();
    for stop in said.stops {
        // A later record of the same key, which is trusted still, took it back.
        let taken_back = words.iter().filter(|w| w.shop.has_key(&stop.key)).any(|w| match w.standing {
            Standing { bad: None, withdrawn, good } => {
                let later = withdrawn.or(good).map_or(0, |v| v.record.number);
                later > stop.number && w.shop.counts_for(&archive.identity.id)
            }
            Standing { bad: Some(_), .. } => false,
        });
        if !taken_back && stops.iter().all(|s| s.record != stop.record) {
            stops.push(stop.clone());
        }
    }
    stops.iter().filter(|s| !said.lifted.holds(s)).map(Stop::words).collect()
}

/// Why the shop that signed it is not trusted with it; nothing where it is.
fn untrusted_signer(archive: &SignedArchive, today: Day) -> Vec<String> {
    let (id, signer) = (&archive.identity.id, archive.signer);
    if let Some(void) = &archive.void {
        return vec![format!("the signature of {} does not count: {void}", signer.name)];
    }
    if !signer.covers(id, Purpose::Sign) {
        vec![format!("{} signed it, but is not trusted to sign {id}", signer.name)]
    } else if !signer.holds_on(today) {
        vec![format!(
            "{} signed it, but the trust in its key ended on {} (`plugin shops remove`, then `add`, gives it anew)",
            signer.name, signer.until
        )]
    } else {
        vec![]
    }
}

fn why_it_does_not_count(
    archive: &SignedArchive,
    record: &Record,
    shop: &Shop,
    policy: &Policy,
    today: Day,
) -> Option<String> {
    let undone: Vec<&str> = policy.must_have.iter().filter(|d| !record.did.contains(d)).map(|d| d.word()).collect();
    let age = today.days_since(record.date);
    if !record.is_about(archive.identity, archive.sha256) {
        Some(format!("it calls these bytes {} {}", record.plugin, record.version))
    } else if !shop.covers(&archive.identity.id, Purpose::Vet) {
        Some("it is not trusted to vet it".into())
    } else if !shop.holds_on(today) {
        Some(format!("the trust in its key ended on {} (`plugin shops remove`, then `add`, gives it anew)", shop.until))
    } else if shop.name == archive.signer.name && !policy.author_counts {
        Some("it signed the archive itself (author-counts)".into())
    } else if age < 0 {
        Some(format!("it is of {}, which has not come yet", record.date))
    } else if age > policy.vet_days.into() {
        Some(format!("it is of {}, older than {} days (vet-days)", record.date, policy.vet_days))
    } else if !undone.is_empty() {
        Some(format!("it leaves out {} (must-have)", undone.join(", ")))
    } else {
        None
    }
}
