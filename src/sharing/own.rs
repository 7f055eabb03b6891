//! What this shop does with its own key: make it, sign archives, write vet records. Must not ask for a password
//! itself, nor know where one comes from.

use super::archive::{self, Package};
use super::disk::{read_bounded, write_new, write_private, write_public};
use super::guard::private_folder;
use super::keys::not_listed;
use super::policy::Policy;
use super::rotate;
use super::shops::{Purpose, Shop, Shops};
use super::sign::{PublicKey, SecretKey};
use super::signed::signature_place;
use super::stored::keep_stops;
use super::vet::{Did, Record, VetResult};
use super::{Day, Home, SharingError};
use std::path::{Path, PathBuf};

/// This shop with its key unlocked.
pub(crate) struct OwnShop {
    secret: SecretKey,
    /// Its name, as in `shops.toml`.
    pub name: String,
    /// Its public key.
    pub key: PublicKey,
}

/// Makes this shop's key, locked with a password, and lists the shop in its own `shops.toml`.
///
/// # Errors
/// There is a key already, the name cannot be used, or the machine did not do it.
pub(crate) fn make(home: &Home, name: &str, password: &str, today: Day) -> Result<Shop, SharingError> {
    let place = home.secret_key();
    if password.is_empty() {
        return Err(SharingError::wrong(
            &place,
            "the password is empty",
            "the key is kept encrypted; give it a password",
        ));
    }
    let _alone = home.writing()?;
    let policy = Policy::load(home)?;
    let mut shops = Shops::load(home)?;
    let (key, locked) = match home.read_text(&place)?.filter(|locked| !is_revoked(locked, password, &shops)) {
        // A run that was ended between key and list left a key that nothing was signed with: it is that one.
        Some(locked) => (unlisted_key(&locked, password, &shops, &place)?, locked),
        None => SecretKey::generate(password).map_err(|m| SharingError::wrong(&place, m, ""))?,
    };
    let until = today.after(policy.trust_days);
    let shop = Shop { name: name.into(), key, trusted: Purpose::ALL.to_vec(), only: vec![], until, earlier: vec![] };
    shops.add(shop.clone(), &policy, today, &home.shops())?;
    Policy::write_once(home)?;
    private_folder(&home.key_folder())
        .map_err(|e| SharingError::machine(&home.key_folder(), "could not be made; nothing was changed", &e))?;
    write_private(&place, locked.as_bytes())?;
    write_public(&home.public_key(), shop.key.file_text(name).as_bytes())?;
    write_private(&home.shops(), shops.text().as_bytes())?;
    Ok(shops.named(name).cloned().unwrap_or(shop))
}

/// Whether it is a key of this shop that was called back, so that a new one may take its place.
fn is_revoked(locked: &str, password: &str, shops: &Shops) -> bool {
    let key = SecretKey::unlock(locked, password).and_then(|secret| secret.key());
    key.is_ok_and(|key| shops.revoked_since(&key).is_some())
}

/// The key that is there, where no shop of the list has it.
fn unlisted_key(locked: &str, password: &str, shops: &Shops, place: &Path) -> Result<PublicKey, SharingError> {
    let help = "a shop has one key; whoever trusts it knows it by that one";
    let taken = || SharingError::wrong(place, "this shop has a key already", help);
    let key = SecretKey::unlock(locked, password).and_then(|secret| secret.key()).map_err(|_| taken())?;
    if shops.iter().any(|s| s.key == key) { Err(taken()) } else { Ok(key) }
}

/// Lists a shop as trusted.
///
/// # Errors
/// The key does not read, name or key are listed, or the trust would last too long.
pub(crate) fn trust(home: &Home, name: &str, key: &Path, given: TrustTerms, today: Day) -> Result<Shop, SharingError> {
    let _alone = home.writing()?;
    let policy = Policy::load(home)?;
    let mut shops = Shops::load(home)?;
    let text = String::from_utf8_lossy(&read_bounded(key, super::sign::LONGEST)?).into_owned();
    let key =
        PublicKey::from_file_text(&text).map_err(|m| SharingError::wrong(key, m, "ask the shop for its .pub file"))?;
    let until = given.until.unwrap_or(today.after(policy.trust_days));
    let shop = Shop { name: name.into(), key, trusted: given.trusted, only: given.only, until, earlier: vec![] };
    shops.add(shop.clone(), &policy, today, &home.shops())?;
    Policy::write_once(home)?;
    write_private(&home.shops(), shops.text().as_bytes())?;
    Ok(shops.named(name).cloned().unwrap_or(shop))
}

/// The list of shops; where the home has no policy yet, the commented one is written.
///
/// # Errors
/// The list cannot be read, or the machine did not do it.
pub(crate) fn shops(home: &Home) -> Result<Shops, SharingError> {
    if home.policy().symlink_metadata().is_err() {
        let _alone = home.writing()?;
        Policy::write_once(home)?;
    }
    let _held = home.reading()?;
    Shops::load(home)
}

/// How far a shop is trusted.
#[derive(Debug, Clone)]
pub(crate) struct TrustTerms {
    /// For what.
    pub trusted: Vec<Purpose>,
    /// For which plugins; empty means all.
    pub only: Vec<String>,
    /// Until when; None means as long as the policy lets it.
    pub until: Option<Day>,
}

/// Ends the trust in a shop. What it stopped stays stopped.
///
/// # Errors
/// It is not listed, or the machine did not do it.
pub(crate) fn distrust(home: &Home, name: &str) -> Result<(), SharingError> {
    let _alone = home.writing()?;
    let mut shops = Shops::load(home)?;
    keep_stops(home, &shops)?;
    if !shops.remove(name) {
        return Err(not_listed(&home.shops(), name, &shops));
    }
    write_private(&home.shops(), shops.text().as_bytes())
}

/// Packs a plugin's folder into `into`.
///
/// # Errors
/// Everything in the folder that cannot travel; or the machine did not do it.
pub(crate) fn pack(home: &Home, folder: &Path, into: &Path) -> Result<(Package, PathBuf), Vec<SharingError>> {
    let one = |error| vec![error];
    let policy = Policy::load(home).map_err(one)?;
    let files = archive::read_folder(folder, &policy.archive)?;
    let (package, bytes) = archive::pack(&files, folder).map_err(one)?;
    // Another shop could only find out by adding it.
    archive::usable(&files, folder)?;
    let place = into.join(format!("{}{}", package.identity.stem(), archive::ENDING));
    write_new(&place, &bytes).map_err(one)?;
    Ok((package, place))
}

impl OwnShop {
    /// Unlocks this shop's key.
    ///
    /// # Errors
    /// There is no key, the password is wrong, or the shop does not list itself.
    pub(crate) fn unlock(home: &Home, password: &str) -> Result<OwnShop, SharingError> {
        OwnShop::unlock_key(home, None, password)
    }

    /// Unlocks the key of this number, which this shop handed on; without a number the one it has now.
    ///
    /// # Errors
    /// As [`OwnShop::unlock`].
    pub(crate) fn unlock_key(home: &Home, number: Option<&str>, password: &str) -> Result<OwnShop, SharingError> {
        let wanted = number.map(|n| rotate::secret_place(home, &n.to_uppercase()));
        let held = home.reading()?;
        home.key_is_private()?;
        let place = match wanted {
            None => home.secret_key(),
            Some(Some(place)) => place,
            Some(None) => {
                let help = "`deadfront plugin shops` lists the numbers; the secret part has to be here";
                return Err(SharingError::wrong(&home.key_folder(), "holds no earlier key of that number", help));
            }
        };
        let none =
            || SharingError::wrong(&place, "this shop has no key", "make one with `deadfront plugin shops own NAME`");
        let text = home.read_text(&place)?.ok_or_else(none)?;
        let wrong =
            |message: String| SharingError::wrong(&place, format!("the key could not be unlocked: {message}"), "");
        let secret = SecretKey::unlock(&text, password).map_err(wrong)?;
        let key = secret.key().map_err(wrong)?;
        let mut shops = Shops::load(home)?;
        if !shops.any_has(&key) {
            drop(held);
            let _alone = home.writing()?;
            rotate::finish(home, &key)?;
            shops = Shops::load(home)?;
        }
        if let (None, Some(since)) = (number, shops.revoked_since(&key)) {
            let help = "`deadfront plugin shops own NAME` makes a new one";
            return Err(SharingError::wrong(&place, format!("the key was called back since {since}"), help));
        }
        let own = shops.iter().find(|s| s.has_key(&key.text()));
        let unlisted = || {
            let help = format!("list it: `deadfront plugin shops add NAME {}`", home.public_key().display());
            SharingError::wrong(&home.shops(), "this shop's own key is not listed, so that it has no name", help)
        };
        Ok(OwnShop { name: own.ok_or_else(unlisted)?.name.clone(), key, secret })
    }

    /// Signs an archive; the signature lies beside it.
    ///
    /// # Errors
    /// The archive is not what `pack` writes, another signature is there, or the machine did not do it.
    pub(crate) fn sign(&self, home: &Home, place: &Path) -> Result<(Package, PathBuf), SharingError> {
        let (package, bytes) = read_archive(home, place)?;
        let comment = format!("deadfront plugin {} {}", package.identity.id, package.identity.version);
        let signature = self.signature(place, &bytes, &comment)?;
        Ok((package, signature))
    }

    fn signature(&self, place: &Path, bytes: &[u8], comment: &str) -> Result<PathBuf, SharingError> {
        let beside = signature_place(place);
        if beside.symlink_metadata().is_ok() {
            return Err(SharingError::wrong(&beside, "is there already", "move it out of the way to sign again"));
        }
        write_new(&beside, self.signed(bytes, comment, place)?.as_bytes())?;
        Ok(beside)
    }

    /// The text of a signature of what is to lie at `place`.
    pub(crate) fn signed(&self, bytes: &[u8], comment: &str, place: &Path) -> Result<String, SharingError> {
        self.secret.sign(bytes, comment).map_err(|m| SharingError::wrong(place, m, ""))
    }

    /// The number of the next record of this key, noted as used. The home has to be held for writing.
    pub(super) fn next_number(&self, home: &Home) -> Result<u64, SharingError> {
        let place = home.counter();
        let help =
            "it holds the number of this key's last record: put it back from a copy of the home, or write a higher one";
        let text = home.read_text(&place)?.unwrap_or_else(|| "0".into());
        let last: Option<u64> = text.trim().parse().ok().filter(|n| *n < u64::from(u32::MAX));
        let next = last.ok_or_else(|| SharingError::wrong(&place, "is no number", help))? + 1;
        write_private(&place, format!("{next}\n").as_bytes())?;
        Ok(next)
    }

    /// Writes and signs a record about an archive; both lie beside it.
    ///
    /// # Errors
    /// The archive is not what `pack` writes, "good" is said without anything done, such a record is there already, or
    /// the machine did not do it.
    pub(crate) fn vet(&self, home: &Home, place: &Path, said: Statement) -> Result<(Record, PathBuf), SharingError> {
        let package = vettable(home, place, &said)?;
        let mut did = said.did;
        did.sort();
        did.dedup();
        let _alone = home.writing()?;
        let record = Record {
            format: super::vet::FORMAT,
            number: self.next_number(home)?,
            program: env!("CARGO_PKG_VERSION").into(),
            cases: said.cases,
            plugin: package.identity.id,
            version: package.identity.version,
            sha256: package.sha256,
            shop: self.name.clone(),
            date: said.date,
            did,
            result: said.result,
            note: said.note,
        };
        let text = record.text();
        let file = place.with_file_name(record.file_name());
        // Read as every other shop will read it.
        Record::read(text.as_bytes(), &file)?;
        if text.len() as u64 > super::vet::LONGEST {
            return Err(SharingError::wrong(&file, "the note is too long", "16 KiB is the most a record can hold"));
        }
        if file.symlink_metadata().is_ok() {
            return Err(SharingError::wrong(&file, "is there already", "move it out of the way"));
        }
        self.signature(&file, text.as_bytes(), &record.comment())?;
        write_new(&file, text.as_bytes())?;
        Ok((record, file))
    }
}

/// What a shop says about an archive.
#[derive(Debug, Clone)]
pub(crate) struct Statement {
    /// What was done.
    pub did: Vec<Did>,
    /// How many of its cases this program saw come out as expected.
    pub cases: usize,
    /// What came of it.
    pub result: VetResult,
    /// Anything else.
    pub note: String,
    /// Today.
    pub date: Day,
}

/// The archive that a record is to be about.
///
/// # Errors
/// It is none, or what is said of it does not hold together.
pub(super) fn vettable(home: &Home, place: &Path, said: &Statement) -> Result<Package, SharingError> {
    let (package, _) = read_archive(home, place)?;
    if said.result == VetResult::Good && said.did.is_empty() {
        let words: Vec<&str> = Did::ALL.iter().map(|d| d.word()).collect();
        let help = format!("add --did for each thing that was done: {}", words.join(", "));
        return Err(SharingError::wrong(place, "\"good\" needs what was done with it", help));
    }
    if let (VetResult::Good, Err(errors)) = (said.result, archive::usable(&package.files, place)) {
        let why = errors.first().map_or_else(String::new, ToString::to_string);
        return Err(SharingError::wrong(place, format!("no check can use it: {why}"), ""));
    }
    if said.did.contains(&Did::RanItsCases) && said.cases == 0 {
        return Err(SharingError::wrong(place, "its cases were not run", "leave --did ran-its-cases out"));
    }
    Ok(package)
}

/// An archive, read as it would be added.
///
/// # Errors
/// It is none, or is not what `pack` writes.
pub(crate) fn read_archive(home: &Home, place: &Path) -> Result<(Package, Vec<u8>), SharingError> {
    if !place.is_file() {
        let help = format!("`deadfront plugin pack FOLDER` makes an archive ID-VERSION{}", archive::ENDING);
        let what = if place.exists() { "is no archive" } else { "is not there" };
        return Err(SharingError::wrong(place, what, help));
    }
    let policy = Policy::load(home)?;
    let bytes = read_bounded(place, policy.archive.archive_bytes())?;
    Ok((archive::read(&bytes, place, &policy.archive)?, bytes))
}
