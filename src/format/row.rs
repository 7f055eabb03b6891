//! What a key held, once read. Must not know which keys there are.

use std::collections::BTreeMap;

use super::net::{Ends, NetId, Side};
use super::outlet::OutletLoad;
use super::place::Place;

/// The contents of one key.
#[derive(Debug, Clone)]
pub(crate) enum Value {
    Number(f64),
    Count(u32),
    Text(String),
    Word(&'static str),
    Flag(bool),
    Net(NetId),
    Pairs(Vec<Ends>),
    Nets(Vec<NetId>),
    Positions(Vec<(String, Vec<Ends>)>),
    Rows(Vec<Row>),
    Loads(Vec<OutletLoad>),
    Sides([Side; 2]),
    Size([f64; 3]),
    Residual(Option<f64>),
}

/// A section as read. Keys that were wrong are not in it: their errors are told already.
#[derive(Debug, Clone, Default)]
pub(crate) struct Row {
    pub(crate) place: Place,
    /// Place of each key that was written, right or wrong.
    pub(crate) places: BTreeMap<String, Place>,
    /// Place of each key's contents.
    pub(crate) contents: BTreeMap<String, Place>,
    pub(crate) values: BTreeMap<&'static str, Value>,
}

impl Row {
    pub(crate) fn place_of(&self, key: &str) -> Place {
        self.contents.get(key).copied().unwrap_or(self.place)
    }

    pub(crate) fn has(&self, key: &str) -> bool {
        self.places.contains_key(key)
    }

    pub(crate) fn number(&self, key: &str) -> Option<f64> {
        match self.values.get(key) {
            Some(Value::Number(n)) => Some(*n),
            _ => None,
        }
    }

    pub(crate) fn count(&self, key: &str) -> Option<u32> {
        match self.values.get(key) {
            Some(Value::Count(n)) => Some(*n),
            _ => None,
        }
    }

    pub(crate) fn text(&self, key: &str) -> Option<String> {
        match self.values.get(key) {
            Some(Value::Text(t)) => Some(t.clone()),
            Some(Value::Word(w)) => Some((*w).to_string()),
            _ => None,
        }
    }

    pub(crate) fn word(&self, key: &str) -> Option<&'static str> {
        match self.values.get(key) {
            Some(Value::Word(w)) => Some(w),
            _ => None,
        }
    }

    pub(crate) fn flag(&self, key: &str) -> Option<bool> {
        match self.values.get(key) {
            Some(Value::Flag(f)) => Some(*f),
            _ => None,
        }
    }

    pub(crate) fn net(&self, key: &str) -> Option<NetId> {
        match self.values.get(key) {
            Some(Value::Net(n)) => Some(*n),
            _ => None,
        }
    }

    pub(crate) fn nets(&self, key: &str) -> Option<Vec<NetId>> {
        match self.values.get(key) {
            Some(Value::Nets(n)) => Some(n.clone()),
            _ => None,
        }
    }

    pub(crate) fn ends(&self, key: &str) -> Option<Ends> {
        self.pairs(key).and_then(|pairs| pairs.first().copied())
    }

    pub(crate) fn pairs(&self, key: &str) -> Option<Vec<Ends>> {
        match self.values.get(key) {
            Some(Value::Pairs(p)) => Some(p.clone()),
            _ => None,
        }
    }

    pub(crate) fn positions(&self, key: &str) -> Option<Vec<(String, Vec<Ends>)>> {
        match self.values.get(key) {
            Some(Value::Positions(p)) => Some(p.clone()),
            _ => None,
        }
    }

    pub(crate) fn rows(&self, key: &str) -> &[Row] {
        match self.values.get(key) {
            Some(Value::Rows(rows)) => rows,
            _ => &[],
        }
    }

    pub(crate) fn loads(&self, key: &str) -> Option<Vec<OutletLoad>> {
        match self.values.get(key) {
            Some(Value::Loads(l)) => Some(l.clone()),
            _ => None,
        }
    }

    pub(crate) fn sides(&self, key: &str) -> Option<[Side; 2]> {
        match self.values.get(key) {
            Some(Value::Sides(s)) => Some(*s),
            _ => None,
        }
    }

    pub(crate) fn size(&self, key: &str) -> Option<[f64; 3]> {
        match self.values.get(key) {
            Some(Value::Size(s)) => Some(*s),
            _ => None,
        }
    }

    pub(crate) fn residual(&self, key: &str) -> Option<Option<f64>> {
        match self.values.get(key) {
            Some(Value::Residual(r)) => Some(*r),
            _ => None,
        }
    }
}
