//! What a shop says with its key about keys: that another follows it, that another shop's successor was compared, that a key is
//! called back. Must not decide what others make of it.

use super::disk::{write_new, write_private, write_public};
use super::key_record::{KeyRecord, KeyWord, statement};
use super::keys::{KeyRecords, keep, not_listed};
use super::own::OwnShop;
use super::seen::Seen;
use super::shops::{Shop, Shops};
use super::sign::{PublicKey, SecretKey};
use super::signed::Signed;
use super::{Day, Home, SharingError, install, names};
use std::path::{Path, PathBuf};

/// What a key record is written with.
#[derive(Debug, Clone)]
pub(crate) struct KeyStatement {
    /// Why.
    pub reason: String,
    /// Folder into which the record is written for other shops.
    pub into: PathBuf,
    /// Today.
    pub date: Day,
}

/// A key record that was written, and where.
#[derive(Debug, Clone)]
pub(crate) struct KeyWritten {
    /// The record.
    pub record: KeyRecord,
    /// Its file.
    pub place: PathBuf,
}

impl OwnShop {
    /// Gives this shop a new key, locked with the same password: the old one names it, both sign. The old one stays beside
    /// it, so that it can be called back one day.
    ///
    /// # Errors
    /// The machine did not do it. A rotation that was cut short is taken up again by the next one.
    pub(crate) fn rotate(
        &self,
        home: &Home,
        password: &str,
        said: &KeyStatement,
    ) -> Result<(Shop, KeyWritten), SharingError> {
        let _alone = home.writing()?;
        let mut shops = Shops::load(home)?;
        let next = home.key_folder().join("next.key");
        let failed = |m: String| SharingError::wrong(&next, m, "");
        let locked = match home.read_text(&next)? {
            Some(locked) => locked,
            None => {
                let (_, locked) = SecretKey::generate(password).map_err(failed)?;
                // On the disk before anything names it.
                write_private(&next, locked.as_bytes())?;
                locked
            }
        };
        let secret = SecretKey::unlock(&locked, password).map_err(failed)?;
        let new = secret.key().map_err(failed)?;
        let written = match KeyRecords::load(home)?.successions(&self.key).into_iter().find(|r| r.new_key == new.text())
        {
            Some(record) => KeyWritten { record: record.clone(), place: said.into.join(record.file_name()) },
            None => {
                let proof = secret.sign(statement(&self.key, &new).as_bytes(), "deadfront key").map_err(failed)?;
                let record = KeyRecord { new_key: new.text(), proof, ..self.record(home, KeyWord::Succession, said)? };
                self.write(home, record, said)?
            }
        };
        set_aside(home, &self.key, "earlier")?;
        let machine = |e: std::io::Error| SharingError::machine(&next, "could not be renamed", &e);
        std::fs::rename(&next, home.secret_key()).map_err(machine)?;
        write_public(&home.public_key(), new.file_text(&self.name).as_bytes())?;
        shops.succeed(&self.name, new, written.record.number);
        write_private(&home.shops(), shops.text().as_bytes())?;
        let shop = shops.named(&self.name).cloned().ok_or_else(|| not_listed(&home.shops(), &self.name, &shops))?;
        Ok((shop, written))
    }

    /// Says to others that this shop compared the new key of another with it.
    ///
    /// # Errors
    /// The machine did not do it.
    pub(crate) fn confirmation(
        &self,
        home: &Home,
        of: &KeyRecord,
        said: &KeyStatement,
    ) -> Result<KeyWritten, SharingError> {
        let _alone = home.writing()?;
        let record = self.record(home, KeyWord::Confirmation, said)?;
        let (shop, key, new_key) = (of.shop.clone(), of.key.clone(), of.new_key.clone());
        self.write(home, KeyRecord { shop, key, new_key, ..record }, said)
    }

    /// Calls a key back: this shop's own, or in this shop alone that of another. Of this shop's own the secret part is set
    /// aside; `shops own` makes a new one then.
    ///
    /// # Errors
    /// The reason is missing, or the machine did not do it.
    pub(crate) fn revoke(
        &self,
        home: &Home,
        of: Option<&Shop>,
        since: Day,
        said: &KeyStatement,
    ) -> Result<KeyWritten, SharingError> {
        let _alone = home.writing()?;
        if let Some(error) = names::error_in_words(&said.reason) {
            let help = "say why the key is called back; it is told to everybody";
            return Err(SharingError::wrong(&home.key_records(), format!("--reason {error}"), help));
        }
        // What is here counts as here since today at the latest.
        Seen::note(home, said.date, &install::everything_here(home)?)?;
        let record = self.record(home, KeyWord::Revocation, said)?;
        let (shop, key) = of.map_or((self.name.clone(), self.key.text()), |s| (s.name.clone(), s.key.text()));
        let written = self.write(home, KeyRecord { shop, key, since: Some(since), ..record }, said)?;
        if of.is_none() {
            set_aside(home, &self.key, "revoked")?;
            clear(home, &self.key)?;
        }
        Ok(written)
    }

    fn record(&self, home: &Home, says: KeyWord, said: &KeyStatement) -> Result<KeyRecord, SharingError> {
        Ok(KeyRecord {
            format: 1,
            says,
            number: self.next_number(home)?,
            shop: self.name.clone(),
            key: self.key.text(),
            signed_by: self.key.text(),
            new_key: String::new(),
            proof: String::new(),
            since: None,
            date: said.date,
            reason: said.reason.clone(),
        })
    }

    fn write(&self, home: &Home, record: KeyRecord, said: &KeyStatement) -> Result<KeyWritten, SharingError> {
        let place = said.into.join(record.file_name());
        let bytes = record.text().into_bytes();
        let signature = self.signed(&bytes, &record.comment(), &place)?.into_bytes();
        let signed = Signed { place: place.clone(), bytes, signature: Some(signature) };
        // Read as every other shop will read it.
        let record = KeyRecord::verified(&signed)?;
        keep(home, &signed)?;
        write_new(&said.into.join(record.signature_name()), signed.signature.as_deref().unwrap_or_default())?;
        write_new(&place, &signed.bytes)?;
        Ok(KeyWritten { record, place })
    }
}

/// Copies this shop's key beside itself, named after its number.
fn set_aside(home: &Home, key: &PublicKey, how: &str) -> Result<(), SharingError> {
    let name = |ending: &str| home.key_folder().join(format!("{how}-{}.{ending}", key.number()));
    if let Some(locked) = home.read_text(&home.secret_key())? {
        write_private(&name("key"), locked.as_bytes())?;
    }
    write_public(&name("pub"), format!("{}\n", key.text()).as_bytes())
}

/// Takes the key out of its place, where it still stands there.
fn clear(home: &Home, key: &PublicKey) -> Result<(), SharingError> {
    let standing = home.read_text(&home.public_key())?;
    if standing.is_none_or(|text| PublicKey::from_file_text(&text).is_ok_and(|own| own == *key)) {
        for place in [home.secret_key(), home.public_key()] {
            match std::fs::remove_file(&place) {
                Err(e) if e.kind() != std::io::ErrorKind::NotFound => {
                    return Err(SharingError::machine(&place, "could not be removed", &e));
                }
                _ => {}
            }
        }
    }
    Ok(())
}

/// Ends a rotation that was cut short between the key and the list. The home has to be held for writing.
///
/// # Errors
/// The home cannot be read, or the machine did not do it.
pub(super) fn finish(home: &Home, key: &PublicKey) -> Result<(), SharingError> {
    let mut shops = Shops::load(home)?;
    let records = KeyRecords::load(home)?;
    let names: Vec<(String, PublicKey)> = shops.iter().map(|s| (s.name.clone(), s.key.clone())).collect();
    for (name, old) in names {
        if let Some(record) = records.successions(&old).into_iter().find(|r| r.new_key == key.text()) {
            shops.succeed(&name, key.clone(), record.number);
            write_public(&home.public_key(), key.file_text(&name).as_bytes())?;
            return write_private(&home.shops(), shops.text().as_bytes());
        }
    }
    Ok(())
}

/// The secret key of this shop with this number, whether it stands in its place or was set aside.
pub(super) fn secret_place(home: &Home, number: &str) -> Option<PathBuf> {
    let place = |how: &str| home.key_folder().join(format!("{how}-{number}.key"));
    ["earlier", "revoked"].map(place).into_iter().find(|p: &PathBuf| Path::is_file(p))
}
