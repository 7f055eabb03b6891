//! Two versions of a plugin beside each other: what it says of itself, its files, the lines of its code. Must not run one.

use super::folder::Folder;
use super::manifest::{CheckInfo, Manifest, Number, Setting, SettingValue};
use crate::quantity::format_unit;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Something that differs; empty where there is none.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Change {
    /// What it is: `check over-volts, limit`.
    pub what: String,
    /// As it was.
    pub before: String,
    /// As it is now.
    pub now: String,
}

/// A line that is in one of two texts only.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Line {
    /// `-` was, `+` is.
    pub sign: char,
    /// Its number in its own text, from 1.
    pub number: usize,
    /// The line.
    pub text: String,
}

/// What differs in what two versions say of themselves: limits, numbers and settings first, since they decide.
pub(crate) fn of_manifests(old: &Manifest, new: &Manifest) -> Vec<Change> {
    let mut changes = vec![];
    each(&mut changes, "check", [&old.checks, &new.checks], check);
    each(&mut changes, "number", [&old.numbers, &new.numbers], number);
    each(&mut changes, "setting", [&old.settings, &new.settings], setting);
    let own = |m: &Manifest| {
        BTreeMap::from([
            ("id", m.id.clone()),
            ("version", m.version.to_string()),
            ("title", m.title.clone()),
            ("about", m.about.clone()),
            ("units", m.units.join(", ")),
            ("also-called", m.also_called.join(", ")),
            ("author", m.author.clone()),
            ("licence", m.licence.clone()),
            ("sources", m.sources.join("; ")),
        ])
    };
    differences(&mut changes, "", &own(old), &own(new));
    changes
}

type Facts = BTreeMap<&'static str, String>;

fn check(c: &CheckInfo) -> Facts {
    let limit = c.limit.as_ref().map_or_else(String::new, |(value, unit)| format_unit(*value, unit));
    let told_by: Vec<&str> = c.told_by.iter().map(|id| id.name()).collect();
    BTreeMap::from([
        ("limit", limit),
        ("source", c.source.clone()),
        ("title", c.title.clone()),
        ("told-by", told_by.join(", ")),
        ("why", c.why.clone()),
    ])
}

fn number(n: &Number) -> Facts {
    BTreeMap::from([("value", format_unit(n.value.0, &n.value.1)), ("source", n.source.clone())])
}

fn setting(s: &Setting) -> Facts {
    let default = match &s.default {
        SettingValue::Number(n) => n.to_string(),
        SettingValue::Quantity(value, unit) => format_unit(*value, unit),
        SettingValue::Text(text) => text.clone(),
        SettingValue::Flag(flag) => flag.to_string(),
    };
    BTreeMap::from([("type", s.default.kind().to_string()), ("default", default), ("about", s.about.clone())])
}

fn each<T>(changes: &mut Vec<Change>, what: &str, [old, new]: [&BTreeMap<String, T>; 2], facts: fn(&T) -> Facts) {
    let names: BTreeSet<&String> = old.keys().chain(new.keys()).collect();
    for name in names {
        let label = format!("{what} {name}");
        let of = |one: Option<&T>| one.map(facts);
        match (of(old.get(name)), of(new.get(name))) {
            (Some(before), Some(now)) => differences(changes, &format!("{label}, "), &before, &now),
            (None, Some(now)) => changes.push(Change { what: label, before: String::new(), now: words(&now) }),
            (Some(before), None) => changes.push(Change { what: label, before: words(&before), now: String::new() }),
            (None, None) => {}
        }
    }
}

fn words(facts: &Facts) -> String {
    let some = facts.iter().filter(|(_, text)| !text.is_empty());
    some.map(|(name, text)| format!("{name} {text}")).collect::<Vec<_>>().join("; ")
}

fn differences(changes: &mut Vec<Change>, label: &str, before: &Facts, now: &Facts) {
    for (name, text) in now {
        let old = before.get(name).cloned().unwrap_or_default();
        if old != *text {
            changes.push(Change { what: format!("{label}{name}"), before: old, now: text.clone() });
        }
    }
}

/// Files that differ: the name, and whether it is new, gone or changed.
pub(crate) fn of_files(old: &Folder, new: &Folder) -> Vec<(String, &'static str)> {
    let names: BTreeSet<&String> = old.files.keys().chain(new.files.keys()).collect();
    let one = |name: &&String| match (old.files.get(*name), new.files.get(*name)) {
        (None, Some(_)) => Some("new"),
        (Some(_), None) => Some("gone"),
        (before, now) if before != now => Some("changed"),
        _ => None,
    };
    names.iter().filter_map(|name| Some(((*name).clone(), one(name)?))).collect()
}

/// Most lines of a text that are compared one by one, by the work it is.
const MOST_LINES: usize = 4000;

/// The lines that are in one of two texts only, in their order; all of both where they are too long to compare.
pub(crate) fn of_lines(old: &str, new: &str) -> Vec<Line> {
    let (a, b): (Vec<&str>, Vec<&str>) = (old.lines().collect(), new.lines().collect());
    let line = |sign, k: usize, text: &str| Line { sign, number: k + 1, text: text.to_string() };
    // What is the same at both ends is not worth a table.
    let front = a.iter().zip(&b).take_while(|(x, y)| x == y).count();
    let (mut i, mut k) = (front, front);
    let mut lines = vec![];
    if a.len().max(b.len()) <= MOST_LINES {
        let common = longest_common(&a[front..], &b[front..]);
        while i < a.len() && k < b.len() {
            if a[i] == b[k] {
                (i, k) = (i + 1, k + 1);
            } else if common[i - front + 1][k - front] >= common[i - front][k - front + 1] {
                lines.push(line('-', i, a[i]));
                i += 1;
            } else {
                lines.push(line('+', k, b[k]));
                k += 1;
            }
        }
    }
    lines.extend((i..a.len()).map(|i| line('-', i, a[i])));
    lines.extend((k..b.len()).map(|k| line('+', k, b[k])));
    lines
}

/// At each place of two lists, how many lines the rest of both has in common, in order.
fn longest_common(a: &[&str], b: &[&str]) -> Vec<Vec<u16>> {
    let mut table = vec![vec![0u16; b.len() + 1]; a.len() + 1];
    for i in (0..a.len()).rev() {
        for k in (0..b.len()).rev() {
            table[i][k] = if a[i] == b[k] { table[i + 1][k + 1] + 1 } else { table[i + 1][k].max(table[i][k + 1]) };
        }
    }
    table
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_that_are_in_one_text_only_are_told_in_order() {
        let told = |old: &str, new: &str| {
            of_lines(old, new).iter().map(|l| format!("{}{} {}", l.sign, l.number, l.text)).collect::<Vec<_>>()
        };
        assert_eq!(told("a\nb\nc\n", "a\nb\nc\n"), Vec::<String>::new());
        assert_eq!(told("a\nb\nc\n", "a\nx\nc\n"), ["-2 b", "+2 x"]);
        assert_eq!(told("a\nb\nc\nd\n", "b\nc\ne\nd\n"), ["-1 a", "+3 e"]);
        assert_eq!(told("", "a\n"), ["+1 a"]);
        let long = "x\n".repeat(MOST_LINES + 1);
        assert_eq!(told(&format!("{long}a\n"), &format!("{long}b\n")), ["-4002 a", "+4002 b"]);
    }
}
