//! Which archive of a plugin holds in a home, and the newest version it ever had. Must not know the archive.

use super::{Home, SharingError};
use semver::Version;
use serde::{Deserialize, Serialize};

/// What `plugins/ID.toml` holds. Writing it is what installs a plugin.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(super) struct Installation {
    pub(super) format: u32,
    pub(super) id: String,
    /// Whether it is installed; after `remove` only the memory of its version is left.
    pub(super) installed: bool,
    /// Highest version that was ever installed here: an older one does not come in again.
    pub(super) version: Version,
    /// sha256 of its archive.
    pub(super) sha256: String,
    /// Versions that were installed before, newest first: jigs whose lock names one of them run with it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) kept: Vec<Kept>,
}

/// An earlier version.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(super) struct Kept {
    pub(super) version: Version,
    /// sha256 of its archive.
    pub(super) sha256: String,
}

/// Most earlier versions that are kept of a plugin.
const MOST_KEPT: usize = 8;

impl Installation {
    pub(super) fn load(home: &Home, id: &str) -> Result<Option<Installation>, SharingError> {
        let place = home.plugin(id);
        let Some(text) = home.read_text(&place)? else { return Ok(None) };
        let help = format!("`deadfront plugin remove --forget {id}`, then add the plugin again");
        let read: Installation =
            toml::from_str(&text).map_err(|e| SharingError::toml(&place, &text, &e, help.clone()))?;
        let is_hash = |text: &str| text.len() == 64 && text.bytes().all(|b| b.is_ascii_hexdigit());
        let hex = is_hash(&read.sha256) && read.kept.iter().all(|k| is_hash(&k.sha256));
        if read.format != 1 || read.id != id || !hex {
            return Err(SharingError::wrong(&place, "is not what this program wrote", help));
        }
        Ok(Some(read))
    }

    /// The earlier versions that are kept once this archive is the installed one.
    pub(super) fn kept_beside(before: Option<&Installation>, sha256: &str) -> Vec<Kept> {
        let Some(before) = before.filter(|b| b.installed) else { return vec![] };
        let last = Kept { version: before.version.clone(), sha256: before.sha256.clone() };
        let mut kept: Vec<Kept> = std::iter::once(last).chain(before.kept.clone()).collect();
        kept.retain(|k| k.sha256 != sha256);
        kept.truncate(MOST_KEPT);
        kept
    }

    pub(super) fn text(&self) -> String {
        // Texts and numbers always become TOML.
        let body = toml::to_string(self).unwrap_or_default();
        format!("# Written by `deadfront plugin add` and `remove`.\n{body}")
    }
}
