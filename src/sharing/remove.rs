//! `remove`: a plugin is taken out of a home. Must not know what it does.

use super::disk::write_private;
use super::installation::Installation;
use super::stored::clean_up;
use super::{Home, SharingError};
use crate::plugin::identity::is_kebab;

/// What `remove` did.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Removed {
    /// Version that was installed.
    pub version: String,
    /// Whether an older version could come in again.
    pub forgotten: bool,
}

/// Takes a plugin out. Its version is remembered unless it is to be forgotten; warnings about its bytes stay.
///
/// # Errors
/// It is not installed, or the machine did not do it.
pub(crate) fn remove(home: &Home, id: &str, forget: bool) -> Result<Removed, SharingError> {
    let none = || {
        let ids: Vec<String> = home.names(&home.plugins()).unwrap_or_default();
        let ids: Vec<&str> = ids.iter().filter_map(|n| n.strip_suffix(".toml")).collect();
        let help = if ids.is_empty() { "no plugin was added".into() } else { format!("there are: {}", ids.join(", ")) };
        SharingError::wrong(&home.plugins(), format!("no plugin \"{}\" is installed", id.escape_debug()), help)
    };
    if !is_kebab(id) || !home.root().exists() {
        return Err(none());
    }
    let _alone = home.writing()?;
    let place = home.plugin(id);
    let state = Installation::load(home, id);
    if forget && state.is_err() {
        // What cannot be read can still be forgotten; nothing else would get it out of the way.
        std::fs::remove_file(&place).map_err(|e| SharingError::machine(&place, "could not be removed", &e))?;
        clean_up(home);
        return Ok(Removed { version: "of an unknown version".into(), forgotten: true });
    }
    let state = state?.filter(|s| s.installed || forget).ok_or_else(none)?;
    let version = state.version.to_string();
    if forget {
        std::fs::remove_file(&place).map_err(|e| SharingError::machine(&place, "could not be removed", &e))?;
    } else {
        write_private(&place, Installation { installed: false, kept: vec![], ..state }.text().as_bytes())?;
    }
    clean_up(home);
    Ok(Removed { version, forgotten: forget })
}
