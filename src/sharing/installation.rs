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
}

impl Installation {
    pub(super) fn load(home: &Home, id: &str) -> Result<Option<Installation>, SharingError> {
        let place = home.plugin(id);
        let Some(text) = home.read_text(&place)? else { return Ok(None) };
        let help = format!("`deadfront plugin remove --forget {id}`, then add the plugin again");
        let read: Installation =
            toml::from_str(&text).map_err(|e| SharingError::toml(&place, &text, &e, help.clone()))?;
        let hex = read.sha256.len() == 64 && read.sha256.bytes().all(|b| b.is_ascii_hexdigit());
        if read.format != 1 || read.id != id || !hex {
            return Err(SharingError::wrong(&place, "is not what this program wrote", help));
        }
        Ok(Some(read))
    }

    pub(super) fn text(&self) -> String {
        // Texts and numbers always become TOML.
        let body = toml::to_string(self).unwrap_or_default();
        format!("# Written by `deadfront plugin add` and `remove`.\n{body}")
    }
}
