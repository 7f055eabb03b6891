//! A plugin as it lies on disk: relative paths and bytes, and the hash over all of them. Runs nothing.

use super::manifest::Manifest;
use crate::files;
use crate::jig::InputError;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Most files of a plugin.
pub(crate) const MOST_FILES: usize = 500;
/// Most bytes of one file: above it nothing a plugin needs is that large.
pub(crate) const MOST_BYTES: u64 = 1 << 20;
/// Most bytes of all its files.
pub(crate) const MOST_IN_ALL: u64 = 8 << 20;
/// How deep folders may lie in each other.
const DEEPEST: usize = 8;

/// A plugin's files.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Folder {
    /// Where they come from, for messages.
    pub origin: PathBuf,
    /// Bytes by relative path, joined with `/`.
    pub files: BTreeMap<String, Vec<u8>>,
}

/// A plugin that can be run.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Plugin {
    /// What it says of itself.
    pub manifest: Manifest,
    /// `check.lua`.
    pub source: String,
    /// Hash of all its files.
    pub sha256: String,
    /// Shops that vetted these bytes.
    pub vetted_by: Vec<String>,
}

fn error(file: &Path, message: impl Into<String>, help: &str) -> Vec<InputError> {
    vec![InputError::of_file(file.display().to_string(), message, help)]
}

impl Folder {
    /// Reads a folder. Links and other special files are refused: what is read is what lies there. Names that begin with a
    /// dot are left out.
    ///
    /// # Errors
    /// What could not be read.
    pub(crate) fn read(folder: &Path) -> Result<Folder, Vec<InputError>> {
        let mut files = BTreeMap::new();
        gather(folder, "", 0, &mut files, &mut 0)?;
        Ok(Folder { origin: folder.to_path_buf(), files })
    }

    /// Bytes of all its files.
    pub(crate) fn bytes(&self) -> usize {
        self.files.values().map(Vec::len).sum()
    }

    /// Hash of all files: of each its path, its length and its bytes, in the order of the paths.
    pub(crate) fn sha256(&self) -> String {
        let mut hash = Sha256::new();
        for (name, bytes) in &self.files {
            hash.update((name.len() as u64).to_le_bytes());
            hash.update(name.as_bytes());
            hash.update((bytes.len() as u64).to_le_bytes());
            hash.update(bytes);
        }
        files::hex(&hash.finalize())
    }

    /// Reads what is needed to run it.
    ///
    /// # Errors
    /// Everything that is wrong with `plugin.toml` or `check.lua`.
    pub(crate) fn plugin(&self) -> Result<Plugin, Vec<InputError>> {
        let path = |name: &str| self.origin.join(name);
        let bytes = |name: &str| {
            let help =
                "a plugin is a folder with plugin.toml, check.lua and cases/; `deadfront plugin new ID` makes one";
            let other = self.files.keys().find(|other| other.eq_ignore_ascii_case(name));
            let gone = || match other {
                Some(other) => error(&path(name), format!("is not there: it is called {other}"), "rename it"),
                None => error(&path(name), "is not there", help),
            };
            self.files.get(name).ok_or_else(gone)
        };
        let manifest = Manifest::parse(&path("plugin.toml").display().to_string(), bytes("plugin.toml")?)?;
        let source = std::str::from_utf8(bytes("check.lua")?);
        let source = source.map_err(|_| error(&path("check.lua"), "is not UTF-8", "save it as UTF-8"))?.to_string();
        Ok(Plugin { manifest, source, sha256: self.sha256(), vetted_by: vec![] })
    }
}

fn gather(
    at: &Path,
    below: &str,
    deep: usize,
    files: &mut BTreeMap<String, Vec<u8>>,
    all: &mut u64,
) -> Result<(), Vec<InputError>> {
    let unreadable =
        |e: std::io::Error, path: &Path| error(path, format!("could not be read: {e}"), "name the folder of a plugin");
    if deep > DEEPEST {
        return Err(error(at, "lies too deep", "a plugin keeps its files in a few folders at the most"));
    }
    for entry in std::fs::read_dir(at).map_err(|e| unreadable(e, at))? {
        let entry = entry.map_err(|e| unreadable(e, at))?;
        let (path, kind) = (entry.path(), entry.file_type().map_err(|e| unreadable(e, &entry.path()))?);
        let Some(name) = entry.file_name().to_str().map(str::to_string) else {
            return Err(error(&path, "has a name that is not UTF-8", "rename it"));
        };
        if name.starts_with('.') {
            continue;
        }
        let name = if below.is_empty() { name } else { format!("{below}/{name}") };
        if kind.is_dir() {
            gather(&path, &name, deep + 1, files, all)?;
        } else if kind.is_file() {
            let length = entry.metadata().map_err(|e| unreadable(e, &path))?.len();
            *all += length;
            if length > MOST_BYTES || files.len() >= MOST_FILES || *all > MOST_IN_ALL {
                let help = "at most 500 files of at most 1 MiB, and 8 MiB in all";
                return Err(error(&path, "is too much for a plugin", help));
            }
            let bytes = std::fs::read(&path).map_err(|e| unreadable(e, &path))?;
            files.insert(name, bytes);
        } else {
            return Err(error(&path, "is neither a file nor a folder", "a plugin holds plain files only"));
        }
    }
    Ok(())
}
