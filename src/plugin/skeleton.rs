//! A new plugin: a small one that works, with a case it passes and one it flags. Writes it whole or not at all.

use super::identity::{KEBAB, is_kebab};
use crate::files;
use crate::jig::InputError;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

/// Stands for the id in the files.
const ID: &str = "NEW-PLUGIN";
const FILES: [(&str, &str); 4] = [
    ("plugin.toml", include_str!("skeleton/plugin.toml")),
    ("check.lua", include_str!("skeleton/check.lua")),
    ("cases/good.toml", include_str!("skeleton/cases/good.toml")),
    ("cases/bad.toml", include_str!("skeleton/cases/bad.toml")),
];

/// Makes the folder `id` in `parent`. Returns it and its files.
///
/// # Errors
/// The id can be none, the folder is there already, or it could not be written; then nothing was.
pub(crate) fn write(parent: &Path, id: &str) -> Result<(PathBuf, Vec<&'static str>), Vec<InputError>> {
    let folder = if parent == Path::new(".") { PathBuf::from(id) } else { parent.join(id) };
    let wrong = |message: String, help: &str| vec![InputError::of_file(folder.display().to_string(), message, help)];
    if !is_kebab(id) {
        return Err(wrong("can be no id of a plugin".to_string(), KEBAB));
    }
    let files = FILES.map(|(name, text)| (name, text.replace(ID, id)));
    files::write_folder(&folder, files).map_err(|e| match e.kind() {
        ErrorKind::AlreadyExists => {
            let help = "choose another id, or move what is there out of the way";
            wrong("is there already; nothing was written".to_string(), help)
        }
        _ => wrong(format!("could not be written: {e}"), "go to a folder you may write to"),
    })?;
    Ok((folder, FILES.map(|(name, _)| name).to_vec()))
}
