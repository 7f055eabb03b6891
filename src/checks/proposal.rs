//! What a check proposes against its finding: changes of the jig file as data. Whether one cures is not known here; the
//! mending room tries them. Must not read or write a file.

use crate::finding::Way;

/// What stands behind a key of the jig file.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Value {
    /// A text in quotes: a quantity or a word.
    Text(String),
    /// A list of nets.
    Nets(Vec<String>),
    /// true or false.
    Flag(bool),
}

/// The table of the jig file a key stands in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Table {
    /// `[part.NAME]`.
    Part(String),
    /// `cord` of `[supply]`.
    Cord,
}

/// One change of the jig file.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Change {
    /// A key gets another value, or is written where it was missing.
    Set {
        /// Where.
        table: Table,
        /// The key.
        key: &'static str,
        /// The value.
        value: Value,
    },
    /// A new part, written behind the part it belongs to.
    Add {
        /// The part it stands behind.
        behind: String,
        /// Its name.
        name: String,
        /// Its keys, `kind` first.
        keys: Vec<(&'static str, Value)>,
    },
}

impl Change {
    /// A key of a part with a text.
    pub(crate) fn of_part(part: &str, key: &'static str, value: String) -> Change {
        Change::Set { table: Table::Part(part.into()), key, value: Value::Text(value) }
    }

    /// Whether both say something of the same key or the same new part.
    pub(crate) fn same_place(&self, other: &Change) -> bool {
        match (self, other) {
            (Change::Set { table: a, key: k, .. }, Change::Set { table: b, key: l, .. }) => a == b && k == l,
            (Change::Add { name: a, .. }, Change::Add { name: b, .. }) => a == b,
            _ => false,
        }
    }
}

/// Puts a change on top of others: the later word for a key counts, and a new part is written once, as it ends.
pub(crate) fn put_on(changes: &mut Vec<Change>, change: &Change) {
    if let Change::Set { table: Table::Part(part), key, value } = change {
        let new = changes.iter_mut().find_map(|c| match c {
            Change::Add { name, keys, .. } if name == part => Some(keys),
            Change::Set { .. } | Change::Add { .. } => None,
        });
        if let Some(keys) = new {
            match keys.iter_mut().find(|k| k.0 == *key) {
                Some(k) => k.1 = value.clone(),
                None => keys.push((key, value.clone())),
            }
            return;
        }
    }
    match changes.iter_mut().find(|c| c.same_place(change)) {
        Some(c) => *c = change.clone(),
        None => changes.push(change.clone()),
    }
}

/// Changes that belong together.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Proposal {
    /// The changes.
    pub changes: Vec<Change>,
    /// What they are to a person.
    pub way: Way,
}
