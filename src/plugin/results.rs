//! Findings of a plugin: made one by one from known fields, each looked at when it is made; read back by hand when the plugin
//! is done. Must not trust anything a plugin holds.

use super::arguments::{number, text, texts};
use super::manifest::Manifest;
use super::vm::{Meter, frozen};
use super::what_if::Subject;
use crate::finding::{CheckName, FilePlace, Finding, Signal, When};
use crate::jig::Place;
use crate::quantity::{chooses_variant, hidden, looks_blank};
use crate::standard;
use mlua::{Lua, Table, Value};
use std::cell::RefCell;
use std::rc::Rc;
use std::sync::Arc;

/// Most findings of one plugin.
pub(crate) const MOST_FINDINGS: usize = 1_000;
/// Longest text of a finding, characters.
const MOST_WORDS: usize = 1_000;

/// Findings that were made, with the table that stands for each in the plugin.
pub(super) type Made = Rc<RefCell<Vec<(Table, Finding)>>>;

const SIGNALS: [(&str, Signal); 4] = [
    ("danger", Signal::Danger),
    ("warning", Signal::Warning),
    ("caution", Signal::Caution),
    ("notice", Signal::Notice),
];

const KEYS: &[&str] = &[
    "check",
    "message",
    "remedy",
    "parts",
    "nets",
    "touchables",
    "condition",
    "quantity",
    "value",
    "unit",
    "limit",
    "source",
    "line",
];

fn wrong(message: impl Into<String>) -> mlua::Error {
    mlua::Error::runtime(message.into())
}

/// Text of a plugin as it may stand in a report: one line, nothing hidden, not too long, and single blanks, so that it cannot
/// be pushed to where it looks like a line of its own.
pub(crate) fn tidy(text: &str) -> String {
    let one = |c: char| if hidden(c) { '\u{FFFD}' } else { c };
    let seen = text.chars().take(MOST_WORDS).filter(|c| !chooses_variant(*c));
    let blank = |c: char| c == ' ' || c == '\n' || c == '\t' || looks_blank(c);
    let mut out = String::new();
    for c in seen {
        match blank(c) {
            true if out.is_empty() || out.ends_with(' ') => {}
            true => out.push(' '),
            false => out.push(one(c)),
        }
    }
    out.truncate(out.trim_end().len());
    out
}

/// Puts `danger`, `warning`, `caution` and `notice` into the globals.
pub(super) fn put_makers(
    lua: &Lua,
    meter: &Meter,
    subject: &Arc<Subject>,
    manifest: &Rc<Manifest>,
    made: &Made,
) -> mlua::Result<()> {
    for (word, signal) in SIGNALS {
        let (meter, subject, manifest, made) =
            (meter.clone(), Arc::clone(subject), Rc::clone(manifest), Rc::clone(made));
        let function = lua.create_function(move |lua, fields: Value| {
            meter.spend(1)?;
            let Value::Table(fields) = fields else {
                return Err(wrong(format!("{word} wants a table: {word}{{ check = …, message = … }}")));
            };
            let finding = finding(&fields, word, signal, &subject, &manifest)?;
            let mut made = made.borrow_mut();
            if made.len() >= MOST_FINDINGS {
                return Err(wrong(format!("more than {MOST_FINDINGS} findings")));
            }
            let stand_in = lua.create_table()?;
            stand_in.raw_set("check", finding.check.as_str())?;
            stand_in.raw_set("signal", word)?;
            stand_in.raw_set("number", made.len() + 1)?;
            let stand_in = frozen(stand_in)?;
            made.push((stand_in.clone(), finding));
            Ok(stand_in)
        })?;
        lua.globals().raw_set(word, function)?;
    }
    Ok(())
}

fn finding(
    fields: &Table,
    word: &str,
    signal: Signal,
    subject: &Subject,
    manifest: &Manifest,
) -> mlua::Result<Finding> {
    for (count, pair) in fields.pairs::<Value, Value>().enumerate() {
        let key = text(&pair?.0, "the name of a field")?;
        if !KEYS.contains(&key.as_str()) || count > KEYS.len() {
            return Err(wrong(format!("{word} knows no field {key:?}: {}", KEYS.join(", "))));
        }
    }
    let get = |key: &str| fields.raw_get::<Value>(key);
    let words = |key: &str, needed: bool| -> mlua::Result<String> {
        match get(key)? {
            Value::Nil if needed => Err(wrong(format!("{word} needs a {key}"))),
            Value::Nil => Ok(String::new()),
            value => Ok(tidy(&text(&value, key)?)),
        }
    };
    let optional = |key: &str| -> mlua::Result<Option<f64>> {
        match get(key)? {
            Value::Nil => Ok(None),
            value => number(&value, key).map(Some),
        }
    };
    let check = words("check", true)?;
    let Some(info) = manifest.checks.get(&check) else {
        let near = standard::near(&check, manifest.checks.keys().map(String::as_str));
        return Err(wrong(format!("plugin.toml declares no check {check:?}{near}")));
    };
    let jig = &subject.jig;
    let named = |key: &str, known: &dyn Fn(&str) -> bool, what: &str| -> mlua::Result<Vec<String>> {
        let list = texts(&get(key)?, key)?;
        match list.iter().find(|n| !known(n)) {
            Some(n) => Err(wrong(format!("this jig has no {what} {n:?}"))),
            None => Ok(list),
        }
    };
    let item = |n: &str| subject.part(n).is_some() || subject.survey.model.items.iter().any(|i| i.name == n);
    let parts = named("parts", &item, "part")?;
    let nets = named("nets", &|n| subject.net(n).is_some(), "net")?;
    let touchables = named("touchables", &|n| jig.touchables.iter().any(|t| t.name == n), "touchable")?;
    let (value, given) = (optional("value")?, optional("limit")?);
    let limit = given.or(value.and(info.limit.as_ref().map(|l| l.0)));
    let unit = words("unit", false)?;
    let unit = if unit.is_empty() && value.is_some() {
        info.limit.as_ref().map_or_else(String::new, |l| l.1.clone())
    } else {
        unit
    };
    if let (Some((_, declared)), None) = (&info.limit, given)
        && value.is_some()
        && unit != *declared
    {
        return Err(wrong(format!("the unit of {check} is {unit:?}, its limit in plugin.toml has {declared:?}")));
    }
    let source = words("source", false)?;
    let condition = words("condition", false)?;
    let place = place(subject, &parts, &touchables, optional("line")?);
    Ok(Finding {
        source_of_check: manifest.stamp(),
        parts,
        nets,
        touchables,
        condition: condition.clone(),
        when: When::Written(condition),
        quantity: words("quantity", false)?.as_str().into(),
        value,
        unit,
        limit,
        margin: Finding::margin_of(value, limit),
        source: if source.is_empty() { info.source.clone() } else { source },
        ..Finding::written(CheckName::Plugin(check), signal, place, [words("message", true)?, words("remedy", true)?])
    })
}

/// Where in the jig file: the line that was named, else the first part, else the first touchable, else `[jig]`.
fn place(subject: &Subject, parts: &[String], touchables: &[String], line: Option<f64>) -> FilePlace {
    let jig = &subject.jig;
    let part =
        parts.first().and_then(|n| jig.parts.iter().find(|p| p.name == *n || n.starts_with(&format!("{}.", p.name))));
    let touchable = touchables.first().and_then(|n| jig.touchables.iter().find(|t| t.name == *n));
    let found = part.map(|p| p.place).or(touchable.map(|t| t.place)).or(jig.places.get("jig").copied());
    let found = found.filter(|p| p.line > 0).unwrap_or(Place { line: 1, column: 1 });
    let line = line.filter(|l| *l >= 1.0 && *l <= 1e6).map(|l| l as u32);
    let place = line.map_or(found, |line| Place { line, column: 1 });
    FilePlace { file: jig.file.clone(), line: place.line, column: place.column }
}

/// Reads what `check` gave back: nothing, or a list of findings that were made here.
pub(super) fn read_back(result: &Value, made: &Made) -> Result<Vec<Finding>, String> {
    let list = match result {
        Value::Nil => return Ok(vec![]),
        Value::Table(list) => list,
        other => return Err(format!("check gave back {}, where a list of findings is wanted", other.type_name())),
    };
    if made.borrow().iter().any(|(table, _)| table == list) {
        return Err("check gave back one finding by itself; put it in a list: return { finding }".into());
    }
    // `jig` and its rows have no findings in them, and must not read as "nothing found".
    if list.metatable().is_some() {
        return Err(
            "check gave back something of the jig, or an object, where a plain list of findings is wanted".into()
        );
    }
    let length = list.raw_len();
    if length > MOST_FINDINGS {
        return Err(format!("check gave back {length} findings, at most {MOST_FINDINGS}"));
    }
    let made = made.borrow();
    let mut out = vec![];
    for k in 1..=length {
        let one = list.raw_get::<Value>(k).map_err(|_| "the list could not be read".to_string())?;
        let Value::Table(stand_in) = &one else {
            return Err(format!("number {k} of the list is {}, where a finding is wanted", one.type_name()));
        };
        let number = stand_in.raw_get::<Value>("number").ok().and_then(|n| n.as_usize()).unwrap_or(0);
        match number.checked_sub(1).and_then(|n| made.get(n)).filter(|(table, _)| table == stand_in) {
            Some((_, finding)) => out.push(finding.clone()),
            None => return Err(format!("number {k} of the list was not made by danger, warning, caution or notice")),
        }
    }
    let all = list.pairs::<Value, Value>().take(MOST_FINDINGS + 1).count();
    if all != length {
        return Err("the list has names in it; give back a plain list of findings".into());
    }
    out.sort_by(|a, b| {
        (a.signal, a.place.line, &a.check, &a.parts, &a.message).cmp(&(
            b.signal,
            b.place.line,
            &b.check,
            &b.parts,
            &b.message,
        ))
    });
    out.dedup();
    Ok(out)
}
