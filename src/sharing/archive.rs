//! One plugin as one file: tar (ustar) in gzip. There is exactly one way to write a given folder, and reading accepts
//! nothing else: what was read is written again and compared byte for byte. So there is no second archive with the
//! same meaning, and nothing can hide between the files. Must not know keys or policy.

use super::disk::read_bounded;
use super::gzip::{self, UnpackError};
use super::names;
use super::policy::ArchiveLimits;
use super::{SharingError, sha256};
use crate::plugin::{Folder, Identity};
use std::collections::BTreeMap;
use std::io::Read as _;
use std::path::Path;
use tar::{EntryType, Header};

pub(crate) use super::names::ARCHIVE_ENDING as ENDING;

/// Files of a plugin by their name relative to its folder, with `/` between folders.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// A plugin that was packed or read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Package {
    /// Who it says it is.
    pub identity: Identity,
    /// Its files.
    pub files: Files,
    /// sha256 of the archive, lower-case hex.
    pub sha256: String,
}

/// Reads a plugin's folder. Hidden files (`.git`, `.gitignore`) stay outside; whatever else cannot travel is a error,
/// so that nothing is left behind unnoticed.
///
/// # Errors
/// Every error: links, devices, names that mean something else elsewhere, too much of anything.
pub(crate) fn read_folder(folder: &Path, limits: &ArchiveLimits) -> Result<Files, Vec<SharingError>> {
    let mut found = FolderReader { files: Files::new(), errors: vec![], limits, bytes: 0 };
    found.walk(folder, "");
    let FolderReader { files, mut errors, .. } = found;
    let listed = files.iter().map(|(path, bytes)| (path.as_str(), bytes.len() as u64));
    errors.extend(error_in_list(listed, limits).map(|m| SharingError::wrong(folder, m, "")));
    if errors.is_empty() { Ok(files) } else { Err(errors) }
}

struct FolderReader<'a> {
    files: Files,
    errors: Vec<SharingError>,
    limits: &'a ArchiveLimits,
    bytes: u64,
}

impl FolderReader<'_> {
    fn walk(&mut self, folder: &Path, prefix: &str) {
        let entries = match std::fs::read_dir(folder).and_then(Iterator::collect::<Result<Vec<_>, _>>) {
            Ok(entries) => entries,
            Err(error) => {
                return self.errors.push(SharingError::machine(folder, "the folder could not be read", &error));
            }
        };
        for entry in entries {
            let (place, name) = (entry.path(), entry.file_name());
            let Some(name) = name.to_str() else {
                self.errors.push(SharingError::wrong(&place, "has a name that is not UTF-8", "rename it"));
                continue;
            };
            if name.starts_with('.') {
                continue;
            }
            let path = format!("{prefix}{name}");
            if let Some(error) = names::error_in_path(&path, self.limits.depth) {
                self.errors.push(SharingError::wrong(&place, error, "rename it or move it"));
                continue;
            }
            match entry.file_type() {
                Ok(kind) if kind.is_dir() => self.walk(&place, &format!("{path}/")),
                Ok(kind) if kind.is_file() => self.file(&place, path),
                Ok(_) => {
                    let help = "put the file itself there";
                    self.errors.push(SharingError::wrong(&place, "is a link or a device, not a file", help));
                }
                Err(error) => self.errors.push(SharingError::machine(&place, "could not be looked at", &error)),
            }
        }
    }

    fn file(&mut self, place: &Path, path: String) {
        if self.files.len() > self.limits.files || self.bytes > self.limits.all_bytes {
            return; // too much already, which is said once at the end
        }
        match read_bounded(place, self.limits.file_bytes) {
            Ok(bytes) => {
                self.bytes += bytes.len() as u64;
                self.files.insert(path, bytes);
            }
            Err(error) => self.errors.push(error),
        }
    }
}

/// What is wrong with names and sizes taken together.
fn error_in_list<'a>(list: impl Iterator<Item = (&'a str, u64)>, limits: &ArchiveLimits) -> Option<String> {
    let (mut seen, mut count, mut all) = (BTreeMap::<String, (&str, bool)>::new(), 0, 0u64);
    for (path, bytes) in list {
        count += 1;
        all = all.saturating_add(bytes);
        if count > limits.files {
            return Some(format!("holds more than {} files", limits.files));
        }
        if bytes > limits.file_bytes {
            return Some(format!("{path} is larger than {} bytes", limits.file_bytes));
        }
        if all > limits.all_bytes {
            return Some(format!("its files are larger than {} bytes together", limits.all_bytes));
        }
        // Folders count as well: `Cases/a` and `cases/b` are one folder on some machines and two on others.
        let ends = path.match_indices('/').map(|(i, _)| i).chain([path.len()]);
        for name in ends.map(|end| &path[..end]) {
            let is_file = name.len() == path.len();
            match seen.insert(name.to_ascii_lowercase(), (name, is_file)) {
                Some((other, true)) if other == name && is_file => return Some(format!("holds {name} twice")),
                Some((other, was_file)) if other == name && was_file != is_file => {
                    return Some(format!("holds {name} as both a file and a folder"));
                }
                Some((other, _)) if other != name => {
                    return Some(format!("{other} and {name} are one name on machines that know no capitals"));
                }
                _ => {}
            }
        }
    }
    None
}

/// The one archive of these files.
///
/// # Errors
/// `plugin.toml` is missing or wrong, or a name does not fit.
pub(crate) fn pack(files: &Files, place: &Path) -> Result<(Package, Vec<u8>), SharingError> {
    let identity = identity_of(files, place)?;
    for path in files.keys() {
        if identity.stem().len() + 1 + path.len() > names::LONGEST_PATH {
            let message = format!("{path} and the plugin's id are longer than {} characters", names::LONGEST_PATH);
            return Err(SharingError::wrong(place, message, "give it a shorter name"));
        }
    }
    let bytes =
        write(&identity.stem(), files).map_err(|error| SharingError::machine(place, "could not be packed", &error))?;
    Ok((Package { identity, files: files.clone(), sha256: sha256(&bytes) }, bytes))
}

/// What keeps a check from using these files as a plugin: the first line in which this program would stop at them.
///
/// # Errors
/// Everything that is wrong with `plugin.toml` or `check.lua`, at its line.
pub(super) fn usable(files: &Files, place: &Path) -> Result<(), Vec<SharingError>> {
    let folder = Folder { origin: place.to_path_buf(), files: files.clone() };
    folder.plugin().map(|_| ()).map_err(|errors| errors.into_iter().map(SharingError::from).collect())
}

fn identity_of(files: &Files, place: &Path) -> Result<Identity, SharingError> {
    let manifest = files.get("plugin.toml");
    let manifest = manifest.ok_or_else(|| {
        SharingError::wrong(place, "holds no plugin.toml", "a plugin is a folder with plugin.toml in it")
    })?;
    let read = Identity::read(&place.join("plugin.toml").display().to_string(), manifest);
    read.map_err(|errors| {
        let first = errors.into_iter().next().map(SharingError::from);
        first.unwrap_or_else(|| SharingError::wrong(place, "holds a plugin.toml that does not read", ""))
    })
}

fn write(stem: &str, files: &Files) -> std::io::Result<Vec<u8>> {
    let mut tar = tar::Builder::new(vec![]);
    for (path, bytes) in files {
        let mut header = Header::new_ustar();
        header.set_path(format!("{stem}/{path}"))?;
        header.set_size(bytes.len() as u64);
        header.set_mode(0o644);
        header.set_entry_type(EntryType::Regular);
        header.set_mtime(0);
        header.set_uid(0);
        header.set_gid(0);
        header.set_cksum();
        tar.append(&header, bytes.as_slice())?;
    }
    Ok(gzip::wrap(&tar.into_inner()?))
}

/// Reads an archive. Nothing is written anywhere: the files come back in memory.
///
/// # Errors
/// It is not byte for byte what [`pack`] writes, or goes beyond the limits. Of several reasons the first.
pub(crate) fn read(bytes: &[u8], place: &Path, limits: &ArchiveLimits) -> Result<Package, SharingError> {
    let wrong =
        |message: String| SharingError::wrong(place, message, "ask for an archive made by `deadfront plugin pack`");
    let room = limits.all_bytes.saturating_add(limits.files as u64 * 1024).saturating_add(1024);
    let tar = gzip::unwrap(bytes, room).map_err(|error| match error {
        UnpackError::TooLarge => wrong(format!("unpacks to more than {room} bytes")),
        UnpackError::Broken(why) => wrong(format!("is cut short or no gzip file ({why})")),
    })?;
    let (stem, files) = entries(&tar, limits).map_err(wrong)?;
    let identity = identity_of(&files, place)?;
    if stem != identity.stem() {
        return Err(wrong(format!("its folder is {stem}, its plugin.toml says {}", identity.stem())));
    }
    let again = write(&stem, &files).map_err(|error| wrong(error.to_string()))?;
    if again != bytes {
        return Err(wrong("holds something besides the files: it is not what `plugin pack` makes of them".into()));
    }
    Ok(Package { identity, files, sha256: sha256(bytes) })
}

/// The folder's name and the files in a tar.
fn entries(tar: &[u8], limits: &ArchiveLimits) -> Result<(String, Files), String> {
    let mut list: Vec<(String, Vec<u8>)> = vec![];
    let mut stem: Option<String> = None;
    let broken = |error: std::io::Error| format!("is a broken tar ({error})");
    // Raw: long names and other extensions show as entries of their own, and are refused as such.
    for entry in tar::Archive::new(tar).entries().map_err(broken)?.raw(true) {
        let mut entry = entry.map_err(broken)?;
        let name = String::from_utf8(entry.path_bytes().into_owned())
            .map_err(|_| "holds a name that is not UTF-8".to_string())?;
        match entry.header().entry_type() {
            EntryType::Regular => {}
            EntryType::Symlink | EntryType::Link => return Err(format!("holds a link ({name})")),
            EntryType::Char | EntryType::Block | EntryType::Fifo => return Err(format!("holds a device ({name})")),
            EntryType::Directory => return Err(format!("holds a folder as an entry of its own ({name})")),
            _ => return Err(format!("holds an entry that is no file ({name})")),
        }
        if list.len() >= limits.files {
            return Err(format!("holds more than {} files", limits.files));
        }
        if let Some(error) = names::error_in_path(&name, limits.depth + 1) {
            return Err(format!("holds \"{name}\", which {error}"));
        }
        let Some((folder, path)) = name.split_once('/') else {
            return Err(format!("holds {name} outside of its folder"));
        };
        if stem.get_or_insert_with(|| folder.to_string()) != folder {
            return Err(format!("holds {name} outside of its folder"));
        }
        if entry.size() > limits.file_bytes {
            return Err(format!("{path} is larger than {} bytes", limits.file_bytes));
        }
        let mut bytes = vec![];
        entry.read_to_end(&mut bytes).map_err(broken)?;
        if bytes.len() as u64 != entry.size() {
            return Err(format!("is cut short in {path}"));
        }
        list.push((path.to_string(), bytes));
    }
    if let Some(error) = error_in_list(list.iter().map(|(p, b)| (p.as_str(), b.len() as u64)), limits) {
        return Err(error);
    }
    let stem = stem.ok_or_else(|| "is empty".to_string())?;
    Ok((stem, list.into_iter().collect()))
}
