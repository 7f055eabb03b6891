//! Which files a command line means: files, the jigs of a folder, standard input. Must not know what stands in them.

use super::errors::Errors;
use crate::jig::InputError;
use std::path::{Path, PathBuf};

/// What stands for standard input.
const STDIN: &str = "-";

/// The files, in order: a folder stands for its *.toml files, by name.
///
/// # Errors
/// A folder that cannot be read or holds none.
pub(super) fn named(wanted: &[PathBuf]) -> Result<Vec<PathBuf>, Errors> {
    let mut out = vec![];
    for path in wanted {
        if path.is_dir() { out.extend(of_folder(path)?) } else { out.push(path.clone()) }
    }
    Ok(out)
}

fn of_folder(folder: &Path) -> Result<Vec<PathBuf>, Errors> {
    let wrong = |message: String, help: &str| InputError::of_file(folder.display().to_string(), message, help);
    let entries = std::fs::read_dir(folder).map_err(|e| {
        wrong(format!("the folder could not be read: {}", crate::files::reason(&e)), "name a folder you may read")
    })?;
    let mut files: Vec<PathBuf> = entries.filter_map(|e| Some(e.ok()?.path())).collect();
    files.retain(|p| p.is_file() && p.extension().is_some_and(|e| e.eq_ignore_ascii_case("toml")));
    files.sort();
    if files.is_empty() {
        return Err(wrong("the folder holds no *.toml file".into(), "name a folder of jig files, or a jig file").into());
    }
    Ok(files)
}

/// Whether it stands for standard input.
pub(super) fn is_stdin(path: &Path) -> bool {
    path.as_os_str() == STDIN
}

/// What errors and findings call it.
pub(super) fn shown(path: &Path) -> String {
    if is_stdin(path) { "standard input".into() } else { path.display().to_string() }
}
