//! Facts as tables of a machine: frozen, and such that a key no row of the class may have is an error.

use super::arguments::text;
use super::facts::{self, Fact, Row};
use super::vm::{frozen, unlimited};
use crate::standard;
use mlua::{Either, IntoLua, Lua, Table, Value};
use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::BTreeMap;

/// A key with its fact.
type Entry<'a> = (Cow<'a, str>, Fact<'a>);

/// A number under a key.
pub(super) fn n<'a>(key: &'static str, value: f64) -> Entry<'a> {
    (key.into(), Fact::Number(value))
}

/// A text under a key.
pub(super) fn t<'a>(key: &'static str, value: impl Into<Cow<'a, str>>) -> Entry<'a> {
    (key.into(), Fact::Text(value.into()))
}

/// A list under a key.
pub(super) fn list_of<'a>(key: &'static str, all: Vec<Fact<'a>>) -> Entry<'a> {
    (key.into(), Fact::List(all))
}

/// What a fact is put into a table as. Numbers and texts go straight there; as values of the machine they would be kept alive on the
/// way.
type Direct<'a> = Either<f64, Either<&'a str, Other<'a>>>;

/// A fact that is neither a number nor a text.
struct Other<'a>(&'a Fact<'a>);

impl IntoLua for Other<'_> {
    fn into_lua(self, lua: &Lua) -> mlua::Result<Value> {
        match self.0 {
            Fact::Number(n) => Ok(Value::Number(*n)),
            Fact::Text(text) => text.as_ref().into_lua(lua),
            Fact::Flag(b) => Ok(Value::Boolean(*b)),
            Fact::List(list) => sequence(lua, list),
            Fact::Row(row) => frozen(made(lua, row)?).map(Value::Table),
        }
    }
}

fn direct<'a>(fact: &'a Fact<'a>) -> Direct<'a> {
    match fact {
        Fact::Number(n) => Either::Left(*n),
        Fact::Text(text) => Either::Right(Either::Left(text)),
        other => Either::Right(Either::Right(Other(other))),
    }
}

/// Makes rows and lists.
#[derive(Default)]
pub(super) struct Rows {
    strict: RefCell<BTreeMap<&'static str, Table>>,
}

impl Rows {
    /// A row of a class.
    pub(super) fn strict(&self, lua: &Lua, class: &'static str, row: &Row<'_>) -> mlua::Result<Value> {
        let known = self.strict.borrow().get(class).cloned();
        let strict = match known {
            Some(strict) => strict,
            None => {
                let strict = metatable(lua, class)?;
                self.strict.borrow_mut().insert(class, strict.clone());
                strict
            }
        };
        let table = unlimited(lua, || made(lua, row))?;
        table.set_metatable(Some(strict))?;
        frozen(table).map(Value::Table)
    }
}

/// A frozen list of rows or other things that are made.
pub(super) fn list(lua: &Lua, all: impl IntoIterator<Item = mlua::Result<Value>>) -> mlua::Result<Value> {
    let all = all.into_iter().collect::<mlua::Result<Vec<Value>>>()?;
    unlimited(lua, || frozen(lua.create_sequence_from(all)?)).map(Value::Table)
}

/// A frozen list of facts.
pub(super) fn facts(lua: &Lua, all: &[Fact<'_>]) -> mlua::Result<Value> {
    unlimited(lua, || sequence(lua, all))
}

fn sequence(lua: &Lua, all: &[Fact<'_>]) -> mlua::Result<Value> {
    frozen(lua.create_sequence_from(all.iter().map(direct))?).map(Value::Table)
}

fn made(lua: &Lua, row: &Row<'_>) -> mlua::Result<Table> {
    lua.create_table_from(row.iter().map(|(key, fact)| (key.as_ref(), direct(fact))))
}

/// Metatable of the rows of a class: a key that no row of it may have is a slip, and must not read as "not stated".
fn metatable(lua: &Lua, class: &'static str) -> mlua::Result<Table> {
    let wrong = |message: String| mlua::Error::runtime(message);
    let index = lua.create_function(move |_, (row, key): (Table, Value)| -> mlua::Result<Value> {
        let key = text(&key, &format!("the key of {}", facts::a(class)))?;
        if facts::may_have(class, &key) {
            return Ok(Value::Nil);
        }
        let mut known: Vec<String> = facts::optional(class).iter().map(|k| (*k).to_string()).collect();
        for pair in row.pairs::<String, Value>() {
            known.push(pair?.0);
        }
        let near = standard::near(&key, known.iter().map(String::as_str));
        Err(wrong(format!("{} has no {key:?}{near}", facts::a(class))))
    })?;
    let table = lua.create_table()?;
    table.raw_set("__index", index)?;
    table.raw_set("__metatable", "a row of the jig")?;
    frozen(table)
}
