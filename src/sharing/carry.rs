//! What a shop trusts and what it stopped, carried to a new machine in one signed file. What comes into a home that has a list
//! of its own can only make it stricter. Must not decide whom to trust.

use super::disk::{read_bounded, write_private, write_public};
use super::installation::Installation;
use super::keys::{KeyRecords, own_keys};
use super::lift::Lifted;
use super::names::error_in_path;
use super::own::OwnShop;
use super::policy::Policy;
use super::seen::Seen;
use super::shops::Shops;
use super::sign::{PublicKey, Signature};
use super::signed::signature_place;
use super::{Day, Home, SharingError, stop};
use serde::{Deserialize, Serialize};
use std::path::Path;

/// Longest file that is read.
const LONGEST: u64 = 16 << 20;

#[derive(Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct Parcel {
    format: u32,
    shop: String,
    date: Day,
    /// The key that signs it.
    key: String,
    #[serde(default)]
    file: Vec<OneFile>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct OneFile {
    name: String,
    text: String,
}

/// What was written.
#[derive(Debug, Clone)]
pub(crate) struct Carried {
    /// This shop.
    pub shop: String,
    /// Its key, which signed the file.
    pub key: PublicKey,
    /// Names of what is in it.
    pub files: Vec<String>,
    /// Whether its own secret key is.
    pub with_key: bool,
}

/// What was taken in.
#[derive(Debug, Clone)]
pub(crate) struct Taken {
    /// The shop that wrote the file.
    pub shop: String,
    /// When.
    pub date: Day,
    /// Whether there was a list already, so that only what is stricter came in.
    pub merged: bool,
    /// What came in.
    pub took: Vec<String>,
    /// What did not.
    pub left: Vec<String>,
}

impl OwnShop {
    /// Writes what this shop trusts into a signed file.
    ///
    /// # Errors
    /// The home cannot be read, or the machine did not do it.
    pub(crate) fn carry(&self, home: &Home, place: &Path, with_key: bool, date: Day) -> Result<Carried, SharingError> {
        let _held = home.reading()?;
        let mut file = vec![];
        for name in names(home, with_key)? {
            let text = home.read_text(&home.root().join(&name))?;
            file.extend(text.map(|text| OneFile { name, text }));
        }
        for name in home.names(&home.plugins())? {
            let Some(id) = name.strip_suffix(".toml") else { continue };
            let Some(state) = Installation::load(home, id)? else { continue };
            // The archive stays behind; the version that must not be gone back behind goes along.
            let text = Installation { installed: false, kept: vec![], ..state }.text();
            file.push(OneFile { name: format!("plugins/{name}"), text });
        }
        let files = file.iter().map(|f| f.name.clone()).collect();
        let parcel = Parcel { format: 1, shop: self.name.clone(), date, key: self.key.text(), file };
        // Texts and days always become TOML.
        let body = toml::to_string(&parcel).unwrap_or_default();
        let text = format!(
            "# What a shop trusts, for another machine of the same shop. Written by `deadfront plugin trust export`.\n{body}"
        );
        let signature = self.signed(text.as_bytes(), &format!("deadfront trust {date}"), place)?;
        let write = if with_key { write_private } else { write_public };
        write(&signature_place(place), signature.as_bytes())?;
        write(place, text.as_bytes())?;
        Ok(Carried { shop: self.name.clone(), key: self.key.clone(), files, with_key })
    }
}

/// The files of a home that go along, by their paths in it.
fn names(home: &Home, with_key: bool) -> Result<Vec<String>, SharingError> {
    let mut all = vec!["shops.toml".to_string(), "policy.toml".into(), "seen.toml".into()];
    let mut folder = |name: &str, keep: &dyn Fn(&str) -> bool| -> Result<(), SharingError> {
        let inside = home.names(&home.root().join(name))?;
        all.extend(inside.into_iter().filter(|n| keep(n)).map(|n| format!("{name}/{n}")));
        Ok(())
    };
    folder("key", &|n| with_key || n.ends_with(".pub"))?;
    for plain in ["lifts", "key-records", "shelves"] {
        folder(plain, &|_| true)?;
    }
    for about in home.names(&home.stops())? {
        folder(&format!("stops/{about}"), &|_| true)?;
    }
    Ok(all)
}

/// Whether a file may come in under this name.
fn may_be(name: &str) -> bool {
    let folder = name.split_once('/').map(|(folder, _)| folder);
    let known = match folder {
        None => matches!(name, "shops.toml" | "policy.toml" | "seen.toml"),
        Some(folder) => ["key", "lifts", "key-records", "shelves", "stops", "plugins"].contains(&folder),
    };
    let depth = usize::from(folder == Some("stops")) + 1;
    // A name that only rises is 64 digits and its endings.
    known
        && name.len() < 180
        && name.split('/').all(|part| error_in_path(part, 0).is_none())
        && name.matches('/').count() <= depth
}

/// Takes what such a file holds into a home.
///
/// # Errors
/// It is not what the key it names signed, that key is not this shop's, something in it does not read, or the machine did not
/// do it.
pub(crate) fn take(home: &Home, place: &Path, fingerprint: Option<&str>) -> Result<Taken, SharingError> {
    let _alone = home.writing()?;
    let help = "write it anew on the old machine with `deadfront plugin trust export`";
    let bytes = read_bounded(place, LONGEST)?;
    let beside = signature_place(place);
    let signature = Signature::read(&read_bounded(&beside, super::sign::LONGEST)?, &beside)?;
    let text = std::str::from_utf8(&bytes).map_err(|_| SharingError::wrong(place, "is not UTF-8", help))?;
    let parcel: Parcel = toml::from_str(text).map_err(|e| SharingError::toml(place, text, &e, help))?;
    let key = PublicKey::from_text(&parcel.key).map_err(|m| SharingError::wrong(place, m, help))?;
    if parcel.format != 1 || !signature.is_of(&key, &bytes) {
        return Err(SharingError::wrong(place, "is not what the key it names signed", help));
    }
    let digits = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
    let told = fingerprint.is_some_and(|f| digits(f) == digits(&key.fingerprint()));
    if !told && !own_keys(home)?.contains(&key) {
        let help = "give --fingerprint with the 12 groups that the old machine shows (`deadfront plugin shops`)";
        return Err(SharingError::refused(place, "is signed with a key that is not this shop's", help));
    }
    if let Some(other) = parcel.file.iter().find(|f| !may_be(&f.name)) {
        let message = format!("holds {}, which is no part of what a shop trusts", other.name.escape_debug());
        return Err(SharingError::wrong(place, message, help));
    }
    sound(&parcel, place)?;
    let merged = home.shops().symlink_metadata().is_ok();
    let mut taken = Taken { shop: parcel.shop.clone(), date: parcel.date, merged, took: vec![], left: vec![] };
    let mut files: Vec<&OneFile> = parcel.file.iter().collect();
    // The list comes last: a run that is cut short can be made again.
    files.sort_by_key(|f| f.name == "shops.toml");
    for OneFile { name, text } in files {
        let to = home.root().join(name);
        let stricter = ["stops/", "key-records/"].iter().any(|f| name.starts_with(f))
            || (name.starts_with("plugins/") && raises(home, name, text));
        let here = to.symlink_metadata().is_ok();
        if (here && !name.starts_with("plugins/")) || (merged && !stricter) || (here && !stricter) {
            if std::fs::read(&to).ok().as_deref() != Some(text.as_bytes()) {
                taken.left.push(name.clone());
            }
            continue;
        }
        let public = name.ends_with(".pub");
        if public {
            write_public(&to, text.as_bytes())?
        } else {
            write_private(&to, text.as_bytes())?
        }
        taken.took.push(name.clone());
    }
    private(&home.key_folder());
    Ok(taken)
}

/// Whether the version that is remembered of a plugin is newer than the one here, where none is installed.
fn raises(home: &Home, name: &str, text: &str) -> bool {
    let id = name.trim_start_matches("plugins/").trim_end_matches(".toml");
    let (Ok(new), Ok(here)) = (toml::from_str::<Installation>(text), Installation::load(home, id)) else {
        return false;
    };
    !new.installed && here.is_none_or(|here| !here.installed && here.version < new.version)
}

/// Lays it into a folder of its own and reads it there as a home is read.
fn sound(parcel: &Parcel, place: &Path) -> Result<(), SharingError> {
    let failed = |e: std::io::Error| SharingError::machine(place, "no room to look through it", &e);
    let folder = tempfile::tempdir().map_err(failed)?;
    let trial = Home::at(folder.path());
    for OneFile { name, text } in &parcel.file {
        write_private(&trial.root().join(name), text.as_bytes())?;
    }
    let read = || -> Result<(), SharingError> {
        Policy::load(&trial)?;
        Shops::load(&trial)?;
        Lifted::load(&trial)?;
        KeyRecords::load(&trial)?;
        Seen::load(&trial)?;
        stop::all(&trial)?;
        for name in trial.names(&trial.plugins())? {
            let id = name.strip_suffix(".toml").unwrap_or(&name);
            if Installation::load(&trial, id)?.is_some_and(|s| s.installed) {
                return Err(SharingError::wrong(place, format!("says that {id} is installed"), ""));
            }
        }
        Ok(())
    };
    read().map_err(|e| SharingError::wrong(place, format!("holds what does not read: {}", e.message), e.help))
}

/// Nobody but this user looks into the folder of keys.
fn private(folder: &Path) {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let _ = std::fs::set_permissions(folder, std::fs::Permissions::from_mode(0o700));
    }
    #[cfg(not(unix))]
    let _ = folder;
}
