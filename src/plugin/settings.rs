//! What a jig file sets for a plugin, checked against what the plugin declares.

use super::manifest::{Manifest, SettingValue, setting};
use crate::jig::{Jig, PluginSetting};
use crate::quantity::quote;
use std::collections::BTreeMap;

/// The settings of a plugin on a jig: what the file says under `[plugin.ID]`, else the defaults.
///
/// # Errors
/// Everything the file says wrongly, each with its place.
pub(crate) fn of(jig: &Jig, manifest: &Manifest) -> Result<BTreeMap<String, SettingValue>, String> {
    let mut out: BTreeMap<String, SettingValue> =
        manifest.settings.iter().map(|(name, s)| (name.clone(), s.default.clone())).collect();
    let mut errors = vec![];
    for given in jig.plugin_settings.iter().filter(|s| s.plugin == manifest.id) {
        match one(manifest, given) {
            Ok(value) => {
                out.insert(given.name.clone(), value);
            }
            Err(error) => {
                errors.push(format!("{}:{}:{}: {error}", jig.file, given.place.line, given.place.column));
            }
        }
    }
    if errors.is_empty() { Ok(out) } else { Err(errors.join("; ")) }
}

fn one(manifest: &Manifest, given: &PluginSetting) -> Result<SettingValue, String> {
    let name = &given.name;
    let Some(declared) = manifest.settings.get(name) else {
        let known: Vec<&str> = manifest.settings.keys().map(String::as_str).collect();
        let known = if known.is_empty() { "none".to_string() } else { known.join(", ") };
        return Err(format!("it has no setting {}; it has {known}", quote(name)));
    };
    let kind = declared.default.kind();
    let value = setting(kind, &given.value).map_err(|help| format!("{name} is no {kind}; {help}"))?;
    match (&value, &declared.default) {
        (SettingValue::Quantity(_, a), SettingValue::Quantity(_, b)) if a != b => {
            Err(format!("{name} is in {a}, where {b} is wanted"))
        }
        _ => Ok(value),
    }
}
