//! Builds what stands several times in a file: parts, outlets, insulation, acceptances. Must not know how a key is read.

use std::collections::BTreeMap;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::bounds::{MOST_PARTS, most_rows};
use super::model::{Accept, Insulation, LoadKind, Outlet, OutletLoad, Part, Place};
use super::sections::{ACCEPT, OUTLET};
use super::walk::{Walk, in_order, type_name};
use super::{trade, words};
use crate::format::{Row, Section};
use crate::part::{PartKind, Reading, SECTIONS, ThermalFuse};
use crate::quantity::quote;
use crate::standard::{Grade, Tables};

/// What a repeated section gave.
pub(super) struct Many<T> {
    /// Rows and values side by side, those only that could be built.
    pub(super) rows: Vec<Row>,
    /// The values.
    pub(super) values: Vec<T>,
    /// Whether all could be.
    pub(super) whole: bool,
}

pub(super) fn repeated<'t, T>(
    walk: &mut Walk<'t, '_>,
    top: &DeTable<'t>,
    section: &Section,
    build: impl Fn(&Row) -> Option<T>,
) -> Many<T> {
    let mut many = Many { rows: Vec::new(), values: Vec::new(), whole: true };
    let Some(node) = top.get(section.name) else { return many };
    let what = format!("[[{}]]", section.name);
    let Some(list) = node.get_ref().as_array() else {
        let place = walk.place(node.span().start);
        walk.errors.wrong(place, format!("{} may stand more than once", section.name), format!("write {what}"));
        many.whole = false;
        return many;
    };
    for (k, node) in list.iter().enumerate() {
        let place = walk.place(node.span().start);
        if let Some(most) = most_rows(section.name).filter(|most| k == *most) {
            let message = format!("the file has {} {what}", list.len());
            walk.errors.wrong(place, message, format!("a jig has at most {most}; from here on they are not read"));
            many.whole = false;
            break;
        }
        let built = node.get_ref().as_table().map(|table| walk.row(&what, place, table, section, &[]));
        if built.is_none() {
            let message = format!("{} holds {}", section.name, type_name(node.get_ref()));
            walk.errors.wrong(place, message, format!("write {what} and its keys below"));
        }
        match built.and_then(|row| build(&row).map(|value| (row, value))) {
            Some((row, value)) => {
                many.rows.push(row);
                many.values.push(value);
            }
            None => many.whole = false,
        }
    }
    many
}

/// Names of a repeated section are unique.
pub(super) fn unique(walk: &mut Walk<'_, '_>, what: &str, rows: &[Row]) {
    let mut first: BTreeMap<String, Place> = BTreeMap::new();
    for row in rows {
        let Some(name) = row.text("name") else { continue };
        let place = row.place_of("name");
        match first.get(&name) {
            Some(earlier) => {
                let message = format!("the {what} {} is there twice, first in line {}", quote(&name), earlier.line);
                walk.errors.wrong(place, message, "give one of them another name");
            }
            None => {
                first.insert(name, place);
            }
        }
    }
}

/// Names of all parts, and the parts that could be built, in file order.
pub(super) fn parts<'t>(walk: &mut Walk<'t, '_>, top: &DeTable<'t>, tables: &dyn Tables) -> (Vec<String>, Vec<Part>) {
    let (mut names, mut parts) = (Vec::new(), Vec::new());
    let Some(node) = top.get("part") else {
        return (names, parts);
    };
    let Some(table) = node.get_ref().as_table() else {
        let place = walk.place(node.span().start);
        let message = format!("part is {}, where a table is wanted", type_name(node.get_ref()));
        walk.errors.wrong(place, message, "write [part.R1] for each part");
        return (names, parts);
    };
    if table.is_empty() {
        let place = walk.place(node.span().start);
        walk.errors.missing(place, "the jig has no parts", "add each part as [part.R1] with its kind");
    }
    for (name, at, node) in in_order(table) {
        let place = walk.place(at.min(node.span().start));
        if names.len() == MOST_PARTS {
            let message = format!("the file has {} parts", table.len());
            walk.errors.wrong(
                place,
                message,
                format!("a jig has at most {MOST_PARTS}; from here on they are not read"),
            );
            break;
        }
        names.push(name.to_string());
        parts.extend(part(walk, name, place, node, tables));
    }
    (names, parts)
}

fn part<'t>(
    walk: &mut Walk<'t, '_>,
    name: &str,
    place: Place,
    node: &Spanned<DeValue<'t>>,
    tables: &dyn Tables,
) -> Option<Part> {
    let Some(table) = node.get_ref().as_table() else {
        let message = format!("part {} is {}, where a table is wanted", quote(name), type_name(node.get_ref()));
        walk.errors.wrong(place, message, "write [part.R1] and its keys below");
        return None;
    };
    let what = format!("part {name}");
    let named = walk.name("the part name", name, place);
    if name.contains('.') {
        let help = "leave the full stop out: reports name a winding as T1.primary";
        walk.errors.wrong(place, format!("the part name {} has a full stop", quote(name)), help);
    }
    let Some(kind) = table.get("kind") else {
        walk.errors.missing(
            place,
            format!("{what} has no kind"),
            format!("add what it is, such as kind = \"resistor\"; {}", trade::LISTED),
        );
        return None;
    };
    let kind_place = walk.place(kind.span().start);
    let Some(word) = kind.get_ref().as_str() else {
        let message = format!("kind is {}, where a word in quotes is wanted", type_name(kind.get_ref()));
        walk.errors.wrong(kind_place, message, format!("write a word such as kind = \"resistor\"; {}", trade::LISTED));
        return None;
    };
    let Some(section) = SECTIONS.iter().find(|part| part.name == word) else {
        walk.errors.wrong(kind_place, format!("there is no kind of part {}", quote(word)), trade::help(word));
        return None;
    };
    let row = walk.row(&format!("{word} {name}"), place, table, section, &["kind"]);
    let errors = &mut *walk.errors;
    let mut wrong = |place, message: String, help: String| errors.wrong(place, message, help);
    let kind = PartKind::read(word, &row, &mut Reading { tables, wrong: &mut wrong })?;
    named.then(|| Part { name: name.to_string(), place, places: row.places, kind })
}

pub(super) fn outlets<'t>(walk: &mut Walk<'t, '_>, top: &DeTable<'t>) -> Many<Outlet> {
    let open = || vec![OutletLoad { label: "open".to_string(), kind: LoadKind::Open }];
    repeated(walk, top, &OUTLET, |row| {
        Some(Outlet {
            name: row.text("name")?,
            across: row.ends("across")?,
            earth: row.net("earth"),
            loads: if row.has("loads") { row.loads("loads")? } else { open() },
            place: row.place,
        })
    })
}

pub(super) fn insulation(row: &Row) -> Option<Insulation> {
    Some(Insulation {
        between: row.sides("between")?,
        grade: row.word("grade").and_then(Grade::from_word)?,
        clearance: row.number("clearance"),
        creepage: row.number("creepage"),
        place: row.place,
    })
}

/// Tells of thermal fuses on a part that is not there, or on themselves.
pub(super) fn sits_on(walk: &mut Walk, parts: &[Part], names: &[String]) {
    for part in parts {
        let PartKind::ThermalFuse(ThermalFuse { on: Some(on), .. }) = &part.kind else { continue };
        if *on != part.name && names.contains(on) {
            continue;
        }
        let others = names.iter().filter(|name| **name != part.name).map(String::as_str);
        let help = match words::nearest(on, others) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => "write the name of the part that heats it".to_string(),
        };
        let message = format!("{} sits on {}, which is no other part of this jig", part.name, quote(on));
        walk.errors.wrong(part.place_of("on"), message, help);
    }
}

pub(super) fn accepts<'t>(walk: &mut Walk<'t, '_>, top: &DeTable<'t>, part_names: &[String]) -> Vec<Accept> {
    let accepts = repeated(walk, top, &ACCEPT, |row| {
        Some(Accept {
            check: row.text("check")?,
            part: row.text("part"),
            reason: row.text("reason")?,
            by: row.text("by")?,
            until: row.text("until")?,
            place: row.place,
        })
    });
    for (accept, row) in accepts.values.iter().zip(&accepts.rows) {
        let Some(part) = accept.part.as_ref().filter(|part| !part_names.contains(part)) else {
            continue;
        };
        let help = match words::nearest(part, part_names.iter().map(String::as_str)) {
            Some(word) => format!("did you mean \"{word}\"?"),
            None => "name a part of this jig, or leave part out".to_string(),
        };
        walk.errors.wrong(row.place_of("part"), format!("the jig has no part {}", quote(part)), help);
    }
    accepts.values
}
