//! The lists of what a jig file may name, out of the published tables and the format. Judges nothing.

use crate::finding::Rows;
use crate::format::{Holds, Key, Section};
use crate::jig::bounds::{BOUNDS, MOST_DRAWN, MOST_IN_A_DEAD_TEST};
use crate::jig::{InputError, REPEATED, SINGLE};
use crate::part::SECTIONS;
use crate::plugin::Loaded;
use crate::quantity::{Kind, format};
use crate::sharing::{Day, Sources};
use crate::standard::{self, Row, bench, cord, fuse, lamp, nearest_names, plug, resistor, supply};
use crate::survey::budget::MOST_CONDITIONS;

/// The lists there are, each with what it is for.
const LISTS: [(&str, &str); 10] = [
    ("sections", "Keys of a jig file outside its parts: of [jig], [supply], [enclosure], [[touchable]] and the rest."),
    (
        "supplies",
        "Supplies one may name with system = \"…\" in [supply], and with --supply: by volts and hertz, or by the band of one country.",
    ),
    (
        "plugs",
        "Plugs one may name with plug = \"…\" in [supply], and with --plug: by letter, or by row where the letter means another; \"fixed\" is hard-wired.",
    ),
    (
        "lamps",
        "Glow lamps one may name with type = \"…\", by either name (NE-2 means the A1A); any other lamp by strike, maintain and current.",
    ),
    (
        "fuses",
        "Standard sheets of miniature fuses, for speed, current, voltage and breaking of a fuse. Makers sell others: what is printed on yours counts.",
    ),
    ("cords", "Cross-sections of flexible cords and what they carry, for area of a cord or a wire."),
    ("resistors", "Styles of resistor, for power and voltage of a resistor: voltage is what the element stands."),
    ("units", "Units one may name with unit = \"…\", and begin from with deadfront new."),
    ("bounds", "How much of everything one jig file may hold; more is an error at the first one too many."),
    ("kinds", "Kinds of part one may write with kind = \"…\"; deadfront tables kinds KIND lists the keys of one."),
];

/// A list; without a name the list of lists, with a kind its keys.
///
/// # Errors
/// There is no such list, or no such kind.
pub(crate) fn rows(list: &str, kind: Option<&str>) -> Result<Rows, Vec<InputError>> {
    if list.is_empty() {
        let rows = LISTS.iter().map(|(name, about)| vec![name.to_string(), about.to_string()]).collect();
        let about = "Lists of what a jig file may name: deadfront tables NAME prints one.".to_string();
        return Ok(Rows { table: "tables".into(), about, columns: vec!["table", "what it lists"], rows });
    }
    let Some((name, about)) = LISTS.iter().find(|(name, _)| name.eq_ignore_ascii_case(list)) else {
        return Err(unknown("table", list, LISTS.iter().map(|(name, _)| *name)));
    };
    let (columns, rows) = match (*name, kind) {
        ("kinds", Some(kind)) => return keys_of(kind),
        ("sections", Some(section)) => sections(Some(section))?,
        ("sections", None) => sections(None)?,
        (_, Some(_)) => {
            let help = "only kinds and sections have lists of their own: deadfront tables kinds resistor";
            return Err(vec![InputError::of_file("tables", format!("{name} takes no further name"), help)]);
        }
        ("supplies", _) => supplies(),
        ("plugs", _) => plugs(),
        ("lamps", _) => lamps(),
        ("fuses", _) => fuses(),
        ("cords", _) => cords(),
        ("resistors", _) => resistors(),
        ("units", _) => units(),
        ("bounds", _) => bounds(),
        _ => kinds(),
    };
    Ok(Rows { table: name.to_string(), about: about.to_string(), columns, rows })
}

type Table = (Vec<&'static str>, Vec<Vec<String>>);

fn unknown<'a>(what: &str, name: &str, known: impl Iterator<Item = &'a str> + Clone) -> Vec<InputError> {
    let near = nearest_names(name, known.clone(), 1);
    let all: Vec<&str> = known.collect();
    let help = match near.first() {
        Some(near) => format!("did you mean {near}? Others are {}", all.join(", ")),
        None => format!("there are {}", all.join(", ")),
    };
    vec![InputError::of_file("tables", format!("there is no {what} {name:?}"), help)]
}

fn volts(v: f64) -> String {
    format(v, Kind::Voltage)
}

fn amperes(a: f64) -> String {
    format(a, Kind::Current)
}

/// By volts and hertz first, as most people name it; then the rows that are narrower or wider than these.
fn supplies() -> Table {
    let mut told: Vec<String> = vec![];
    let rows = supply::known().into_iter().filter_map(|name| {
        let mains = standard::supply(&name).ok()?;
        if told.contains(&name) || told.contains(&mains.row) && mains.row == name {
            return None;
        }
        told.extend([name.clone(), mains.row.clone()]);
        let both = if mains.both_live() { "both pins live" } else { "" };
        let examples = supply::examples(&mains.row).unwrap_or_default();
        let band = format!("{} to {}", volts(mains.low), volts(mains.high));
        Some(vec![name, band, both.to_string(), examples, mains.source])
    });
    (vec!["system", "band", "pins", "where", "source"], rows.collect())
}

/// By letter first; then the rows of a letter that mean another plug.
fn plugs() -> Table {
    let mut told: Vec<String> = vec![];
    let letters = bench::plug_choice().iter().map(|c| c.id.as_str());
    let rows = letters.chain(plug::plug_rows().iter().map(|r| r.id.as_str())).filter_map(|name| {
        let p = standard::plug(name)?;
        if told.contains(&p.row) {
            return None;
        }
        told.push(p.row.clone());
        let live = if p.line_pin_assured { "settled" } else { "either pin" };
        let earth = if p.earth { "yes" } else { "no" };
        let fused = if p.fused { "yes" } else { "" };
        let called = plug::names(&p.row).first().cloned().unwrap_or_default();
        let row = [name, &called, &amperes(p.rated_a), &volts(p.rated_v), earth, live, fused, &p.source];
        Some(row.map(str::to_string).to_vec())
    });
    (vec!["plug", "called", "rated", "up to", "earth", "live pin", "fuse in it", "source"], rows.collect())
}

fn lamps() -> Table {
    let rows = lamp::neon_lamp().iter().filter_map(|r| {
        let l = standard::lamp(&r.id).ok()?;
        let old = r.old_number.clone().unwrap_or_default();
        Some(vec![r.id.clone(), old, volts(l.strike_max), amperes(l.current), r.resistor.clone(), r.cite()])
    });
    (vec!["type", "also", "strikes by", "design current", "resistor in it", "source"], rows.collect())
}

fn fuses() -> Table {
    let rows = fuse::sheet().iter().map(|s| {
        let range = fuse::sheet_range().iter().find(|r| r.sheet == s.sheet);
        let range = range.map_or_else(String::new, |r| {
            let (from, to) = (amperes(r.rated_from_a), amperes(r.rated_to_a));
            format!("{from} to {to}")
        });
        let breaking = match s.breaking_capacity_multiple {
            Some(m) => format!("{} A or {m} times its rating", s.breaking_capacity_a),
            None => format!("{} A", s.breaking_capacity_a),
        };
        vec![s.characteristic.clone(), range, volts(s.rated_v), breaking, s.cite()]
    });
    (vec!["speed", "current", "voltage", "breaking", "source"], rows.collect())
}

fn cords() -> Table {
    let rows = cord::uk_cord().iter().filter(|r| !r.id.ends_with("old"));
    let metric = rows.map(|r| vec![format!("{} mm²", r.area_mm2), amperes(r.current_a), String::new(), r.cite()]);
    let gauge = cord::us_cord().iter().map(|r| {
        let carrying = format!("{} cores carry it, earth apart", r.current_carrying);
        vec![format!("{} AWG", r.awg), amperes(r.current_a), carrying, r.cite()]
    });
    let mut rows: Vec<Vec<String>> = metric.chain(gauge).collect();
    rows.dedup_by(|a, b| a[0] == b[0] && a[1] == b[1]);
    (vec!["area", "carries", "where", "source"], rows)
}

fn resistors() -> Table {
    let rows = resistor::resistor().iter().map(|s| {
        let element = s.limiting_rms().map_or_else(|| "by watts and ohms".to_string(), volts);
        let watts = format(s.rated_w, Kind::Power);
        let burns = if s.will_not_flame() { "flameproof" } else { "" };
        let opens = if s.fusible == Some(true) { "fusible" } else { "" };
        let marks: Vec<&str> = [burns, opens].into_iter().filter(|m| !m.is_empty()).collect();
        vec![watts, element, s.technology.replace('_', " "), marks.join(", "), s.cite()]
    });
    // Makes that print the same are told once, with the first of them.
    let mut told: Vec<Vec<String>> = vec![];
    for row in rows {
        if !told.iter().any(|known| known[..known.len() - 1] == row[..row.len() - 1]) {
            told.push(row);
        }
    }
    // Of one style the rows stand together, in the order in which the styles are met.
    let styles: Vec<(String, String)> = told.iter().map(|r| (r[2].clone(), r[3].clone())).collect();
    let mut rows = told;
    rows.sort_by_key(|r| styles.iter().position(|(style, marks)| *style == r[2] && *marks == r[3]));
    (vec!["power", "voltage", "style", "marks", "source"], rows)
}

fn units() -> Table {
    let shipped = Sources::default().all(Day::today()).unwrap_or_default();
    let ready = shipped.iter().filter_map(|k| if let Loaded::Ready(p) = &k.plugin { Some(p) } else { None });
    let has_checks: Vec<&String> = ready.flat_map(|p| &p.manifest.units).collect();
    let checks = |name: &str| if has_checks.iter().any(|u| *u == name) { "yes" } else { "no" };
    let rows = crate::sizing::units().map(|u| {
        let own = if u.name == "capacitor-lamp" { "led-strobe" } else { u.name };
        vec![u.name.to_string(), format!("{}. Also: {}", u.about, u.also.join(", ")), checks(own).to_string()]
    });
    (vec!["unit", "what it is", "own checks"], rows.collect())
}

fn bounds() -> Table {
    let rows = BOUNDS.iter().map(|(what, most)| vec![what.to_string(), most.to_string()]);
    let [least, most] = supply::written_hertz().map(|l| format(l.value, Kind::Frequency));
    let [low, high] = supply::written_volts().map(|l| volts(l.value));
    let written = [
        ("frequency in [supply]", format!("{least} to {most}")),
        ("volts in [supply]", format!("{low} to {high}")),
        ("tolerance in [supply]", format(supply::written_tolerance().value, Kind::Fraction)),
        ("conditions that are tried", MOST_CONDITIONS.to_string()),
        ("parts of which a dead test is worked out", MOST_IN_A_DEAD_TEST.to_string()),
        ("parts that are drawn", MOST_DRAWN.to_string()),
    ];
    let rows = rows.chain(written.into_iter().map(|(what, most)| vec![what.to_string(), most]));
    (vec!["what", "at most"], rows.collect())
}

fn kinds() -> Table {
    let rows = SECTIONS.iter().map(|s| vec![s.name.to_string(), s.doc.to_string()]);
    (vec!["kind", "what it is"], rows.collect())
}

/// The sections of a file, those that may stand several times in two brackets.
fn headings() -> Vec<(String, &'static Section)> {
    let single = SINGLE.iter().map(|s| (format!("[{}]", s.name), *s));
    single.chain(REPEATED.iter().map(|s| (format!("[[{}]]", s.name), *s))).collect()
}

/// The keys of every section, or of one, with those of the tables in them.
fn sections(of: Option<&str>) -> Result<Table, Vec<InputError>> {
    let all = headings();
    let wanted = of.map(|name| name.trim_matches(['[', ']', ' ']).to_lowercase());
    if let Some(name) = wanted.as_ref().filter(|name| !all.iter().any(|(_, s)| s.name == **name)) {
        return Err(unknown("section", name, all.iter().map(|(_, s)| s.name)));
    }
    let mut rows = vec![];
    for (heading, section) in all.iter().filter(|(_, s)| wanted.as_ref().is_none_or(|name| s.name == name)) {
        for key in section.keys {
            let needed = if key.needed { "needed" } else { "" };
            let row = [heading.as_str(), &key.example(section.name), needed, &format!("{}{}", key.doc, words(key))];
            rows.push(row.map(str::to_string).to_vec());
            if let Holds::Table(inner) | Holds::Tables(inner) = key.holds {
                let place = format!("{}.", key.name);
                rows.extend(inner.iter().map(|k| {
                    let row = ["", &format!("{place}{}", k.example(key.name)), "", &format!("{}{}", k.doc, words(k))];
                    row.map(str::to_string).to_vec()
                }));
            }
        }
    }
    Ok((vec!["section", "key", "", "what it means"], rows))
}

fn keys_of(kind: &str) -> Result<Rows, Vec<InputError>> {
    let wanted = kind.trim();
    if headings().iter().any(|(_, s)| s.name.eq_ignore_ascii_case(wanted)) || wanted.eq_ignore_ascii_case("cord") {
        let help = "its keys: deadfront tables sections";
        return Err(vec![InputError::of_file(
            "tables",
            format!("{wanted} is a section of the file, no kind of part"),
            help,
        )]);
    }
    let Some(Section { name, doc, keys, .. }) = SECTIONS.iter().find(|s| s.name.eq_ignore_ascii_case(wanted)) else {
        let help = crate::jig::kind_instead(wanted);
        return Err(vec![InputError::of_file("tables", format!("there is no kind {wanted:?}"), help)]);
    };
    let row = |k: &Key| {
        let needed = if k.needed { "needed" } else { "" };
        vec![k.example(name), needed.to_string(), format!("{}{}", k.doc, words(k))]
    };
    let rows = keys.iter().map(row).collect();
    let about = format!("{doc} Written as [part.NAME] with kind = \"{name}\" and these keys.");
    Ok(Rows { table: format!("kinds {name}"), about, columns: vec!["key", "", "what it means"], rows })
}

/// The words a key takes, where it takes no others.
fn words(key: &Key) -> String {
    match key.holds {
        Holds::Word(words) => format!(" One of {}.", words.join(", ")),
        _ => String::new(),
    }
}
