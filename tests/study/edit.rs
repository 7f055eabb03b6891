//! A sound jig as text, and the small edits that break it. Knows TOML and nothing of what makes a jig good or bad.

use crate::finding::Signal;
use toml_edit::{ArrayOfTables, DocumentMut, Item, Table, Value};

/// What must be said of a jig, by the way it was broken.
#[derive(Debug, Clone)]
pub enum Expect {
    /// At least so grave a finding that the sound jig has not, naming one of these (a part, net, touchable, or a word of
    /// the bench such as "cord").
    Flagged(Signal, Vec<String>),
    /// Nothing graver than CAUTION; the way's reasoning says why.
    Harmless,
}

/// One changed jig.
#[derive(Debug, Clone)]
pub struct Case {
    /// How it was changed: a row of the table.
    pub way: &'static str,
    /// Which jig it was.
    pub jig: &'static str,
    /// What was changed in this one.
    pub what: String,
    /// The jig file.
    pub text: String,
    /// What must be said.
    pub expect: Expect,
}

/// A sound jig.
#[derive(Clone)]
pub struct Sound {
    /// Its letter in the table and its file.
    pub name: &'static str,
    doc: DocumentMut,
}

/// Must be flagged, with one of these names.
pub fn flagged(signal: Signal, guilty: &[&str]) -> Expect {
    Expect::Flagged(signal, guilty.iter().map(|s| (*s).to_string()).collect())
}

impl Sound {
    pub fn read(name: &'static str) -> Sound {
        let path = format!("{}/demo-data/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        Sound { name, doc: std::fs::read_to_string(path).unwrap().parse().unwrap() }
    }

    pub fn text(&self) -> String {
        self.doc.to_string()
    }

    /// Changes a copy and files it.
    pub fn case(
        &self,
        out: &mut Vec<Case>,
        way: &'static str,
        what: impl Into<String>,
        expect: Expect,
        edit: impl FnOnce(&mut Sound),
    ) {
        let mut copy = self.clone();
        edit(&mut copy);
        let what = what.into();
        assert_ne!(copy.text(), self.text(), "{}: {way}: {what}: nothing was changed", self.name);
        out.push(Case { way, jig: self.name, what, text: copy.text(), expect });
    }

    fn table(&mut self, path: &[&str]) -> &mut dyn toml_edit::TableLike {
        let mut item = self.doc.as_item_mut();
        for key in path {
            item = match key.parse::<usize>() {
                Ok(k) => {
                    return item.as_array_of_tables_mut().unwrap().get_mut(k).unwrap();
                }
                Err(_) => item.as_table_like_mut().unwrap().get_mut(key).unwrap_or_else(|| panic!("{path:?}")),
            };
        }
        item.as_table_like_mut().unwrap()
    }

    /// Sets a key to a TOML value, written as it stands in the file; `path` such as `part.R1` or `insulation.0`.
    pub fn set(&mut self, path: &str, key: &str, value: &str) {
        let path: Vec<&str> = path.split('.').collect();
        let value: Value = value.parse().unwrap_or_else(|e| panic!("{value}: {e}"));
        self.table(&path).insert(key, Item::Value(value));
    }

    /// Takes a key away.
    pub fn unset(&mut self, path: &str, key: &str) {
        let path: Vec<&str> = path.split('.').collect();
        self.table(&path).remove(key).unwrap_or_else(|| panic!("{path:?} {key}"));
    }

    pub fn get(&self, path: &str, key: &str) -> Option<String> {
        let path: Vec<&str> = path.split('.').collect();
        let mut copy = self.clone();
        let text = copy.table(&path).get(key)?.as_value()?.to_string();
        Some(text.trim().to_string())
    }

    /// Puts a part in (or in the place of the one of that name); `body` is its keys.
    pub fn put(&mut self, name: &str, body: &str) {
        let table: DocumentMut = body.parse().unwrap_or_else(|e| panic!("{body}: {e}"));
        let mut table: Table = table.as_table().clone();
        table.set_implicit(false);
        self.doc["part"].as_table_mut().unwrap().insert(name, Item::Table(table));
    }

    /// Takes a part away.
    pub fn take(&mut self, name: &str) {
        self.doc["part"].as_table_mut().unwrap().remove(name).unwrap_or_else(|| panic!("{name}"));
    }

    /// Names of the parts of a kind, in file order.
    pub fn parts(&self, kind: &str) -> Vec<String> {
        let parts = self.doc["part"].as_table().unwrap();
        parts.iter().filter(|(_, p)| p["kind"].as_str() == Some(kind)).map(|(n, _)| n.to_string()).collect()
    }

    /// The two ends of a part.
    pub fn ends(&self, name: &str) -> [String; 2] {
        let a = self.doc["part"][name]["across"].as_array().unwrap();
        [0, 1].map(|k| a.get(k).unwrap().as_str().unwrap().to_string())
    }

    fn list(&self, name: &str) -> Option<&ArrayOfTables> {
        self.doc.get(name)?.as_array_of_tables()
    }

    /// How many insulations are stated.
    pub fn insulations(&self) -> usize {
        self.list("insulation").map_or(0, ArrayOfTables::len)
    }

    /// The two sides of an insulation.
    pub fn sides(&self, k: usize) -> [String; 2] {
        let i = self.list("insulation").unwrap().get(k).unwrap();
        [0, 1].map(|n| i["between"].as_array().unwrap().get(n).unwrap().as_str().unwrap().to_string())
    }

    /// Takes an insulation away.
    pub fn bare(&mut self, k: usize) {
        self.doc["insulation"].as_array_of_tables_mut().unwrap().remove(k);
    }

    /// The first touchable's name and net.
    pub fn touchable(&self) -> [String; 2] {
        let t = self.list("touchable").unwrap().get(0).unwrap();
        ["name", "net"].map(|k| t[k].as_str().unwrap().to_string())
    }

    /// Hangs the first end of a part on another net.
    pub fn hang(&mut self, name: &str, first: &str, second: &str) {
        self.set(&format!("part.{name}"), "across", &format!("[{first:?}, {second:?}]"));
    }

    /// Puts something in series with a pin of the plug: what hung on the pin hangs on net `inside` afterwards.
    pub fn in_series(&mut self, pin: &str, inside: &str, name: &str, body: &str) {
        let text = self.text().replace(&format!("{pin:?}"), &format!("{inside:?}"));
        self.doc = text.parse().unwrap();
        self.put(name, &format!("{body}\nacross = [{pin:?}, {inside:?}]"));
    }

    /// Exchanges two names everywhere.
    pub fn exchange(&mut self, a: &str, b: &str) {
        let text = self.text().replace(&format!("{a:?}"), "\"\u{1}\"").replace(&format!("{b:?}"), &format!("{a:?}"));
        self.doc = text.replace("\"\u{1}\"", &format!("{b:?}")).parse().unwrap();
    }
}

impl Sound {
    /// Adds text at the end of the file.
    pub fn append(&mut self, text: &str) {
        self.doc = (self.text() + text).parse().unwrap();
    }

    /// Exchanges the values of two keys.
    pub fn exchange_keys(&mut self, path: &str, a: &str, b: &str) {
        let (x, y) = (self.get(path, a).unwrap(), self.get(path, b).unwrap());
        self.set(path, a, &y);
        self.set(path, b, &x);
    }

    /// One load more on the outlet.
    pub fn load(&mut self, load: &str) {
        let list = self.get("outlet.0", "loads").unwrap();
        self.set("outlet.0", "loads", &list.replace(']', &format!(", {load:?}]")));
    }
}
