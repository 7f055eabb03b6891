//! Facts as tables of a machine: frozen, and such that a key no row of the class may have is an error. Put together inside the
//! machine, by functions of the prelude: key by key from outside costs many times as much.

use super::facts::{self, Fact, Row};
use super::view::text;
use super::vm::{Makers, frozen};
use crate::standard;
use mlua::{IntoLua, Lua, MultiValue, Table, Value};
use std::cell::RefCell;
use std::collections::{BTreeMap, HashMap};

/// Longest text that is kept for the next row: names and words, not sentences.
const MOST_KEPT: usize = 40;

/// Makes rows and lists.
pub(super) struct Rows {
    makers: Makers,
    /// Lists of keys, by the keys in a line.
    keys: RefCell<HashMap<String, Value>>,
    texts: RefCell<HashMap<String, Value>>,
    /// Lists of names, by the names in a line.
    lists: RefCell<HashMap<String, Value>>,
    strict: RefCell<BTreeMap<&'static str, Table>>,
}

impl Rows {
    /// With the prelude's functions.
    pub(super) fn new(makers: Makers) -> Rows {
        Rows {
            makers,
            keys: RefCell::default(),
            texts: RefCell::default(),
            lists: RefCell::default(),
            strict: RefCell::default(),
        }
    }

    /// One fact.
    pub(super) fn fact(&self, lua: &Lua, fact: &Fact) -> mlua::Result<Value> {
        match fact {
            Fact::Number(n) => Ok(Value::Number(*n)),
            Fact::Flag(b) => Ok(Value::Boolean(*b)),
            Fact::Text(t) => self.text(lua, t),
            Fact::List(list) => {
                // The ends of a part are its nets as well: lists of names are shared.
                let names = list.iter().map(|one| if let Fact::Text(t) = one { Some(t.as_str()) } else { None });
                let line = names.collect::<Option<Vec<_>>>().map(|names| names.join("\n"));
                if let Some(kept) = line.as_ref().and_then(|line| self.lists.borrow().get(line).cloned()) {
                    return Ok(kept);
                }
                let all = list.iter().map(|one| self.fact(lua, one));
                let made = self.list(all.collect::<mlua::Result<MultiValue>>()?)?;
                if let Some(line) = line.filter(|line| line.len() <= MOST_KEPT) {
                    self.lists.borrow_mut().insert(line, made.clone());
                }
                Ok(made)
            }
            Fact::Row(row) => self.plain(lua, row),
        }
    }

    /// A frozen list.
    pub(super) fn list(&self, all: MultiValue) -> mlua::Result<Value> {
        self.makers.list.call(all)
    }

    /// A row that may be asked for any key: things by their names.
    pub(super) fn plain(&self, lua: &Lua, row: &Row) -> mlua::Result<Value> {
        self.made(lua, Value::Nil, row)
    }

    /// A row of a class.
    pub(super) fn strict(&self, lua: &Lua, class: &'static str, row: &Row) -> mlua::Result<Value> {
        let known = self.strict.borrow().get(class).cloned();
        let strict = match known {
            Some(strict) => strict,
            None => {
                let strict = metatable(lua, class)?;
                self.strict.borrow_mut().insert(class, strict.clone());
                strict
            }
        };
        self.made(lua, Value::Table(strict), row)
    }

    fn made(&self, lua: &Lua, strict: Value, row: &Row) -> mlua::Result<Value> {
        let mut arguments = MultiValue::with_capacity(row.len() + 2);
        arguments.push_back(strict);
        arguments.push_back(self.keys(lua, row)?);
        for (_, fact) in row {
            arguments.push_back(self.fact(lua, fact)?);
        }
        frozen(self.makers.row.call(arguments)?).map(Value::Table)
    }

    fn keys(&self, lua: &Lua, row: &Row) -> mlua::Result<Value> {
        let line = row.iter().map(|(key, _)| key.as_str()).collect::<Vec<_>>().join("\n");
        if let Some(keys) = self.keys.borrow().get(&line) {
            return Ok(keys.clone());
        }
        let all = row.iter().map(|(key, _)| self.text(lua, key));
        let keys = self.list(all.collect::<mlua::Result<MultiValue>>()?)?;
        self.keys.borrow_mut().insert(line, keys.clone());
        Ok(keys)
    }

    fn text(&self, lua: &Lua, text: &str) -> mlua::Result<Value> {
        if let Some(kept) = self.texts.borrow().get(text) {
            return Ok(kept.clone());
        }
        let made = text.into_lua(lua)?;
        if text.len() <= MOST_KEPT {
            self.texts.borrow_mut().insert(text.to_string(), made.clone());
        }
        Ok(made)
    }
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
