//! Writes changes into the text of a jig file and leaves everything else as it is: comments, order, spacing. Must not
//! know why a change is made.

use toml_edit::{Array, DocumentMut, Item, Table as Section, TableLike, Value as Written, value};

use crate::checks::{Change, Table, Value};

/// What this program's own remarks begin with.
const MARK: &str = "changed by deadfront";

/// What stood in the file before a change, and stands there now, as a person reads it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Edited {
    /// The part, or `supply`.
    pub(super) part: String,
    /// The key; `part` where a whole part is new.
    pub(super) key: String,
    /// What stood there, where something did.
    pub(super) from: Option<String>,
    /// What stands there now.
    pub(super) to: String,
}

/// The text with the changes made; `None` where the file is written in a way that leaves no place for one of them (a
/// part within braces has no line of its own), or where a name is taken.
pub(super) fn apply(text: &str, changes: &[Change]) -> Option<(String, Vec<Edited>)> {
    // The writer of TOML ends its own lines with a line feed.
    let windows = text.contains("\r\n");
    let plain = if windows { text.replace("\r\n", "\n") } else { text.to_string() };
    let mut file: DocumentMut = plain.parse().ok()?;
    let mut edited = vec![];
    for change in changes {
        edited.push(match change {
            Change::Set { table, key, value } => set(&mut file, table, key, value)?,
            Change::Add { behind, name, keys } => add(&mut file, behind, name, keys)?,
        });
    }
    // What was changed and changed back is as it was.
    edited.retain(|e| e.from.as_ref() != Some(&e.to));
    let text = file.to_string();
    Some((if windows { text.replace('\n', "\r\n") } else { text }, edited))
}

fn set(file: &mut DocumentMut, table: &Table, key: &str, new: &Value) -> Option<Edited> {
    let (part, keys, outer): (&str, &mut dyn TableLike, bool) = match table {
        Table::Part(name) => (name, file.get_mut("part")?.as_table_like_mut()?.get_mut(name)?.as_table_mut()?, false),
        Table::Cord => ("supply", file.get_mut("supply")?.as_table_mut()?, true),
    };
    if outer {
        let cord = keys.get_mut("cord")?;
        let from = put(cord.as_table_like_mut()?, key, new)?;
        // Within braces on one line the remark goes behind the line.
        let written = if cord.is_value() { cord.as_value_mut()? } else { cord.get_mut(key)?.as_value_mut()? };
        if from.as_ref() != Some(&shown(new)) {
            let remark = remark(behind(written).as_deref(), from.as_deref(), wanted(key));
            written.decor_mut().set_suffix(remark);
        }
        return Some(Edited { part: part.into(), key: format!("cord.{key}"), from, to: shown(new) });
    }
    let from = put(keys, key, new)?;
    let fuse = keys.get("kind").and_then(Item::as_str) == Some("fuse");
    let written = keys.get_mut(key)?.as_value_mut()?;
    let wanted = if fuse && key == "current" { "" } else { wanted(key) };
    if from.as_ref() != Some(&shown(new)) {
        let remark = remark(behind(written).as_deref(), from.as_deref(), wanted);
        written.decor_mut().set_suffix(remark);
    }
    Some(Edited { part: part.into(), key: key.into(), from, to: shown(new) })
}

/// Puts a value behind a key and keeps what stands around it; what stood there.
fn put(keys: &mut dyn TableLike, key: &str, new: &Value) -> Option<Option<String>> {
    let mut written = toml(new);
    let old = keys.get(key).map(|item| item.as_value().cloned());
    let Some(old) = old else {
        keys.insert(key, value(written));
        return Some(None);
    };
    let old = old?;
    *written.decor_mut() = old.decor().clone();
    // The item is replaced, not the entry: its key keeps its own spacing and the comments above it.
    *keys.get_mut(key)? = Item::Value(written);
    Some(Some(plain(&old)))
}

/// The comment behind a value.
fn behind(written: &Written) -> Option<String> {
    let text = written.decor().suffix()?.as_str()?.trim().trim_start_matches('#').trim().to_string();
    // A remark of an earlier run is replaced.
    let text = text.split(MARK).next().unwrap_or_default().trim().trim_end_matches(';').trim().to_string();
    (!text.is_empty()).then_some(text)
}

/// What is asked of the part that is fitted: a rating is a lower bound, what does something in the circuit is not.
fn wanted(key: &str) -> &'static str {
    match key {
        "resistance" | "capacitance" | "across" | "speed" => "",
        "class" => ": fit a part of this class",
        _ => ": fit a part with at least this",
    }
}

fn remark(before: Option<&str>, from: Option<&str>, wanted: &str) -> String {
    let before = before.map_or_else(String::new, |b| format!("{b}; "));
    let was = from.map_or_else(String::new, |f| format!(" (was {f})"));
    // A comment holds no control characters; what was read from the file may.
    format!("  # {before}{MARK}{wanted}{was}").chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

fn add(file: &mut DocumentMut, behind: &str, name: &str, keys: &[(&'static str, Value)]) -> Option<Edited> {
    let parts = file.get_mut("part")?.as_table_mut()?;
    if parts.contains_key(name) {
        return None;
    }
    let before = parts.get(behind)?.as_table()?;
    if before.is_dotted() || before.position().is_none() {
        return None;
    }
    let mut section = Section::new();
    // Sections of one place stand in the order in which they were put in.
    section.set_position(before.position());
    section.decor_mut().set_prefix(format!("\n# added by deadfront: belongs to {}\n", one_line(behind)));
    for (key, new) in keys {
        section.insert(key, value(toml(new)));
    }
    let words: Vec<String> = keys
        .iter()
        .skip(1)
        .map(|(key, v)| if matches!(v, Value::Flag(_)) { (*key).to_string() } else { shown(v) })
        .collect();
    let kind = keys.first().map_or_else(String::new, |(_, v)| shown(v));
    parts.insert(name, Item::Table(section));
    Some(Edited { part: name.into(), key: "part".into(), from: None, to: format!("{kind}, {}", words.join(", ")) })
}

fn one_line(name: &str) -> String {
    name.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

fn toml(new: &Value) -> Written {
    match new {
        Value::Text(t) => t.as_str().into(),
        Value::Nets(n) => Written::Array(n.iter().map(String::as_str).collect::<Array>()),
        Value::Flag(f) => (*f).into(),
    }
}

fn shown(new: &Value) -> String {
    match new {
        Value::Text(t) => t.clone(),
        Value::Nets(n) => n.join(" to "),
        Value::Flag(f) => f.to_string(),
    }
}

fn plain(old: &Written) -> String {
    match old {
        Written::String(s) => s.value().clone(),
        Written::Array(a) => a.iter().filter_map(Written::as_str).collect::<Vec<_>>().join(" to "),
        other @ Written::Integer(_)
        | other @ Written::Float(_)
        | other @ Written::Boolean(_)
        | other @ Written::Datetime(_)
        | other @ Written::InlineTable(_) => other.to_string().trim().to_string(),
    }
}
