//! Puts the jig together, section by section. Must not know how a key is read.

use std::collections::BTreeMap;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::bounds::{MOST_PARTS, MOST_STORES, MOST_SWITCHES, most_rows};
use super::error::{InputError, InputErrors};
use super::model::{
    Accept, Enclosure, Insulation, Jig, LoadKind, NET_PE, NetId, Outlet, OutletLoad, Part, Place, Point, Touchable,
    Usage,
};
use super::nets::NetNames;
use super::sections::{ACCEPT, ENCLOSURE, FORMAT, INSULATION, JIG, OUTLET, POINT, SUPPLY, TOP, TOP_NEEDED, TOUCHABLE};
use super::source::{self, Index};
use super::walk::{Walk, in_order, type_name};
use super::{supply, words};
use crate::files;
use crate::format::{Row, Section};
use crate::part::{PartKind, Reading, SECTIONS, Switch, ThermalFuse};
use crate::quantity::quote;
use crate::standard::{Grade, Tables};

pub(crate) fn jig(file: &str, bytes: &[u8], tables: &dyn Tables) -> Result<Jig, Vec<InputError>> {
    let mut errors = InputErrors::new(file);
    let read = source::text(bytes, &mut errors).and_then(|text| {
        let index = Index::new(text);
        let tree = source::tree(text, &index, &mut errors)?;
        if !TOP.iter().any(|name| tree.get_ref().contains_key(*name)) {
            // Whatever else is wrong with it would be told of every line.
            errors = InputErrors::new(file);
            let help = "a jig file has format = 1, [jig], [supply] and parts; deadfront new writes one to begin from";
            errors.wrong(Place { line: 1, column: 1 }, "this is no jig file", help);
            return None;
        }
        let mut walk = Walk { index: &index, errors: &mut errors, nets: NetNames::new() };
        whole(&mut walk, tree.get_ref(), tables)
    });
    match read {
        Some(mut jig) if errors.is_empty() => {
            jig.file = file.to_string();
            jig.sha256 = files::sha256(bytes);
            Ok(jig)
        }
        _ => Err(errors.finish()),
    }
}

/// Everything in the file; `None` after an error.
fn whole<'t>(walk: &mut Walk<'t, '_>, top: &DeTable<'t>, tables: &dyn Tables) -> Option<Jig> {
    if !format_number(walk, top) {
        return None;
    }
    unknown_sections(walk, top);
    missing_sections(walk, top);
    let mut places = BTreeMap::new();
    let jig_row = single(walk, top, &JIG, &mut places);
    let supply_row = single(walk, top, &SUPPLY, &mut places);
    let box_row = single(walk, top, &ENCLOSURE, &mut places);
    let functional_earth = supply_row.as_ref().is_some_and(|row| row.flag("functional-earth") == Some(true));
    let by_hand = jig_row.as_ref().is_some_and(|row| row.word("use") == Some("hand-held"));
    let supply = supply_row.and_then(|row| supply::supply(&row, by_hand, tables, walk.errors));
    let enclosure = match box_row {
        Some(row) => supply::enclosure(&row),
        None => Enclosure { material: None, class: None, size: None, painted: None, vents: None, opens_with: None },
    };
    let (part_names, parts) = parts(walk, top, tables);
    sits_on(walk, &parts, &part_names);
    few_of_a_kind(walk, &parts);
    let outlets = outlets(walk, top);
    let insulations = repeated(walk, top, &INSULATION, insulation);
    let touchables = repeated(walk, top, &TOUCHABLE, |row| {
        Some(Touchable { name: row.text("name")?, net: row.net("net")?, place: row.place })
    });
    let points = repeated(walk, top, &POINT, |row| Some(Point { name: row.text("name")?, net: row.net("net")? }));
    unique(walk, "touchable", &touchables.rows);
    unique(walk, "point", &points.rows);
    unique(walk, "outlet", &outlets.rows);
    let accepts = accepts(walk, top, &part_names);
    let plugin_settings = super::plugins::settings(walk, top);

    let plugged = supply.as_ref().is_none_or(|supply| supply.mains.is_some());
    let wired = wired(&parts, &outlets.values);
    // With a part left out its nets are unknown, and every net would seem misspelt.
    if parts.len() == part_names.len() && outlets.whole && touchables.whole && points.whole {
        let rows = touchables.values.iter().zip(&touchables.rows);
        let touched: Vec<(NetId, Place)> = rows.map(|(t, row)| (t.net, row.place_of("net"))).collect();
        walk.nets.check(&wired, &touched, plugged, walk.errors);
        let rows = points.values.iter().zip(&points.rows);
        let reached: Vec<(NetId, Place)> = rows.map(|(p, row)| (p.net, row.place_of("net"))).collect();
        walk.nets.reached(&wired, &reached, plugged, walk.errors);
        if supply.as_ref().is_some_and(|supply| supply.mains.is_some()) && !parts.is_empty() {
            walk.nets.hangs_on_the_plug(&wired, walk.errors);
        }
        coils(&parts, walk.errors);
    }
    let ends = ends(&wired, &touchables.values, plugged);
    let jig_row = jig_row?;
    let functional_earth = functional_earth || jig_row.flag("functional-earth") == Some(true);
    let nets = std::mem::replace(&mut walk.nets, NetNames::new());
    Some(Jig {
        file: String::new(),
        sha256: String::new(),
        name: jig_row.text("name")?,
        unit: jig_row.text("unit").unwrap_or_default(),
        usage: match jig_row.word("use")? {
            "hand-held" => Usage::HandHeld,
            "bench" => Usage::Bench,
            _ => Usage::Fixed,
        },
        functional_earth,
        supply: supply?,
        enclosure,
        parts,
        outlets: outlets.values,
        insulations: insulations.values,
        touchables: touchables.values,
        points: points.values,
        accepts,
        plugin_settings,
        nets: nets.finish(&ends),
        places,
    })
}

/// Tells sections and keys at the top that the format does not have.
fn unknown_sections<'t>(walk: &mut Walk<'t, '_>, top: &DeTable<'t>) {
    for (name, at, _) in in_order(top) {
        if TOP.contains(&name) {
            continue;
        }
        let place = walk.place(at);
        let help = match words::nearest(name, TOP.iter().copied()) {
            Some(word) => format!("did you mean \"{word}\"?"),
            None if SECTIONS.iter().any(|part| part.name == name) => {
                format!("a part is written [part.X1] with kind = \"{name}\"")
            }
            None => format!("a jig file knows {}", TOP.join(", ")),
        };
        // After a header that cannot be read its keys seem to stand at the top: such an error goes with the others
        // that a slip in the text brings about.
        walk.errors.missing(place, format!("a jig file has no section or key {}", quote(name)), help);
    }
}

/// Tells sections that must be there and are not.
fn missing_sections<'t>(walk: &mut Walk<'t, '_>, top: &DeTable<'t>) {
    for name in TOP_NEEDED.iter().filter(|name| !top.contains_key(**name)) {
        let (header, help) = match *name {
            "part" => ("[part.…]", "add each part as [part.R1] with its kind"),
            "supply" => ("[supply]", "add it, with system and plug"),
            _ => ("[jig]", "add it, with name and use"),
        };
        walk.errors.missing(Place { line: 1, column: 1 }, format!("the file has no {header}"), help);
    }
}

/// Tells of the first switch, and of the first part that stores, beyond what one jig may have.
fn few_of_a_kind(walk: &mut Walk, parts: &[Part]) {
    few(walk, parts, MOST_SWITCHES, "switches", |p| usize::from(matches!(p.kind, PartKind::Switch(_))));
    few(walk, parts, MOST_STORES, "capacitors, inductors and windings", |p| match &p.kind {
        PartKind::Capacitor(_) | PartKind::Inductor(_) | PartKind::Winding(_) => 1,
        PartKind::Transformer(t) => 1 + t.secondaries.len(),
        _ => 0,
    });
}

fn few(walk: &mut Walk, parts: &[Part], most: usize, what: &str, count: impl Fn(&Part) -> usize) {
    let mut so_far = 0;
    let beyond = parts.iter().find(|p| {
        so_far += count(p);
        so_far > most
    });
    if let Some(part) = beyond {
        let all: usize = parts.iter().map(count).sum();
        let help = format!("a jig has at most {most}; this part is the first beyond");
        walk.errors.wrong(part.place, format!("the file has {all} {what}"), help);
    }
}

/// What a switch names as its coil must be a winding of the file.
fn coils(parts: &[Part], errors: &mut InputErrors) {
    let windings: Vec<&str> =
        parts.iter().filter(|p| matches!(p.kind, PartKind::Winding(_))).map(|p| p.name.as_str()).collect();
    for part in parts {
        let PartKind::Switch(Switch { coil: Some(coil), .. }) = &part.kind else { continue };
        if windings.contains(&coil.as_str()) {
            continue;
        }
        let help = match words::nearest(coil, windings.iter().copied()) {
            Some(word) => format!("did you mean \"{word}\"?"),
            None => "name a part of kind = \"winding\", or leave coil out".to_string(),
        };
        errors.wrong(part.place_of("coil"), format!("the jig has no winding {}", quote(coil)), help);
    }
}

/// The nets of all terminals, one entry a terminal.
fn wired(parts: &[Part], outlets: &[Outlet]) -> Vec<NetId> {
    let of_parts = parts.iter().flat_map(|part| part.kind.terminals());
    of_parts.chain(outlets.iter().flat_map(|outlet| outlet.across.into_iter().chain(outlet.earth))).collect()
}

/// How many ends each net has: of parts, outlets, touchables and, of a jig that is plugged in, of the plug.
fn ends(wired: &[NetId], touchables: &[Touchable], plugged: bool) -> Vec<usize> {
    let mut ends: Vec<usize> = Vec::new();
    let from_plug = if plugged { 0..NET_PE + 1 } else { 0..0 };
    for net in wired.iter().copied().chain(touchables.iter().map(|t| t.net)).chain(from_plug) {
        if ends.len() <= net {
            ends.resize(net + 1, 0);
        }
        ends[net] += 1;
    }
    ends
}

/// Whether the file is of the format that is read here. Of another format nothing else can be said.
fn format_number<'t>(walk: &mut Walk<'t, '_>, top: &DeTable<'t>) -> bool {
    let wanted = format!("write format = {FORMAT}");
    let Some(node) = top.get("format") else {
        let start = Place { line: 1, column: 1 };
        walk.errors.missing(start, "the file has no format", format!("begin it with format = {FORMAT}"));
        return true;
    };
    let place = walk.place(node.span().start);
    match node.get_ref() {
        DeValue::Integer(number) if number.radix() == 10 && number.as_str().parse() == Ok(FORMAT) => true,
        DeValue::Integer(number) => {
            let message = format!("the file is of format {}", number.as_str());
            walk.errors.wrong(place, message, format!("this program reads format {FORMAT} only"));
            false
        }
        other => {
            walk.errors.wrong(place, format!("format is {}, where a whole number is wanted", type_name(other)), wanted);
            true
        }
    }
}

/// A section that stands once; keeps the places of its keys.
fn single<'t>(
    walk: &mut Walk<'t, '_>,
    top: &DeTable<'t>,
    section: &Section,
    places: &mut BTreeMap<String, Place>,
) -> Option<Row> {
    let (key, node) = top.get_key_value(section.name)?;
    let table = walk.table(section.name, node)?;
    let place = walk.place(key.span().start.min(node.span().start));
    let row = walk.row(&format!("[{}]", section.name), place, table, section, &[]);
    places.insert(section.name.to_string(), place);
    for (key, place) in &row.places {
        places.insert(format!("{}.{key}", section.name), *place);
        for inner in row.rows(key) {
            for (name, place) in &inner.places {
                places.insert(format!("{}.{key}.{name}", section.name), *place);
            }
        }
    }
    Some(row)
}

/// What a repeated section gave.
struct Many<T> {
    /// Rows and values side by side, those only that could be built.
    rows: Vec<Row>,
    values: Vec<T>,
    /// Whether all could be.
    whole: bool,
}

fn repeated<'t, T>(
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
fn unique(walk: &mut Walk<'_, '_>, what: &str, rows: &[Row]) {
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

/// Other names of the trade for what a kind of part stands for: the nearest word by its letters may be something else.
const ALSO: &[(&str, &str)] = &[
    ("thermostat", "switch"),
    ("button", "switch"),
    ("push-button", "switch"),
    ("heater", "load"),
    ("heating-element", "load"),
    ("motor", "load"),
    ("bulb", "filament-lamp"),
    ("coil", "winding"),
    ("choke", "inductor"),
    ("thermal-cut-out", "thermal-fuse"),
    ("cut-out", "thermal-fuse"),
    ("vdr", "varistor"),
    ("ntc", "thermistor"),
];

/// Names of all parts, and the parts that could be built, in file order.
fn parts<'t>(walk: &mut Walk<'t, '_>, top: &DeTable<'t>, tables: &dyn Tables) -> (Vec<String>, Vec<Part>) {
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
    let kinds: Vec<&str> = SECTIONS.iter().map(|part| part.name).collect();
    let Some(kind) = table.get("kind") else {
        walk.errors.missing(
            place,
            format!("{what} has no kind"),
            format!("add one of kind = {}", words::one_of(&kinds)),
        );
        return None;
    };
    let kind_place = walk.place(kind.span().start);
    let Some(word) = kind.get_ref().as_str() else {
        let message = format!("kind is {}, where a word in quotes is wanted", type_name(kind.get_ref()));
        walk.errors.wrong(kind_place, message, format!("write one of kind = {}", words::one_of(&kinds)));
        return None;
    };
    let Some(section) = SECTIONS.iter().find(|part| part.name == word) else {
        let also = ALSO.iter().find(|(name, _)| word.eq_ignore_ascii_case(name));
        let help = also.map(|(_, kind)| format!("it is written as kind = \"{kind}\""));
        let help = help.unwrap_or_else(|| words::help(word, &kinds));
        walk.errors.wrong(kind_place, format!("there is no kind of part {}", quote(word)), help);
        return None;
    };
    let row = walk.row(&format!("{word} {name}"), place, table, section, &["kind"]);
    let errors = &mut *walk.errors;
    let mut wrong = |place, message: String, help: String| errors.wrong(place, message, help);
    let kind = PartKind::read(word, &row, &mut Reading { tables, wrong: &mut wrong })?;
    named.then(|| Part { name: name.to_string(), place, places: row.places, kind })
}

fn outlets<'t>(walk: &mut Walk<'t, '_>, top: &DeTable<'t>) -> Many<Outlet> {
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

fn insulation(row: &Row) -> Option<Insulation> {
    Some(Insulation {
        between: row.sides("between")?,
        grade: row.word("grade").and_then(Grade::from_word)?,
        clearance: row.number("clearance"),
        creepage: row.number("creepage"),
        place: row.place,
    })
}

/// Tells of thermal fuses on a part that is not there, or on themselves.
fn sits_on(walk: &mut Walk, parts: &[Part], names: &[String]) {
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

fn accepts<'t>(walk: &mut Walk<'t, '_>, top: &DeTable<'t>, part_names: &[String]) -> Vec<Accept> {
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
