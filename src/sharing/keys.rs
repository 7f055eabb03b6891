//! The key records of a home: which keys were called back and since when, who follows whom. A key that was called back stays
//! so for good. A successor is taken when a shop of the list, or a person of this shop, says that it compared the two: the
//! old key's word alone is what a thief has as well. Must not sign anything.

use super::key_record::{ENDING, KeyRecord, KeyWord, LONGEST};
use super::shops::{EarlierKey, Shop, Shops};
use super::sign::PublicKey;
use super::signed::Signed;
use super::stored::NewFiles;
use super::{Day, Home, SharingError, sha256};
use std::path::Path;

/// The key records of a home, each verified.
#[derive(Debug, Clone, Default)]
pub(super) struct KeyRecords(pub(super) Vec<KeyRecord>);

/// The keys this shop has and had.
///
/// # Errors
/// One of its public keys does not read.
pub(super) fn own_keys(home: &Home) -> Result<Vec<PublicKey>, SharingError> {
    let folder = home.key_folder();
    let mut keys = vec![];
    for name in home.names(&folder)?.iter().filter(|n| n.ends_with(".pub")) {
        let place = folder.join(name);
        let text = home.read_text(&place)?.unwrap_or_default();
        keys.push(PublicKey::from_file_text(&text).map_err(|m| SharingError::wrong(&place, m, ""))?);
    }
    Ok(keys)
}

impl KeyRecords {
    /// Those of a home.
    ///
    /// # Errors
    /// One of them is not what its key signed: nobody knows then which key it calls back.
    pub(super) fn load(home: &Home) -> Result<KeyRecords, SharingError> {
        let folder = home.key_records();
        let mut records = vec![];
        for name in home.names(&folder)?.iter().filter(|n| n.ends_with(ENDING)) {
            records.push(KeyRecord::verified(&Signed::read(&folder.join(name), LONGEST)?)?);
        }
        Ok(KeyRecords(records))
    }

    /// The keys that were called back, by their own word or by this shop's, and the first day on which each is not to be
    /// relied on.
    pub(super) fn revoked(&self, own: &[PublicKey]) -> Vec<(String, Day)> {
        let mut revoked: Vec<(String, Day)> = vec![];
        for record in self.0.iter().filter(|r| r.says == KeyWord::Revocation) {
            let ours = || own.iter().any(|key| key.text() == record.signed_by);
            if let (Some(since), true) = (record.since, record.signed_by == record.key || ours()) {
                match revoked.iter_mut().find(|(key, _)| *key == record.key) {
                    // Of two days the earlier holds.
                    Some((_, day)) => *day = since.min(*day),
                    None => revoked.push((record.key.clone(), since)),
                }
            }
        }
        revoked
    }

    /// The successions of a key: more than one new key is a quarrel, in which one of the two is a thief.
    pub(super) fn successions(&self, key: &PublicKey) -> Vec<&KeyRecord> {
        let text = key.text();
        let mut all: Vec<&KeyRecord> =
            self.0.iter().filter(|r| r.says == KeyWord::Succession && r.key == text).collect();
        all.sort_by_key(|r| r.number);
        all.dedup_by(|a, b| a.new_key == b.new_key);
        all
    }

    /// A shop of the list, other than the one it is about, that confirms a succession and is trusted today.
    fn confirmed_by<'s>(&self, succession: &KeyRecord, shops: &'s Shops, today: Day) -> Option<&'s Shop> {
        let confirms = |r: &&KeyRecord| {
            r.says == KeyWord::Confirmation && r.key == succession.key && r.new_key == succession.new_key
        };
        let mut signers = self.0.iter().filter(confirms).map(|r| &r.signed_by);
        signers.find_map(|signer| {
            shops.iter().find(|s| {
                let own = s.key.text() == *signer && !s.has_key(&succession.key);
                own && s.holds_on(today) && shops.revoked_since(&s.key).is_none()
            })
        })
    }
}

/// Keeps a key record in the home.
///
/// # Errors
/// The machine did not do it.
pub(super) fn keep(home: &Home, signed: &Signed) -> Result<(), SharingError> {
    let mut new = NewFiles::default();
    let place = home.key_records().join(format!("{}{ENDING}", sha256(&signed.bytes)));
    let result = new.signed(&place, signed);
    if result.is_err() {
        new.remove();
    }
    result
}

/// What became of key records that came in.
#[derive(Debug, Default)]
pub(super) struct KeysTaken {
    /// What changed.
    pub(super) changed: Vec<String>,
    /// What is left to somebody.
    pub(super) remarks: Vec<String>,
    /// Records that are not what they say.
    pub(super) errors: Vec<SharingError>,
}

/// Takes key records in: keeps those about keys of the list, and does what follows from them. With `write` false nothing is
/// written, and what would be is told. The home has to be held for writing.
///
/// # Errors
/// The home cannot be read, or the machine did not do it.
pub(super) fn take(
    home: &Home,
    handed: &[Signed],
    shops: &mut Shops,
    today: Day,
    write: bool,
) -> Result<KeysTaken, SharingError> {
    let mut taken = KeysTaken::default();
    let mut known = KeyRecords::load(home)?;
    for signed in handed {
        let name = signed.place.file_name().unwrap_or_default().to_string_lossy().into_owned();
        match KeyRecord::verified(signed) {
            Err(error) => taken.errors.push(error),
            Ok(record) if known.0.contains(&record) => {}
            Ok(record) if !shops.iter().any(|s| s.has_key(&record.key)) => {
                taken.remarks.push(format!("{name} does not count: it is about a key that is not in shops.toml"));
            }
            Ok(record) if record.says == KeyWord::Revocation && record.signed_by != record.key => {
                let since = record.since.map_or_else(String::new, |d| d.to_string());
                taken.remarks.push(format!(
                    "{name}: another shop calls the key of {} back since {since}; ask {0} by voice, then `deadfront plugin \
                     shops revoke` does so here",
                    record.shop
                ));
            }
            Ok(record) => {
                if write {
                    keep(home, signed)?;
                }
                if record.says == KeyWord::Revocation {
                    let since = record.since.map_or_else(String::new, |d| d.to_string());
                    taken.changed.push(format!("{} calls its key back since {since}: {}", record.shop, record.reason));
                }
                known.0.push(record);
            }
        }
    }
    shops.set_revoked(known.revoked(&own_keys(home)?));
    follow(&known, shops, today, &mut taken);
    if write && !taken.changed.is_empty() {
        super::disk::write_private(&home.shops(), shops.text().as_bytes())?;
    }
    Ok(taken)
}

/// Puts the successors in that somebody vouches for, and says what stands open.
fn follow(known: &KeyRecords, shops: &mut Shops, today: Day, taken: &mut KeysTaken) {
    let names: Vec<String> = shops.iter().map(|s| s.name.clone()).collect();
    for name in names {
        // A chain of several is followed to its end; a ring cannot be one, since each step leaves its key behind.
        while let Some(shop) = shops.named(&name) {
            let successions = known.successions(&shop.key);
            let next = match successions.as_slice() {
                [] => break,
                [one] => *one,
                _ => {
                    taken.remarks.push(format!(
                        "the key of {name} names two successors: one of them is a thief's. Neither is taken; ask the shop by \
                         voice, then `deadfront plugin shops revoke`"
                    ));
                    break;
                }
            };
            let called_back = shops.revoked_since(&shop.key).is_some();
            match (next.new_key(), known.confirmed_by(next, shops, today)) {
                (Some(new), Some(witness)) if !called_back && !shops.any_has(&new) => {
                    taken.changed.push(format!(
                        "{name} has a new key, which its old one names and {} confirms: {}",
                        witness.name,
                        new.fingerprint()
                    ));
                    shops.succeed(&name, new, next.number);
                }
                (Some(new), _) if !shops.any_has(&new) => {
                    taken.remarks.push(format!(
                        "the key of {name} names a successor, {}: compare it with the shop by voice, then `deadfront plugin shops \
                         confirm \"{name}\"`",
                        new.fingerprint()
                    ));
                    break;
                }
                _ => break,
            }
        }
    }
}

/// Takes the successor of a shop's key on a person's word.
///
/// # Errors
/// The shop is not listed, its key names no successor or several, or the machine did not do it.
pub(crate) fn confirm(home: &Home, name: &str) -> Result<(Shop, KeyRecord), SharingError> {
    let _alone = home.writing()?;
    let mut shops = Shops::load(home)?;
    let listed = shops.named(name).cloned().ok_or_else(|| not_listed(&home.shops(), name, &shops))?;
    let known = KeyRecords::load(home)?;
    let wrong = |message: String, help: &str| SharingError::wrong(&home.key_records(), message, help);
    let record = match known.successions(&listed.key).as_slice() {
        [one] => (*one).clone(),
        [] => {
            let help = "add the record it wrote (*.succession.keyrec) with `deadfront plugin add`";
            return Err(wrong(format!("the key of {name} names no successor"), help));
        }
        _ => {
            let help = "find out by voice which one is the shop's, call the old key back with `plugin shops revoke`, then \
                        `plugin shops add` the right one";
            return Err(wrong(format!("the key of {name} names two successors"), help));
        }
    };
    let new = record.new_key().filter(|new| !shops.any_has(new));
    let new = new.ok_or_else(|| wrong("the new key is that of another shop of the list".into(), ""))?;
    shops.succeed(name, new, record.number);
    super::disk::write_private(&home.shops(), shops.text().as_bytes())?;
    let shop = shops.named(name).cloned().unwrap_or(listed);
    Ok((shop, record))
}

/// The error of a name that is in no row.
pub(crate) fn not_listed(place: &Path, name: &str, shops: &Shops) -> SharingError {
    let names: Vec<&str> = shops.iter().map(|s| s.name.as_str()).collect();
    let help = if names.is_empty() { "none is".into() } else { format!("there are: {}", names.join(", ")) };
    SharingError::wrong(place, format!("\"{}\" is not listed", name.escape_debug()), help)
}

impl Shops {
    /// Gives a shop its new key; the old one's records count up to this number.
    pub(super) fn succeed(&mut self, name: &str, new: PublicKey, last_number: u64) {
        if let Some(shop) = self.named_mut(name) {
            let old = std::mem::replace(&mut shop.key, new);
            shop.earlier.push(EarlierKey { key: old, last_number });
        }
    }
}
