//! Two jigs beside each other: what is written differently, what is found differently, what is nearer to its limit. Judges
//! nothing.

use super::Report;
use crate::finding::comparison::{Changed, Comparison, Moved, OneOfTwo};
use crate::finding::{Finding, Stress};
use std::collections::BTreeMap;

/// A share of a rating that moved by less is the same.
const MOVED: f64 = 1e-2;

/// Compares two jigs that were checked, each with the text of its file.
pub(crate) fn compare(old: (&[u8], &Report), new: (&[u8], &Report)) -> Comparison {
    let (before, now) = (&old.1.judgement, &new.1.judgement);
    let side = |j: &crate::finding::Judgement| OneOfTwo {
        file: j.jig_file.clone(),
        verdict: j.verdict(),
        complete: j.complete(),
    };
    let only = |of: &[Finding], others: &[Finding]| {
        of.iter().filter(|f| !others.iter().any(|o| same(f, o))).cloned().collect::<Vec<_>>()
    };
    Comparison {
        old: side(before),
        new: side(now),
        changes: changes(&flat(old.0), &flat(new.0)),
        gone: only(&before.findings, &now.findings),
        come: only(&now.findings, &before.findings),
        moved: moved(&before.stresses, &now.stresses),
    }
}

/// Whether two findings are about the same: check, signal word and what it is about.
fn same(a: &Finding, b: &Finding) -> bool {
    (&a.check, a.signal, &a.parts, &a.touchables) == (&b.check, b.signal, &b.parts, &b.touchables)
}

fn moved(before: &[Stress], now: &[Stress]) -> Vec<Moved> {
    let used = |s: &Stress| s.rating.filter(|r| *r > 0.0).map(|r| s.value / r);
    let mut out: Vec<Moved> = now
        .iter()
        .filter_map(|s| {
            let old = before.iter().find(|o| (&o.part, o.quantity, o.kind) == (&s.part, s.quantity, s.kind))?;
            let (used_before, used_now) = (used(old)?, used(s)?);
            let far = (used_now - used_before).abs() > MOVED;
            far.then(|| Moved { part: s.part.clone(), quantity: s.quantity, kind: s.kind, used_before, used_now })
        })
        .collect();
    out.sort_by(|a, b| b.used_now.total_cmp(&a.used_now));
    out
}

/// Every section of a jig file with its keys, as they are written.
type Sections = BTreeMap<String, BTreeMap<String, String>>;

fn flat(text: &[u8]) -> Sections {
    let mut out = Sections::new();
    // Both were checked, so both read.
    let Ok(table) = String::from_utf8_lossy(text).trim_start_matches('\u{feff}').parse::<toml::Table>() else {
        return out;
    };
    for (name, value) in &table {
        match value {
            toml::Value::Table(inner) if name == "part" || name == "plugin" => {
                for (part, keys) in inner {
                    out.insert(if name == "part" { part.clone() } else { format!("plugin {part}") }, keys_of(keys));
                }
            }
            toml::Value::Array(rows) => {
                for row in rows {
                    out.insert(format!("{name} {}", named(row)), keys_of(row));
                }
            }
            other => {
                out.insert(name.clone(), keys_of(other));
            }
        }
    }
    out
}

/// What tells a row of a list from the others.
fn named(row: &toml::Value) -> String {
    let key = ["name", "between", "check"].iter().find_map(|k| row.get(*k));
    key.map_or_else(String::new, shown)
}

fn keys_of(value: &toml::Value) -> BTreeMap<String, String> {
    match value {
        toml::Value::Table(keys) => keys.iter().map(|(k, v)| (k.clone(), shown(v))).collect(),
        other => BTreeMap::from([(String::new(), shown(other))]),
    }
}

/// A value for people.
fn shown(value: &toml::Value) -> String {
    match value {
        toml::Value::String(s) => s.clone(),
        toml::Value::Array(list) => list.iter().map(shown).collect::<Vec<_>>().join(" to "),
        toml::Value::Table(keys) => {
            keys.iter().map(|(k, v)| format!("{k} {}", shown(v))).collect::<Vec<_>>().join(", ")
        }
        other => other.to_string(),
    }
}

fn changes(old: &Sections, new: &Sections) -> Vec<Changed> {
    let mut out = vec![];
    let whole = |keys: &BTreeMap<String, String>| keys.values().cloned().collect::<Vec<_>>().join(", ");
    for (what, before) in old {
        let Some(now) = new.get(what) else {
            out.push(Changed { what: what.clone(), key: String::new(), from: Some(whole(before)), to: None });
            continue;
        };
        let keys: std::collections::BTreeSet<&String> = before.keys().chain(now.keys()).collect();
        for key in keys.into_iter().filter(|k| before.get(*k) != now.get(*k)) {
            let (from, to) = (before.get(key).cloned(), now.get(key).cloned());
            out.push(Changed { what: what.clone(), key: key.clone(), from, to });
        }
    }
    for (what, now) in new.iter().filter(|(what, _)| !old.contains_key(*what)) {
        out.push(Changed { what: what.clone(), key: String::new(), from: None, to: Some(whole(now)) });
    }
    out
}
