//! A shelf: a folder in which plugins, records and keys lie for others to fetch (a stick, a git work tree, a mounted share),
//! with one signed index of its files. The index lists and never vouches: what is on the shelf is held against the policy like
//! anything else. Must not decide what comes in.
//!
//! ```text
//! plugins/ID/VERSION/ID-VERSION.tar.gz (+ .minisig, + vets)    vets/*.vet    keys/*.pub, *.keyrec
//! index.toml (+ .minisig)    .gitattributes
//! ```

use super::disk::{read_bounded, write_new, write_public};
use super::names::{ARCHIVE_ENDING, KEY_RECORD_ENDING, RECORD_ENDING, SIGNATURE_ENDING};
use super::own::OwnShop;
use super::policy::Policy;
use super::signed::{Signed, signature_place};
use super::{Day, Home, SharingError, names, parcel, sha256};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Name of the index.
pub(super) const INDEX: &str = "index.toml";
/// Longest index that is read.
pub(super) const LONGEST: u64 = 1 << 20;
/// Most files of a shelf.
const MOST_FILES: usize = 5000;
/// Folders that are looked into, and how deep files lie in them.
const FOLDERS: [&str; 3] = ["plugins", "vets", "keys"];
const DEPTH: usize = 3;
/// Ending of a public key's file.
const KEY_ENDING: &str = ".pub";

/// What git must not do to files that are signed byte for byte.
const ATTRIBUTES: &str =
    "# Written by `deadfront plugin shelf make`: a changed line end breaks a signature.\n* -text\n";

/// The index of a shelf.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(crate) struct Index {
    pub(super) format: u32,
    /// Number of the index within the key that signs it: it only rises.
    pub serial: u64,
    /// Shop that keeps the shelf.
    pub shop: String,
    /// Name of the shelf: a shop may keep several.
    pub shelf: String,
    /// Day on which it was made.
    pub made: Day,
    /// Last day on which it is to be believed that nothing newer is there.
    pub expires: Day,
    /// The files, by name.
    #[serde(default, rename = "file")]
    pub files: Vec<IndexFile>,
}

/// One file of a shelf.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(crate) struct IndexFile {
    /// Its path from the shelf's folder.
    pub path: String,
    /// sha256 of its bytes.
    pub sha256: String,
}

impl Index {
    /// Reads the bytes of an index.
    ///
    /// # Errors
    /// It is not understood in full, or names what cannot lie on a shelf.
    pub(super) fn read(bytes: &[u8], place: &Path) -> Result<Index, SharingError> {
        let help = "an index that is not understood in full holds nothing: update deadfront, or ask the shop";
        let text = std::str::from_utf8(bytes).map_err(|_| SharingError::wrong(place, "is not UTF-8", help))?;
        let index: Index = toml::from_str(text).map_err(|e| SharingError::toml(place, text, &e, help))?;
        let wrong = |message: String| SharingError::wrong(place, message, help);
        if index.format != 1 || index.serial == 0 {
            return Err(wrong(format!("has format {} and serial {}", index.format, index.serial)));
        }
        if !crate::plugin::identity::is_kebab(&index.shelf) {
            return Err(wrong("has no name that a shelf can have".into()));
        }
        let mut last: Option<&str> = None;
        for IndexFile { path, sha256 } in &index.files {
            let hex = |b: u8| b.is_ascii_digit() || (b'a'..=b'f').contains(&b);
            if !is_ours(path) || sha256.len() != 64 || !sha256.bytes().all(hex) {
                return Err(wrong(format!("lists {}, which cannot lie on a shelf", path.escape_debug())));
            }
            if last.is_some_and(|last| last >= path.as_str()) {
                return Err(wrong(format!("lists {} out of its order, or twice", path.escape_debug())));
            }
            last = Some(path);
        }
        Ok(index)
    }

    /// What it says of a file.
    pub(super) fn of(&self, path: &str) -> Option<&str> {
        let at = self.files.binary_search_by(|f| f.path.as_str().cmp(path)).ok()?;
        self.files.get(at).map(|f| f.sha256.as_str())
    }

    fn text(&self) -> String {
        // Texts, numbers and days always become TOML.
        let body = toml::to_string(self).unwrap_or_default();
        format!("# Index of a shelf: what lies on it. It vouches for nothing; vets do.\n{body}")
    }
}

/// Whether a file with this path belongs to a shelf.
pub(super) fn is_ours(path: &str) -> bool {
    let name = path.strip_suffix(SIGNATURE_ENDING).unwrap_or(path);
    let ending = [ARCHIVE_ENDING, RECORD_ENDING, KEY_RECORD_ENDING, KEY_ENDING].iter().any(|e| name.ends_with(e));
    let folder = path.split_once('/').is_some_and(|(folder, _)| FOLDERS.contains(&folder));
    ending && folder && names::error_in_path(path, DEPTH).is_none()
}

/// The files of a shelf by their paths, and what lies in its folders and does not belong there.
///
/// # Errors
/// A folder cannot be read, holds a link, or there is too much.
pub(super) fn files(shelf: &Path) -> Result<(BTreeMap<String, PathBuf>, Vec<String>), SharingError> {
    let (mut found, mut others) = (BTreeMap::new(), vec![]);
    for folder in FOLDERS {
        if shelf.join(folder).symlink_metadata().is_ok() {
            gather(&shelf.join(folder), folder, &mut found, &mut others)?;
        }
    }
    Ok((found, others))
}

fn gather(
    folder: &Path,
    below: &str,
    found: &mut BTreeMap<String, PathBuf>,
    others: &mut Vec<String>,
) -> Result<(), SharingError> {
    let failed = |e: std::io::Error| SharingError::machine(folder, "the folder could not be read", &e);
    if folder.symlink_metadata().map_err(failed)?.is_symlink() {
        return Err(SharingError::wrong(folder, "is a link", "a shelf holds plain folders and files"));
    }
    for entry in std::fs::read_dir(folder).map_err(failed)? {
        let entry = entry.map_err(failed)?;
        let (name, kind) = (entry.file_name().to_string_lossy().into_owned(), entry.file_type().map_err(failed)?);
        let path = format!("{below}/{name}");
        if found.len() + others.len() > MOST_FILES {
            let help = format!("at most {MOST_FILES} files lie on a shelf");
            return Err(SharingError::wrong(folder, "holds too much for a shelf", help));
        }
        if kind.is_dir() && path.matches('/').count() <= DEPTH {
            gather(&entry.path(), &path, found, others)?;
        } else if kind.is_file() && is_ours(&path) {
            found.insert(path, entry.path());
        } else {
            others.push(path);
        }
    }
    Ok(())
}

/// What `shelf make` did.
#[derive(Debug, Clone)]
pub(crate) struct ShelfMade {
    /// The index.
    pub index: Index,
    /// Where it is.
    pub place: PathBuf,
    /// What was put on the shelf.
    pub put: Vec<String>,
    /// What lies in its folders and is not listed.
    pub left_out: Vec<String>,
}

/// What a shelf is made with.
#[derive(Debug, Clone)]
pub(crate) struct ShelfWish<'w> {
    /// Its folder.
    pub folder: &'w Path,
    /// Archives, records, keys and folders of them that are put on it.
    pub put: &'w [PathBuf],
    /// Days for which the index is to be believed.
    pub days: u32,
    /// Today.
    pub today: Day,
}

impl OwnShop {
    /// Puts files on a shelf, and writes and signs its index.
    ///
    /// # Errors
    /// A file is none that can lie there, another of its name does, or the machine did not do it.
    pub(crate) fn shelf(&self, home: &Home, wish: &ShelfWish<'_>) -> Result<ShelfMade, Vec<SharingError>> {
        let one = |error| vec![error];
        let _alone = home.writing().map_err(one)?;
        let policy = Policy::load(home).map_err(one)?;
        let put = put(wish, &policy)?;
        let (found, left_out) = files(wish.folder).map_err(one)?;
        let mut listed = vec![];
        for (path, place) in found {
            let bytes = read_bounded(&place, policy.archive.archive_bytes()).map_err(one)?;
            listed.push(IndexFile { path, sha256: sha256(&bytes) });
        }
        if listed.is_empty() {
            let help = "name archives, records and keys to put on it with --put";
            return Err(one(SharingError::wrong(wish.folder, "holds nothing for a shelf", help)));
        }
        let place = wish.folder.join(INDEX);
        let serial = self.next_number(home).map_err(one)?;
        // A shelf keeps the name it was given, whatever its folder is called today.
        let before = read_bounded(&place, LONGEST).ok().and_then(|bytes| Index::read(&bytes, &place).ok());
        let shelf = before.map_or_else(|| called(wish.folder), |index| index.shelf);
        let (made, expires) = (wish.today, wish.today.after(wish.days));
        let index = Index { format: 1, serial, shop: self.name.clone(), shelf, made, expires, files: listed };
        let text = index.text();
        // Read as every other shop will read it.
        Index::read(text.as_bytes(), &place).map_err(one)?;
        let comment = format!("deadfront shelf {serial} {made}");
        let signature = self.signed(text.as_bytes(), &comment, &place).map_err(one)?;
        let attributes = wish.folder.join(".gitattributes");
        if attributes.symlink_metadata().is_err() {
            write_public(&attributes, ATTRIBUTES.as_bytes()).map_err(one)?;
        }
        write_public(&signature_place(&place), signature.as_bytes()).map_err(one)?;
        write_public(&place, text.as_bytes()).map_err(one)?;
        Ok(ShelfMade { index, place, put, left_out })
    }
}

/// The name of a new shelf: that of its folder.
fn called(folder: &Path) -> String {
    let real = std::fs::canonicalize(folder).unwrap_or_else(|_| folder.to_path_buf());
    let name = names::slug(&real.file_name().unwrap_or_default().to_string_lossy());
    if crate::plugin::identity::is_kebab(&name) { name } else { "shelf".into() }
}

/// Copies files to where they lie on a shelf.
fn put(wish: &ShelfWish<'_>, policy: &Policy) -> Result<Vec<String>, Vec<SharingError>> {
    let one = |error| vec![error];
    let is_key = |p: &&PathBuf| p.to_string_lossy().ends_with(KEY_ENDING) && p.is_file();
    let (keys, others): (Vec<&PathBuf>, Vec<&PathBuf>) = wish.put.iter().partition(is_key);
    let others: Vec<PathBuf> = others.into_iter().cloned().collect();
    let handed = parcel::open(&others, &policy.archive)?;
    let mut put: Vec<(String, Vec<u8>)> = vec![];
    let mut with_signature = |path: String, signed: &Signed| {
        if let Some(signature) = &signed.signature {
            put.push((format!("{path}{SIGNATURE_ENDING}"), signature.clone()));
        }
        put.push((path, signed.bytes.clone()));
    };
    let name = |place: &Path| place.file_name().unwrap_or_default().to_string_lossy().into_owned();
    for signed in &handed.archives {
        let identity = super::admit::read(signed, policy).map_err(one)?.identity;
        with_signature(format!("plugins/{}/{}/{}", identity.id, identity.version, name(&signed.place)), signed);
    }
    handed.records.iter().for_each(|r| with_signature(format!("vets/{}", name(&r.place)), r));
    handed.key_records.iter().for_each(|r| with_signature(format!("keys/{}", name(&r.place)), r));
    for key in keys {
        let bytes = read_bounded(key, super::sign::LONGEST).map_err(one)?;
        put.push((format!("keys/{}", name(key)), bytes));
    }
    for (path, bytes) in &put {
        if !is_ours(path) {
            let message = format!("{} cannot lie on a shelf", path.escape_debug());
            return Err(one(SharingError::wrong(wish.folder, message, "rename it: A-Z a-z 0-9 - _ .")));
        }
        write_new(&wish.folder.join(path), bytes).map_err(one)?;
    }
    let signature = |path: &String| path.ends_with(SIGNATURE_ENDING);
    Ok(put.into_iter().map(|(path, _)| path).filter(|p| !signature(p)).collect())
}
