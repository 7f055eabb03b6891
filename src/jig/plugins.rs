//! `[plugin.ID]`: what the file sets for plugins. The plugin declares what it means; here it is only kept, with its place.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::bounds::MOST_SETTINGS;
use super::model::PluginSetting;
use super::walk::{Walk, in_order, type_name};

/// Every setting, in the order of the file.
pub(crate) fn settings<'t>(walk: &mut Walk<'t, '_>, top: &DeTable<'t>) -> Vec<PluginSetting> {
    let mut out = vec![];
    let Some(plugins) = top.get("plugin") else { return out };
    let Some(plugins) = walk.table("plugin.ID", plugins) else { return out };
    for (id, _, table) in in_order(plugins) {
        let Some(table) = walk.table(&format!("plugin.{id}"), table) else { continue };
        for (name, at, value) in in_order(table) {
            let place = walk.place(at);
            if out.len() == MOST_SETTINGS {
                let help = format!("a jig has at most {MOST_SETTINGS}; from here on they are not read");
                walk.errors.wrong(place, "the file has more settings for plugins than may be", help);
                return out;
            }
            match plain(value) {
                Some(value) => out.push(PluginSetting { plugin: id.into(), name: name.into(), value, place }),
                None => {
                    let message =
                        format!("{name} is {}, where a text, a number or a flag is wanted", type_name(value.get_ref()));
                    walk.errors.wrong(place, message, format!("write {name} = \"…\", {name} = 5 or {name} = true"));
                }
            }
        }
    }
    out
}

fn plain(value: &Spanned<DeValue<'_>>) -> Option<toml::Value> {
    Some(match value.get_ref() {
        DeValue::String(s) => toml::Value::String(s.to_string()),
        DeValue::Boolean(b) => toml::Value::Boolean(*b),
        DeValue::Integer(n) => toml::Value::Integer(i64::from_str_radix(n.as_str(), n.radix()).ok()?),
        DeValue::Float(x) => toml::Value::Float(x.as_str().parse().ok()?),
        _ => return None,
    })
}
