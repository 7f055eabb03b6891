//! A jig's facts as plain rows, in SI base units, keys in snake_case as the jig file's keys read. Knows no Lua.

use crate::jig::{Class, Jig, LoadKind, Material, NetId, OpensWith, OutletLoad, Part, Usage};
use std::borrow::Cow;
use std::collections::BTreeSet;
use std::sync::OnceLock;

pub(crate) use crate::part::fact::{Fact, Facts as Row};

fn put<'a>(row: &mut Row<'a>, key: &'static str, fact: impl Into<Option<Fact<'a>>>) {
    if let Some(fact) = fact.into() {
        row.push((key.into(), fact));
    }
}

/// A number, where there is one.
fn number<'a>(x: impl Into<Option<f64>>) -> Option<Fact<'a>> {
    x.into().map(Fact::Number)
}

fn text<'a>(x: impl Into<Cow<'a, str>>) -> Option<Fact<'a>> {
    Some(Fact::Text(x.into()))
}

fn net(jig: &Jig, n: NetId) -> Fact<'_> {
    Fact::Text(jig.nets[n].name.as_str().into())
}

fn nets<'a>(jig: &'a Jig, list: &[NetId]) -> Option<Fact<'a>> {
    Some(Fact::List(list.iter().map(|n| net(jig, *n)).collect()))
}

/// `hand-held`, `bench` or `fixed`.
pub(crate) fn usage(jig: &Jig) -> &'static str {
    match jig.usage {
        Usage::HandHeld => "hand-held",
        Usage::Bench => "bench",
        Usage::Fixed => "fixed",
    }
}

/// The supply. Nothing but `mains = false` where there is none.
pub(crate) fn supply(jig: &Jig) -> Row<'_> {
    let s = &jig.supply;
    let mut row = vec![];
    put(&mut row, "mains", Fact::Flag(s.mains.is_some()));
    if let Some(m) = &s.mains {
        put(&mut row, "system", text(&m.label));
        put(&mut row, "low", number(m.low));
        put(&mut row, "nominal", number(m.nominal));
        put(&mut row, "high", number(m.high));
        put(&mut row, "frequency", number(m.hertz));
        put(&mut row, "both_live", Fact::Flag(m.both_live()));
    }
    put(&mut row, "fixed", Fact::Flag(s.fixed));
    if let Some(p) = &s.plug {
        put(&mut row, "plug", text(&p.letter));
        put(&mut row, "live_pin_assured", Fact::Flag(p.line_pin_assured));
        put(&mut row, "earth_pin", Fact::Flag(p.earth));
    }
    put(&mut row, "plug_fuse", number(s.plug_fuse));
    put(&mut row, "breaker", number(s.breaker));
    put(&mut row, "rcd", number(s.rcd.flatten()));
    put(&mut row, "rcd_type", s.rcd_type.and_then(|k| text(k.word())));
    if let Some(c) = &s.cord {
        let mut cord = vec![];
        put(&mut cord, "area", number(c.area));
        put(&mut cord, "length", number(c.length));
        put(&mut cord, "cores", number(c.cores.map(f64::from)));
        put(&mut cord, "strain_relief", c.strain_relief.map(Fact::Flag));
        put(&mut row, "cord", Fact::Row(cord));
    }
    row
}

/// The enclosure.
pub(crate) fn enclosure(jig: &Jig) -> Row<'_> {
    let e = &jig.enclosure;
    let mut row = vec![];
    let material = e.material.map(|m| match m {
        Material::Insulating => "insulating",
        Material::Metal => "metal",
        Material::Open => "open",
    });
    let class = e.class.map(|c| match c {
        Class::I => "I",
        Class::II => "II",
        Class::III => "III",
    });
    let opens = e.opens_with.map(|o| match o {
        OpensWith::Tool => "tool",
        OpensWith::Hand => "hand",
    });
    for (key, word) in [("material", material), ("class", class), ("opens_with", opens)] {
        put(&mut row, key, word.and_then(text));
    }
    put(&mut row, "painted", e.painted.map(Fact::Flag));
    put(&mut row, "vents", number(e.vents));
    put(&mut row, "size", e.size.map(|s| Fact::List(s.into_iter().map(Fact::Number).collect())));
    row
}

/// Whether a row of the class may have the key.
pub(crate) fn may_have(class: &str, key: &str) -> bool {
    optional(class).contains(&key)
}

/// Keys that rows of a class may have and need not; those of parts are those of any kind of part.
pub(crate) fn optional(class: &str) -> &'static [&'static str] {
    match class {
        "part" => part_keys(),
        "supply" => &[
            "system",
            "low",
            "nominal",
            "high",
            "frequency",
            "both_live",
            "plug",
            "live_pin_assured",
            "earth_pin",
            "plug_fuse",
            "breaker",
            "rcd",
            "rcd_type",
            "cord",
        ],
        "enclosure" => &["material", "class", "opens_with", "painted", "vents", "size"],
        "insulation" => &["clearance", "creepage"],
        "stress" => &["nominal", "rating", "margin"],
        "lamp" => &["strike_margin"],
        "ring" => RING,
        _ => &[],
    }
}

/// Keys of a ring, but for the flashes: the first where bars and a speed are given, the others where a lamp is solved.
const RING: &[&str] =
    &["advance", "whole", "still", "off", "best", "smear", "lit", "bright", "filled", "mean", "crest", "contrast"];

/// Keys of any kind of part that it may have, sorted; all parts have `nets`.
fn part_keys() -> &'static [&'static str] {
    static KEYS: OnceLock<Vec<&str>> = OnceLock::new();
    KEYS.get_or_init(|| {
        let keys: BTreeSet<&str> = crate::part::FACTS.iter().copied().flatten().copied().collect();
        keys.into_iter().filter(|key| *key != "nets").collect()
    })
}

/// What a row is called.
pub(crate) fn a(class: &str) -> String {
    match class {
        "settings" => "plugin.toml".to_string(),
        "supply" | "enclosure" => format!("the {class}"),
        "stress" | "touch" | "insulation" | "divider" | "ring" => format!("a row of jig:{class}"),
        "discharge" => "a row of jig:put_on".to_string(),
        "outlet" => "an outlet".to_string(),
        other => format!("a {other}"),
    }
}

/// A load of an outlet: its label, and the one number or two that are its own.
pub(crate) fn load(load: &OutletLoad) -> Fact<'_> {
    let mut row = vec![];
    put(&mut row, "label", text(&load.label));
    match load.kind {
        LoadKind::Open => put(&mut row, "kind", text("open")),
        LoadKind::Short => put(&mut row, "kind", text("short")),
        LoadKind::Power(watts) => {
            put(&mut row, "kind", text("power"));
            put(&mut row, "power", number(watts));
        }
        LoadKind::Resistance(ohms) => {
            put(&mut row, "kind", text("resistance"));
            put(&mut row, "resistance", number(ohms));
        }
        LoadKind::Charged(farads, volts) => {
            put(&mut row, "kind", text("charged"));
            put(&mut row, "capacitance", number(farads));
            put(&mut row, "charged", number(volts));
        }
    }
    Fact::Row(row)
}

/// A part: name, kind, line, `across` where it has two ends, `nets` always, and its keys.
pub(crate) fn part<'a>(jig: &'a Jig, part: &'a Part) -> Row<'a> {
    // Room for the keys of any kind of part.
    let mut row = Vec::with_capacity(16);
    put(&mut row, "name", text(&part.name));
    put(&mut row, "kind", text(part.kind.word()));
    put(&mut row, "line", number(f64::from(part.place.line)));
    put(&mut row, "nets", nets(jig, &part.kind.terminals()));
    part.kind.facts(&jig.nets, &mut row);
    row
}
