//! What a jig file sets for a plugin, checked against what the plugin declares.

use super::manifest::{Manifest, SettingValue, setting};
use crate::jig::Jig;
use std::collections::BTreeMap;

/// The settings of a plugin on a jig: what the file says under `[plugin.ID]`, else the defaults.
///
/// # Errors
/// What the file says wrongly, with its place.
pub fn of(jig: &Jig, manifest: &Manifest) -> Result<BTreeMap<String, SettingValue>, String> {
    let mut out: BTreeMap<String, SettingValue> =
        manifest.settings.iter().map(|(name, s)| (name.clone(), s.default.clone())).collect();
    for given in jig.plugin_settings.iter().filter(|s| s.plugin == manifest.id) {
        let at = format!("{}:{}:{}", jig.file, given.place.line, given.place.column);
        let Some(declared) = manifest.settings.get(&given.name) else {
            let known: Vec<&str> = manifest.settings.keys().map(String::as_str).collect();
            let known = if known.is_empty() { "none".to_string() } else { known.join(", ") };
            return Err(format!("{at}: it has no setting {}; it has {known}", given.name));
        };
        let value = setting(declared.default.kind(), &given.value);
        let value = value.map_err(|help| format!("{at}: {} is no {}; {help}", given.name, declared.default.kind()))?;
        match (&value, &declared.default) {
            (SettingValue::Quantity(_, a), SettingValue::Quantity(_, b)) if a != b => {
                return Err(format!("{at}: {} is in {a}, where {b} is wanted", given.name));
            }
            _ => {}
        }
        out.insert(given.name.clone(), value);
    }
    Ok(out)
}
