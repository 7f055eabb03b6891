//! What is behind `jig`: the subject, and what has been made of it for one machine.

use super::super::facts::Row;
use super::super::manifest::SettingValue;
use super::super::rows::{self, Rows};
use super::super::vm::Meter;
use super::super::what_if::Subject;
use crate::nets::Groups;
use mlua::{Function, Lua, Value};
use std::cell::RefCell;
use std::collections::{BTreeMap, HashMap};
use std::rc::Rc;
use std::sync::Arc;

/// Positions of switches.
pub(super) type Positions = Vec<(String, String)>;

/// What is made once and kept.
#[derive(PartialEq, Eq, Hash)]
pub(super) enum CacheKey {
    /// There is one of it.
    One(&'static str),
    /// A part by its place.
    Part(usize),
    /// All parts of a kind.
    Parts(String),
    /// Rows by their place among the survey's or the jig's.
    Stress(usize),
    Touch(usize),
    Lamp(usize),
    Insulation(usize),
}

/// What is behind `jig`.
pub(super) struct View {
    pub(super) subject: Arc<Subject>,
    pub(super) settings: Rc<BTreeMap<String, SettingValue>>,
    pub(super) meter: Meter,
    pub(super) rows: Rows,
    /// What loops over solutions.
    pub(super) iterator: Function,
    pub(super) kept: RefCell<HashMap<CacheKey, Value>>,
    /// Groups of joined nets by the positions of the switches.
    pub(super) groups: RefCell<BTreeMap<Positions, Groups>>,
}

impl View {
    /// A value that is made once.
    pub(super) fn kept(&self, key: CacheKey, make: impl FnOnce() -> mlua::Result<Value>) -> mlua::Result<Value> {
        if let Some(value) = self.kept.borrow().get(&key) {
            return Ok(value.clone());
        }
        let value = make()?;
        self.kept.borrow_mut().insert(key, value.clone());
        Ok(value)
    }

    pub(super) fn row<'a>(
        &self,
        lua: &Lua,
        class: &'static str,
        key: CacheKey,
        make: impl FnOnce() -> Row<'a>,
    ) -> mlua::Result<Value> {
        self.kept(key, || self.rows.strict(lua, class, &make()))
    }

    pub(super) fn list<'a>(
        &self,
        lua: &Lua,
        class: &'static str,
        make: impl FnOnce() -> Vec<Row<'a>>,
    ) -> mlua::Result<Value> {
        self.kept(CacheKey::One(class), || {
            rows::list(lua, make().into_iter().map(|row| self.rows.strict(lua, class, &row)))
        })
    }
}
