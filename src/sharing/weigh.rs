//! Records heard and weighed: whose word it is, what it says of these bytes, and whether that is what the policy asks
//! for. Pure: must not read or write a file.

use super::policy::Policy;
use super::shops::{For, Shop, Shops};
use super::sign::{ENDING, Signature};
use super::vet::{Opinion, Record};
use super::{Day, SharingError};
use crate::plugin::Identity;
use std::path::{Path, PathBuf};

/// A file and the signature beside it, as they were found.
#[derive(Debug, Clone)]
pub(super) struct Signed {
    pub(super) place: PathBuf,
    pub(super) bytes: Vec<u8>,
    /// None where there is no signature beside it.
    pub(super) signature: Option<Vec<u8>>,
}

/// Whose signature it is.
pub(super) enum Whose<'s> {
    Of(&'s Shop),
    /// A key that is not in the list, by its number.
    Stranger(String),
}

/// Where the signature of a file has to lie.
pub(super) fn signature_place(place: &Path) -> PathBuf {
    let mut name = place.as_os_str().to_os_string();
    name.push(ENDING);
    PathBuf::from(name)
}

impl Signed {
    /// Finds the shop that signed it. A signature by a listed key that does not fit the bytes is a fault.
    pub(super) fn whose<'s>(&self, shops: &'s Shops) -> Result<Whose<'s>, SharingError> {
        let place = signature_place(&self.place);
        let Some(bytes) = &self.signature else {
            let name = place.file_name().unwrap_or_default().to_string_lossy().into_owned();
            return Err(SharingError::wrong(&self.place, "has no signature", format!("put {name} beside it")));
        };
        let signature = Signature::read(bytes, &place)?;
        let number = signature.key_number();
        let mut listed = shops.iter().filter(|s| s.key.number() == number).peekable();
        if listed.peek().is_none() {
            return Ok(Whose::Stranger(number));
        }
        let names: Vec<&str> = listed.clone().map(|s| s.name.as_str()).collect();
        let message = format!("is not what the key of {} signed", names.join(", "));
        let help = "file or signature were changed, or belong to different files: ask for both again, byte for byte";
        listed
            .find(|s| signature.is_of(&s.key, &self.bytes))
            .map(Whose::Of)
            .ok_or_else(|| SharingError::wrong(&self.place, message, help))
    }
}

/// A record whose signature was verified with a listed key.
#[derive(Debug, Clone)]
pub(super) struct Voice {
    pub(super) record: Record,
    pub(super) shop: Shop,
    pub(super) signed: Signed,
}

/// What became of a heap of records.
#[derive(Debug, Default)]
pub(super) struct Heard {
    pub(super) voices: Vec<Voice>,
    /// Records that are changed, void or not signed.
    pub(super) faults: Vec<SharingError>,
    /// What is worth saying, without being a fault.
    pub(super) remarks: Vec<String>,
}

/// Verifies records one by one.
pub(super) fn hear(heap: Vec<Signed>, shops: &Shops) -> Heard {
    let mut heard = Heard::default();
    for signed in heap {
        match signed.whose(shops) {
            Err(fault) => heard.faults.push(fault),
            Ok(Whose::Stranger(number)) => {
                let name = signed.place.file_name().unwrap_or_default().to_string_lossy().into_owned();
                heard.remarks.push(format!("{name} does not count: key {number} is not in shops.toml"));
            }
            Ok(Whose::Of(shop)) => match Record::read(&signed.bytes, &signed.place) {
                Err(fault) => heard.faults.push(fault),
                Ok(record) if record.shop != shop.name => {
                    let message = format!("speaks for {}, but the key is that of {}", record.shop, shop.name);
                    let help = "a shop's name in shops.toml has to be the one it uses itself";
                    heard.faults.push(SharingError::wrong(&signed.place, message, help));
                }
                Ok(record) => heard.voices.push(Voice { record, shop: shop.clone(), signed }),
            },
        }
    }
    heard
}

/// What the records about one archive come to.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Weighed {
    /// Shops whose vets count.
    pub(super) vetted_by: Vec<String>,
    /// "known bad" of shops that are trusted with warnings, one sentence each.
    pub(super) bad: Vec<String>,
    /// What the policy asks for and is not there, one sentence each.
    pub(super) missing: Vec<String>,
}

/// The archive that is weighed.
pub(super) struct Subject<'a> {
    pub(super) identity: &'a Identity,
    pub(super) sha256: &'a str,
    pub(super) signer: &'a Shop,
}

/// Weighs the records about an archive. The signature over it is taken to be verified; whether its shop is trusted to
/// sign is weighed here.
pub(super) fn weigh(subject: &Subject, voices: &[Voice], policy: &Policy, today: Day) -> Weighed {
    let mut weighed = Weighed::default();
    let id = &subject.identity.id;
    let signer = subject.signer;
    if !signer.covers(id, For::Sign) {
        weighed.missing.push(format!("{} signed it, but is not trusted to sign {id}", signer.name));
    } else if !signer.holds_on(today) {
        weighed.missing.push(format!(
            "{} signed it, but the trust in its key ended on {} (`plugin shops remove`, then `add`, gives it anew)",
            signer.name, signer.until
        ));
    }
    let mut why_not = vec![];
    for Voice { record, shop, .. } in newest(subject, voices, today) {
        match record.result {
            Opinion::KnownBad if shop.covers(id, For::Warn) => {
                let note = if record.note.is_empty() { String::new() } else { format!(": {}", record.note) };
                weighed.bad.push(format!("{} says since {} that these bytes are bad{note}", shop.name, record.date));
            }
            Opinion::KnownBad => why_not.push(format!("{} calls it bad, but is not trusted to warn", shop.name)),
            Opinion::Withdrawn => why_not.push(format!("{} withdrew its vet on {}", shop.name, record.date)),
            Opinion::Good => match why_it_does_not_count(subject, record, shop, policy, today) {
                None => weighed.vetted_by.push(shop.name.clone()),
                Some(why) => why_not.push(format!("the vet of {} does not count: {why}", shop.name)),
            },
        }
    }
    weighed.vetted_by.sort();
    let count = weighed.vetted_by.len();
    if count < policy.vets_needed {
        let shops = |n: usize| if n == 1 { "1 shop".to_string() } else { format!("{n} shops") };
        let wanted = shops(policy.vets_needed);
        weighed.missing.push(format!("it needs vets by {wanted} (vets-needed); those of {count} count"));
        if voices.iter().all(|v| v.record.sha256 != subject.sha256) {
            weighed.missing.push("no vet of a shop in shops.toml is with it: ask for one, or vet it yourself".into());
        }
        weighed.missing.append(&mut why_not);
    }
    for name in &policy.must_include {
        if !weighed.vetted_by.contains(name) {
            weighed.missing.push(format!("the vet of {name} is missing (must-include)"));
        }
    }
    weighed
}

/// The record of each shop that holds: its newest about these bytes, and the gravest of one day. A warning is lifted only by
/// a later record that holds itself: not by one of a day to come (a clock was wrong), nor by one that means another plugin.
fn newest<'v>(subject: &Subject, voices: &'v [Voice], today: Day) -> Vec<&'v Voice> {
    let mut newest: Vec<&Voice> = vec![];
    for voice in voices.iter().filter(|v| v.record.sha256 == subject.sha256) {
        let speaks = |r: &Record| {
            r.result == Opinion::KnownBad || (r.date <= today && r.is_about(subject.identity, subject.sha256))
        };
        let age = |v: &Voice| (speaks(&v.record), v.record.date, v.record.result);
        match newest.iter_mut().find(|v| v.shop.key == voice.shop.key) {
            Some(other) if age(voice) > age(other) => *other = voice,
            Some(_) => {}
            None => newest.push(voice),
        }
    }
    newest
}

fn why_it_does_not_count(
    subject: &Subject,
    record: &Record,
    shop: &Shop,
    policy: &Policy,
    today: Day,
) -> Option<String> {
    let undone: Vec<&str> = policy.must_have.iter().filter(|d| !record.did.contains(d)).map(|d| d.word()).collect();
    let age = today.days_since(record.date);
    if !record.is_about(subject.identity, subject.sha256) {
        Some(format!("it calls these bytes {} {}", record.plugin, record.version))
    } else if !shop.covers(&subject.identity.id, For::Vet) {
        Some("it is not trusted to vet it".into())
    } else if !shop.holds_on(today) {
        Some(format!("the trust in its key ended on {} (`plugin shops remove`, then `add`, gives it anew)", shop.until))
    } else if shop.key == subject.signer.key && !policy.author_counts {
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
