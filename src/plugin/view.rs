//! What `check.lua` sees: `jig`, `limit`, `quantity`, `format`, and the makers of findings. Every function bounds itself and is
//! counted; what it is handed is looked at by hand, never through a plugin's own metatables. Rows are frozen, made on demand
//! and kept. The shapes are documented in `plugins/api.lua`.

mod globals;
mod state;
mod wiring;
mod worst;
mod written;

use super::arguments::{text, wrong};
use super::facts::{self, Fact, Row};
use super::manifest::{Manifest, SettingValue};
use super::results::{Made, put_makers};
use super::rows::Rows;
use super::solution::iterator;
use super::vm::{Meter, frozen, put};
use super::what_if::Subject;
use globals::put_globals;
use mlua::{IntoLua, Lua, Table, Value};
use state::View;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;

/// The host's names in a plugin's globals, the makers of findings among them.
#[cfg(test)]
pub(crate) const GLOBALS: &[&str] =
    &["limit", "quantity", "format", "pulse_energy", "danger", "warning", "caution", "notice"];
/// Fields of `jig`.
pub(crate) const FIELDS: &[&str] = &["name", "unit", "use", "supply", "enclosure", "settings"];
/// Methods of `jig`.
pub(crate) const METHODS: &[&str] = &[
    "parts",
    "part",
    "nets",
    "joined",
    "reach",
    "divider",
    "outlets",
    "touchables",
    "insulation",
    "stress",
    "touch",
    "discharge",
    "put_on",
    "lamp",
    "faults",
    "solve",
    "ring",
];

impl View {
    /// A call of one of the [`METHODS`].
    fn call(&self, lua: &Lua, method: &str, [a, b, c, d]: [&Value; 4]) -> mlua::Result<Value> {
        match method {
            "discharge" => return self.discharge([a, b], c, d).map(Value::Number),
            "put_on" => return self.put_on(lua, a),
            "solve" => return self.solve(lua, a),
            _ => self.meter.spend(1)?,
        }
        match method {
            "parts" => self.parts(lua, a),
            "part" => {
                let found = self.subject.part(&text(a, "the part")?);
                found.map_or(Ok(Value::Nil), |k| self.part(lua, k))
            }
            "nets" => self.nets(lua),
            "joined" => self.joined(a, b, c).map(Value::Boolean),
            "reach" => self.reach(lua, a),
            "divider" => self.divider(lua, a, b, c),
            "ring" => self.ring(lua, a, b, c),
            "outlets" => self.outlets(lua),
            "touchables" => self.touchables(lua),
            "insulation" => self.insulation(lua, a, b),
            "stress" => self.stress(lua, a, b, c),
            "touch" => self.touch(lua, a, b),
            "lamp" => self.lamp(lua, a),
            "faults" => self.faults(lua),
            other => Err(wrong(format!("jig has no {other}"))),
        }
    }

    /// One of the [`FIELDS`].
    fn field(&self, lua: &Lua, name: &str) -> mlua::Result<Value> {
        let jig = &self.subject.jig;
        match name {
            "name" => jig.name.as_str().into_lua(lua),
            "unit" => jig.unit.as_str().into_lua(lua),
            "use" => facts::usage(jig).into_lua(lua),
            "supply" => self.rows.strict(lua, "supply", &facts::supply(jig)),
            "enclosure" => self.rows.strict(lua, "enclosure", &facts::enclosure(jig)),
            "settings" => self.rows.strict(lua, "settings", &settings(&self.settings)),
            other => Err(wrong(format!("jig has no {other}"))),
        }
    }
}

/// `jig`: a frozen table whose fields and methods are put there when they are first asked for. Most plugins ask for few, and
/// what is there is found without the host.
fn jig(lua: &Lua, view: View) -> mlua::Result<Value> {
    let (jig, meta, view) = (lua.create_table()?, lua.create_table()?, Rc::new(view));
    let itself = jig.to_pointer();
    let index = lua.create_function(move |lua, (jig, key): (Table, Value)| -> mlua::Result<Value> {
        let name = text(&key, "the name").unwrap_or_default();
        let value = if FIELDS.contains(&name.as_str()) {
            view.field(lua, &name)?
        } else if let Some(method) = METHODS.iter().find(|m| **m == name) {
            let view = Rc::clone(&view);
            let call = move |lua: &Lua, (me, a, b, c, d): (Value, Value, Value, Value, Value)| {
                if me.to_pointer() != itself {
                    let words = "functions of jig are called with a colon";
                    return Err(wrong(format!("{words}: jig:{method}(…)")));
                }
                view.call(lua, method, [&a, &b, &c, &d])
            };
            Value::Function(lua.create_function(call)?)
        } else {
            let known = FIELDS.iter().chain(METHODS).copied().collect::<Vec<_>>().join(", ");
            return Err(wrong(format!("jig has no {name:?}; it has {known}")));
        };
        if jig.to_pointer() == itself {
            put(lua, &jig, key, &value)?;
        }
        Ok(value)
    })?;
    meta.raw_set("__index", index)?;
    let write = |_: &Lua, (): ()| -> mlua::Result<()> { Err(wrong("jig is for reading only")) };
    meta.raw_set("__newindex", lua.create_function(write)?)?;
    meta.raw_set("__metatable", "the jig")?;
    jig.set_metatable(Some(frozen(meta)?))?;
    frozen(jig).map(Value::Table)
}

fn settings(values: &BTreeMap<String, SettingValue>) -> Row<'_> {
    let facts = values.iter().map(|(key, value)| {
        let fact = match value {
            SettingValue::Number(x) | SettingValue::Quantity(x, _) => Fact::Number(*x),
            SettingValue::Text(x) => Fact::Text(x.as_str().into()),
            SettingValue::Flag(x) => Fact::Flag(*x),
        };
        (key.as_str().into(), fact)
    });
    facts.collect()
}

/// Gives a machine the host's functions. Returns `jig`.
///
/// # Errors
/// The machine is out of memory.
pub(super) fn provide(
    lua: &Lua,
    meter: &Meter,
    subject: &Arc<Subject>,
    manifest: &Rc<Manifest>,
    settings: BTreeMap<String, SettingValue>,
    made: &Made,
) -> mlua::Result<Value> {
    put_globals(lua, meter, manifest)?;
    put_makers(lua, meter, subject, manifest, made)?;
    let (subject, settings) = (Arc::clone(subject), Rc::new(settings));
    let (rows, iterator) = (Rows::default(), iterator(lua)?);
    let (kept, groups) = Default::default();
    jig(lua, View { subject, settings, meter: meter.clone(), rows, iterator, kept, groups })
}
