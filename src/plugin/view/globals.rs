//! Globals of `check.lua` that need no jig: `limit`, `quantity`, `format`, `pulse_energy`.

use super::super::arguments::{number, text, wrong};
use super::super::manifest::Manifest;
use super::super::vm::Meter;
use crate::{quantity, standard};
use mlua::{Function, Lua, Value};
use std::rc::Rc;

/// Puts them there; each call is counted.
///
/// # Errors
/// The machine is out of memory.
pub(super) fn put_globals(lua: &Lua, meter: &Meter, manifest: &Rc<Manifest>) -> mlua::Result<()> {
    let globals = lua.globals();
    let (counted, checks) = (meter.clone(), Rc::clone(manifest));
    let limit: Function = lua.create_function(move |_, name: Value| {
        counted.spend(1)?;
        let name = text(&name, "the limit")?;
        if let Some(check) = checks.checks.get(&name) {
            let found = check.limit.as_ref().map(|(v, unit)| (*v, unit.clone(), check.source.clone()));
            return found.ok_or_else(|| wrong(format!("the check {name} has no limit in plugin.toml")));
        }
        if let Some(n) = checks.numbers.get(&name) {
            return Ok((n.value.0, n.value.1.clone(), n.source.clone()));
        }
        let found = standard::value(&name).map(|l| (l.value, l.unit.to_string(), l.source));
        let near = || standard::near(&name, checks.checks.keys().chain(checks.numbers.keys()).map(String::as_str));
        found.ok_or_else(|| wrong(format!("no limit is called {name:?}{}", near())))
    })?;
    globals.raw_set("limit", limit)?;
    let counted = meter.clone();
    let read = lua.create_function(move |_, value: Value| {
        counted.spend(1)?;
        let read = quantity::parse_any(&text(&value, "the quantity")?);
        read.map(|(value, _)| value).map_err(|e| wrong(format!("{}; {}", e.message, e.help)))
    })?;
    globals.raw_set("quantity", read)?;
    let counted = meter.clone();
    let print = lua.create_function(move |_, (value, unit): (Value, Value)| {
        counted.spend(1)?;
        Ok(quantity::format_unit(number(&value, "the value")?, &text(&unit, "the unit")?))
    })?;
    globals.raw_set("format", print)?;
    let counted = meter.clone();
    let pulse =
        lua.create_function(move |_, (watts, ohms, joules, crest, seconds): (Value, Value, Value, Value, Value)| {
            counted.spend(1)?;
            let part = [number(&watts, "the watts")?, number(&ohms, "the ohms")?];
            let pulse =
                [number(&joules, "the joules")?, number(&crest, "the crest")?, number(&seconds, "the seconds")?];
            let limit = standard::resistor::pulse_energy(part, pulse);
            Ok((limit.value, limit.source))
        })?;
    globals.raw_set("pulse_energy", pulse)
}
