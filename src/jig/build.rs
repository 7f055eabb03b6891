//! Puts the jig together, section by section. Must not know how a key is read.

use std::collections::BTreeMap;

use toml::de::{DeTable, DeValue};

use super::bounds::{MOST_STORES, MOST_SWITCHES};
use super::error::{InputError, InputErrors};
use super::model::{Enclosure, Jig, NET_PE, NetId, Outlet, Part, Place, Point, Touchable, Usage};
use super::nets::NetNames;
use super::repeated::{accepts, insulation, outlets, parts, repeated, sits_on, unique};
use super::sections::{ENCLOSURE, FORMAT, INSULATION, JIG, POINT, SUPPLY, TOP, TOP_NEEDED, TOUCHABLE};
use super::source::{self, Index};
use super::walk::{Walk, in_order, type_name};
use super::{supply, words};
use crate::files;
use crate::format::{Row, Section};
use crate::part::{PartKind, SECTIONS, Switch};
use crate::quantity::quote;
use crate::standard::Tables;

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
