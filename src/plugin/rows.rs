//! Facts as tables of a machine: frozen, and such that a key no row of the class may have is an error.

use super::facts::{self, Fact, Row};
use super::handed::text;
use super::vm::{frozen, roomy};
use crate::standard;
use mlua::{Either, Lua, Table, Value};
use std::cell::RefCell;
use std::collections::BTreeMap;

/// What a fact is put into a table as. Numbers and texts go straight there; as values of the machine they would be held on to
/// on the way.
type Direct<'a> = Either<f64, Either<&'a str, Value>>;

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
        let table = roomy(lua, || made(lua, row))?;
        table.set_metatable(Some(strict))?;
        frozen(table).map(Value::Table)
    }
}

/// A frozen list of rows or other things that are made.
pub(super) fn list(lua: &Lua, all: impl IntoIterator<Item = mlua::Result<Value>>) -> mlua::Result<Value> {
    let all = all.into_iter().collect::<mlua::Result<Vec<Value>>>()?;
    roomy(lua, || frozen(lua.create_sequence_from(all)?)).map(Value::Table)
}

/// A frozen list of facts.
pub(super) fn facts(lua: &Lua, all: &[Fact<'_>]) -> mlua::Result<Value> {
    roomy(lua, || sequence(lua, all))
}

fn sequence(lua: &Lua, all: &[Fact<'_>]) -> mlua::Result<Value> {
    let all = all.iter().map(|fact| direct(lua, fact)).collect::<mlua::Result<Vec<_>>>()?;
    frozen(lua.create_sequence_from(all)?).map(Value::Table)
}

fn made(lua: &Lua, row: &Row<'_>) -> mlua::Result<Table> {
    let all = row.iter().map(|(key, fact)| Ok((key.as_ref(), direct(lua, fact)?)));
    lua.create_table_from(all.collect::<mlua::Result<Vec<(&str, Direct)>>>()?)
}

fn direct<'a>(lua: &Lua, fact: &'a Fact<'_>) -> mlua::Result<Direct<'a>> {
    Ok(match fact {
        Fact::Number(n) => Either::Left(*n),
        Fact::Text(t) => Either::Right(Either::Left(t)),
        Fact::Flag(b) => Either::Right(Either::Right(Value::Boolean(*b))),
        Fact::List(list) => Either::Right(Either::Right(sequence(lua, list)?)),
        Fact::Row(row) => Either::Right(Either::Right(Value::Table(frozen(made(lua, row)?)?))),
    })
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
        let near = standard::nearest_names(&key, known.iter().map(String::as_str), 1);
        let near = near.first().map_or(String::new(), |n| format!("; near is {n}"));
        Err(wrong(format!("{} has no {key:?}{near}", facts::a(class))))
    })?;
    let table = lua.create_table()?;
    table.raw_set("__index", index)?;
    table.raw_set("__metatable", "a row of the jig")?;
    frozen(table)
}
