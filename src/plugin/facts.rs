//! A jig's facts as plain rows, in SI base units, keys in snake_case as the jig file's keys read. Knows no Lua.

use crate::jig::{Class, Jig, LoadKind, Material, NetId, OpensWith, OutletLoad, Part, PartKind, SwitchContacts, Usage};
use std::borrow::Cow;

/// One fact.
#[derive(Debug, Clone, PartialEq)]
pub enum Fact<'a> {
    /// A number.
    Number(f64),
    /// A word or text.
    Text(Cow<'a, str>),
    /// Yes or no.
    Flag(bool),
    /// A list.
    List(Vec<Fact<'a>>),
    /// A row of its own.
    Row(Row<'a>),
}

/// Facts by key.
pub type Row<'a> = Vec<(Cow<'a, str>, Fact<'a>)>;

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
pub fn usage(jig: &Jig) -> &'static str {
    match jig.usage {
        Usage::HandHeld => "hand-held",
        Usage::Bench => "bench",
        Usage::Fixed => "fixed",
    }
}

/// The supply. Nothing but `mains = false` where there is none.
pub fn supply(jig: &Jig) -> Row<'_> {
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
pub fn enclosure(jig: &Jig) -> Row<'_> {
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
    put(&mut row, "size", e.size.map(|s| Fact::List(s.into_iter().map(Fact::Number).collect())));
    row
}

/// Whether a row of the class may have the key.
pub fn may_have(class: &str, key: &str) -> bool {
    optional(class).contains(&key)
}

/// Keys that rows of a class may have and need not; those of parts are those of any kind of part.
pub fn optional(class: &str) -> &'static [&'static str] {
    match class {
        "part" => PART,
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
            "cord",
        ],
        "enclosure" => &["material", "class", "opens_with", "size"],
        "insulation" => &["clearance", "creepage"],
        "stress" => &["nominal", "rating", "margin"],
        "lamp" => &["strike_margin"],
        _ => &[],
    }
}

/// Sorted.
const PART: &[&str] = &[
    "ac",
    "across",
    "area",
    "bidirectional",
    "breakdown",
    "breaking",
    "capacitance",
    "charged",
    "class",
    "cold",
    "cold_ratio",
    "colour",
    "current",
    "dc_voltage",
    "energy",
    "exposed_pins",
    "flameproof",
    "forward",
    "fusible",
    "hot",
    "inductance",
    "input",
    "insulation",
    "length",
    "maintain",
    "max_current",
    "minus",
    "output",
    "peak_current",
    "plus",
    "polarised",
    "positions",
    "power",
    "power_factor",
    "primary",
    "resistance",
    "reverse",
    "screened",
    "secondaries",
    "selv",
    "series",
    "shrouded",
    "slope",
    "speed",
    "strike",
    "strike_max",
    "surge",
    "temperature",
    "temperature_class",
    "tolerance",
    "type",
    "voltage",
    "volts",
];

/// What a row is called.
pub fn a(class: &str) -> String {
    match class {
        "settings" => "plugin.toml".to_string(),
        "supply" | "enclosure" => format!("the {class}"),
        "stress" | "touch" | "insulation" => format!("a row of jig:{class}"),
        "outlet" => "an outlet".to_string(),
        other => format!("a {other}"),
    }
}

/// A load of an outlet: its label, and the one number or two that are its own.
pub fn load(load: &OutletLoad) -> Fact<'_> {
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
pub fn part<'a>(jig: &'a Jig, part: &'a Part) -> Row<'a> {
    // Room for the keys of any kind of part.
    let mut row = Vec::with_capacity(16);
    put(&mut row, "name", text(&part.name));
    put(&mut row, "kind", text(part.kind.word()));
    put(&mut row, "line", number(f64::from(part.place.line)));
    put(&mut row, "nets", nets(jig, &crate::jig::terminals(&part.kind)));
    let flag = |b: &bool| Fact::Flag(*b);
    let mut n = |key: &'static str, value: Option<f64>| put(&mut row, key, number(value));
    match &part.kind {
        PartKind::Resistor { resistance, tolerance, power, voltage, .. } => {
            n("resistance", Some(*resistance));
            n("tolerance", *tolerance);
            n("power", *power);
            n("voltage", *voltage);
        }
        PartKind::Capacitor { capacitance, tolerance, voltage, dc_voltage, charged, .. } => {
            n("capacitance", Some(*capacitance));
            n("tolerance", *tolerance);
            n("voltage", *voltage);
            n("dc_voltage", *dc_voltage);
            n("charged", *charged);
        }
        PartKind::Inductor { inductance, resistance, current, .. }
        | PartKind::Winding { inductance, resistance, current, .. } => {
            n("inductance", Some(*inductance));
            n("resistance", Some(*resistance));
            n("current", *current);
        }
        PartKind::Diode { forward, slope, voltage, current, surge, .. }
        | PartKind::Bridge { forward, slope, voltage, current, surge, .. } => {
            n("forward", *forward);
            n("slope", *slope);
            n("voltage", *voltage);
            n("current", *current);
            n("surge", *surge);
        }
        PartKind::Led { forward, slope, current, peak_current, reverse, series, .. } => {
            n("forward", Some(*forward));
            n("slope", *slope);
            n("current", *current);
            n("peak_current", *peak_current);
            n("reverse", *reverse);
            n("series", Some(f64::from(*series)));
        }
        PartKind::Suppressor { breakdown, power, .. } => {
            n("breakdown", Some(*breakdown));
            n("power", *power);
        }
        PartKind::Neon { strike, strike_max, maintain, slope, current, max_current, .. } => {
            n("slope", *slope);
            n("strike", Some(*strike));
            n("strike_max", *strike_max);
            n("maintain", Some(*maintain));
            n("current", *current);
            n("max_current", *max_current);
        }
        PartKind::Filament { volts, power, cold_ratio, .. } => {
            n("volts", Some(*volts));
            n("power", Some(*power));
            n("cold_ratio", *cold_ratio);
        }
        PartKind::Fuse { current, voltage, breaking, .. } => {
            n("current", Some(*current));
            n("voltage", *voltage);
            n("breaking", *breaking);
        }
        PartKind::ThermalFuse { temperature, current, voltage, .. } => {
            n("temperature", Some(*temperature));
            n("current", *current);
            n("voltage", *voltage);
        }
        PartKind::Switch { voltage, current, .. } => {
            n("voltage", *voltage);
            n("current", *current);
        }
        PartKind::Varistor { voltage, energy, .. } => {
            n("voltage", Some(*voltage));
            n("energy", *energy);
        }
        PartKind::Thermistor { cold, hot, current, .. } => {
            n("cold", Some(*cold));
            n("hot", *hot);
            n("current", *current);
        }
        PartKind::Transformer { power, capacitance, inductance, .. } => {
            n("power", *power);
            n("capacitance", *capacitance);
            n("inductance", *inductance);
        }
        PartKind::Psu { volts, current, power, .. } => {
            n("volts", *volts);
            n("current", *current);
            n("power", *power);
        }
        PartKind::Load { power, resistance, power_factor, .. } => {
            n("power", *power);
            n("resistance", *resistance);
            n("power_factor", *power_factor);
        }
        PartKind::Wire { area, voltage, length, temperature, .. } => {
            n("area", *area);
            n("voltage", *voltage);
            n("length", *length);
            n("temperature", *temperature);
        }
        PartKind::Socket { .. } => {}
    }
    match &part.kind {
        PartKind::Resistor { flameproof, fusible, .. } => {
            put(&mut row, "flameproof", flag(flameproof));
            put(&mut row, "fusible", flag(fusible));
        }
        PartKind::Capacitor { class, polarised, .. } => {
            put(&mut row, "class", class.and_then(|c| text(c.word())));
            put(&mut row, "polarised", flag(polarised));
        }
        PartKind::Winding { temperature_class, .. } => {
            put(&mut row, "temperature_class", temperature_class.as_deref().and_then(text));
        }
        PartKind::Suppressor { bidirectional, .. } => put(&mut row, "bidirectional", flag(bidirectional)),
        PartKind::Neon { lamp_type, .. } => put(&mut row, "type", lamp_type.as_deref().and_then(text)),
        PartKind::Fuse { speed, .. } => put(&mut row, "speed", speed.as_deref().and_then(text)),
        PartKind::Bridge { ac, plus, minus, .. } => {
            put(&mut row, "ac", nets(jig, ac));
            put(&mut row, "plus", net(jig, *plus));
            put(&mut row, "minus", net(jig, *minus));
        }
        PartKind::Switch { contacts, .. } => put(&mut row, "positions", positions(jig, contacts)),
        PartKind::Transformer { primary, secondaries, insulation, .. } => {
            put(&mut row, "insulation", insulation.and_then(|g| text(g.word())));
            put(&mut row, "primary", winding(jig, primary));
            put(&mut row, "secondaries", Fact::List(secondaries.iter().map(|w| winding(jig, w)).collect()));
        }
        PartKind::Psu { input, output, selv, .. } => {
            put(&mut row, "input", nets(jig, input));
            put(&mut row, "output", nets(jig, output));
            put(&mut row, "selv", flag(selv));
        }
        PartKind::Wire { colour, screened, .. } => {
            put(&mut row, "colour", colour.as_deref().and_then(text));
            put(&mut row, "screened", flag(screened));
        }
        PartKind::Socket { socket_type, shrouded, exposed_pins, .. } => {
            put(&mut row, "type", socket_type.as_deref().and_then(text));
            put(&mut row, "shrouded", shrouded.map(Fact::Flag));
            put(&mut row, "exposed_pins", exposed_pins.map(Fact::Flag));
        }
        _ => {}
    }
    if let Some(ends) = across(&part.kind) {
        put(&mut row, "across", nets(jig, &ends));
    }
    row
}

/// The two ends of a part that has two.
fn across(kind: &PartKind) -> Option<[NetId; 2]> {
    match kind {
        PartKind::Transformer { .. } | PartKind::Psu { .. } | PartKind::Bridge { .. } => None,
        PartKind::Switch { .. } | PartKind::Socket { .. } => None,
        other => <[NetId; 2]>::try_from(crate::jig::terminals(other).as_slice()).ok(),
    }
}

fn winding<'a>(jig: &'a Jig, w: &'a crate::jig::Winding) -> Fact<'a> {
    let mut row = vec![];
    put(&mut row, "name", text(&w.name));
    put(&mut row, "across", nets(jig, &w.across));
    put(&mut row, "volts", number(w.volts));
    Fact::Row(row)
}

/// Pairs of nets joined in each position of a switch; a switch of poles has `on` and `off`.
fn positions<'a>(jig: &'a Jig, contacts: &'a SwitchContacts) -> Fact<'a> {
    let pairs = |list: &[[NetId; 2]]| Fact::List(list.iter().filter_map(|p| nets(jig, p)).collect());
    let list: Vec<(&str, Fact)> = match contacts {
        SwitchContacts::Poles(p) => vec![("on", pairs(p)), ("off", pairs(&[]))],
        SwitchContacts::Positions(p) => p.iter().map(|(word, p)| (word.as_str(), pairs(p))).collect(),
    };
    let row = |(word, pairs)| Fact::Row(vec![("name".into(), Fact::Text(Cow::from(word))), ("joins".into(), pairs)]);
    Fact::List(list.into_iter().map(row).collect())
}
