//! Who a plugin says it is: the few keys of `plugin.toml` that sharing needs. Must not know its checks.

use super::{SharingError, names};
use semver::Version;
use std::path::Path;

/// What a plugin says of itself. It is a claim: what binds it to a shop is the signature over the archive.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Identity {
    /// Kebab-case name.
    pub id: String,
    /// Semantic version, without build metadata (which has no order).
    pub version: Version,
    /// Level of the plugin interface it asks for.
    pub api: u32,
    /// Kinds of unit it is for.
    pub units: Vec<String>,
}

impl Identity {
    /// Reads the keys from the text of a `plugin.toml`; `place` is named in faults.
    ///
    /// # Errors
    /// The text is no TOML, or one of the keys is missing or not of its kind.
    pub fn read(bytes: &[u8], place: &Path) -> Result<Identity, SharingError> {
        let wrong = |message: String, help: &str| SharingError::wrong(place, message, help);
        let text = std::str::from_utf8(bytes).map_err(|_| wrong("is not UTF-8".into(), "save it as UTF-8"))?;
        let table: toml::Table = text.parse().map_err(|e| SharingError::toml(place, text, &e, ""))?;
        let word = |key: &str| {
            let found = table.get(key).and_then(toml::Value::as_str);
            found.ok_or_else(|| wrong(format!("has no text \"{key}\""), &format!("write {key} = \"…\"")))
        };
        let id = word("id")?.to_string();
        if !names::is_id(&id) {
            let help = "write lower-case words joined by hyphens, 40 characters at most, like \"probe-bleeder\"";
            return Err(wrong(format!("\"{id}\" can be no id of a plugin"), help));
        }
        let version = word("version")?;
        let parsed = Version::parse(version).ok().filter(|v| v.build.is_empty() && version.len() <= 40);
        let version = parsed
            .ok_or_else(|| wrong(format!("\"{version}\" is no version"), "write three numbers, like \"1.0.0\""))?;
        let api = table.get("api").and_then(toml::Value::as_integer).and_then(|n| u32::try_from(n).ok());
        let api = api.ok_or_else(|| wrong("has no whole number \"api\"".into(), "write api = 1"))?;
        let units = table.get("units").and_then(toml::Value::as_array);
        let units = units.and_then(|a| a.iter().map(|u| u.as_str().map(str::to_string)).collect::<Option<Vec<_>>>());
        let units = units.ok_or_else(|| wrong("has no list \"units\" of texts".into(), "write units = [\"…\"]"))?;
        Ok(Identity { id, version, api, units })
    }

    /// `probe-bleeder-1.0.0`: how its archive is named, and the folder within it.
    pub fn stem(&self) -> String {
        format!("{}-{}", self.id, self.version)
    }
}
