//! From the keys of `[supply]` and `[enclosure]` to what they mean. Must not know TOML.

use super::error::InputErrors;
use super::model::{Class, Cord, Enclosure, Material, OpensWith, Supply};
use crate::format::Row;
use crate::quantity::{Kind, format, quote};
use crate::standard::protection::Earthing;
use crate::standard::residual::RcdKind;
use crate::standard::supply::{written_hertz, written_tolerance, written_volts};
use crate::standard::{self, Arrangement, Limit, Mains, Plug, Tables};

/// The supply, or `None` after an error. A tool that is held in the hand (`by_hand`) and states neither plug nor cord is a
/// probe that is put on the mains itself.
pub(crate) fn supply(row: &Row, by_hand: bool, tables: &dyn Tables, errors: &mut InputErrors) -> Option<Supply> {
    let system = row.text("system");
    if system.as_deref() == Some("none") {
        return no_mains(row, errors);
    }
    let mains = match system {
        Some(system) => by_name(row, &system, tables, errors),
        None => written_out(row, errors),
    };
    let fixed = row.text("plug").as_deref() == Some("fixed");
    let held = by_hand && !row.has("plug") && !row.has("cord");
    if !row.has("plug") && !held {
        let help = "write plug = \"C\" (the letter of its type, A to O), plug = \"fixed\" for hard-wired, nothing for a hand-held probe without cord, or system = \"none\" for a tool without mains";
        errors.missing(row.place, "[supply] does not say how the jig is connected", help);
    }
    let plug = match row.text("plug") {
        Some(letter) if !fixed => plug(row, &letter, tables, errors),
        _ => None,
    };
    let residual = row.residual("rcd");
    let cord = row.rows("cord").first().map(cord);
    let connected = fixed || held || plug.is_some();
    if !connected {
        return None;
    }
    Some(Supply {
        mains: Some(mains?),
        plug,
        fixed,
        held,
        cord,
        breaker: row.number("breaker"),
        rcd: residual,
        rcd_type: row.word("rcd-type").and_then(RcdKind::from_word),
        earthing: if row.word("earthing") == Some("TT") { Earthing::Tt } else { Earthing::Tn },
        plug_fuse: row.number("plug-fuse"),
    })
}

fn no_mains(row: &Row, errors: &mut InputErrors) -> Option<Supply> {
    for key in ["plug", "cord", "breaker", "rcd", "rcd-type", "earthing", "plug-fuse"] {
        if let Some(place) = row.places.get(key) {
            let help = "remove it, or write the system the jig is plugged into";
            errors.wrong(*place, format!("a tool with system = \"none\" has no {key}"), help);
        }
    }
    Some(Supply {
        mains: None,
        plug: None,
        fixed: false,
        held: false,
        cord: None,
        breaker: None,
        rcd: None,
        rcd_type: None,
        earthing: Earthing::Tn,
        plug_fuse: None,
    })
}

fn by_name(row: &Row, system: &str, tables: &dyn Tables, errors: &mut InputErrors) -> Option<Mains> {
    match tables.supply(system) {
        Ok(mains) => Some(mains),
        Err(near) => {
            let otherwise =
                "deadfront tables supplies lists those there are; for any other write volts, frequency and tolerance";
            let help = match near.first() {
                Some(nearest) => {
                    format!("did you mean \"{nearest}\"? Of any other write volts, frequency and tolerance")
                }
                None => otherwise.to_string(),
            };
            errors.wrong(row.place_of("system"), format!("the supplies table has no {}", quote(system)), help);
            None
        }
    }
}

/// Volts, frequency and tolerance as written. One pin is taken as live: a system with two live pins is a row of the
/// table.
fn written_out(row: &Row, errors: &mut InputErrors) -> Option<Mains> {
    let (nominal, hertz, tolerance) = (row.number("volts")?, row.number("frequency")?, row.number("tolerance")?);
    let none = Limit { value: 0.0, ..written_tolerance() };
    let bounds = [
        ("volts", Kind::Voltage, nominal, written_volts()),
        ("frequency", Kind::Frequency, hertz, written_hertz()),
        ("tolerance", Kind::Fraction, tolerance, [none, written_tolerance()]),
    ];
    let mut within = true;
    for (key, kind, value, [least, most]) in bounds {
        if value < least.value || value > most.value {
            let message = format!("{} is no {key} of a mains", format(value, kind));
            let (from, to) = (format(least.value, kind), format(most.value, kind));
            errors.wrong(row.place_of(key), message, format!("write {key} from {from} to {to}"));
            within = false;
        }
    }
    if !within {
        return None;
    }
    Some(Mains {
        label: format!("{} {}", format(nominal, Kind::Voltage), format(hertz, Kind::Frequency)),
        row: String::new(),
        low: nominal * (1.0 - tolerance),
        nominal,
        high: nominal * (1.0 + tolerance),
        hertz,
        arrangement: Arrangement::LineNeutral,
        source: "as written in the jig file".to_string(),
    })
}

fn plug(row: &Row, letter: &str, tables: &dyn Tables, errors: &mut InputErrors) -> Option<Plug> {
    let plug = tables.plug(letter);
    if plug.is_none() {
        let upper = letter.to_uppercase();
        let help = if upper != letter && (upper == "FIXED" || tables.plug(&upper).is_some()) {
            format!("write \"{}\"", if upper == "FIXED" { "fixed" } else { &upper })
        } else {
            standard::plug::instead(letter)
        };
        errors.wrong(row.place_of("plug"), format!("{} is no plug type", quote(letter)), help);
    }
    plug
}

fn cord(row: &Row) -> Cord {
    Cord {
        area: row.number("area"),
        length: row.number("length"),
        cores: row.count("cores"),
        strain_relief: row.flag("strain-relief"),
    }
}

/// The box; nothing is needed.
pub(crate) fn enclosure(row: &Row) -> Enclosure {
    Enclosure {
        material: match row.word("material") {
            Some("insulating") => Some(Material::Insulating),
            Some("metal") => Some(Material::Metal),
            Some("open") => Some(Material::Open),
            _ => None,
        },
        class: match row.word("class") {
            Some("I") => Some(Class::I),
            Some("II") => Some(Class::II),
            Some("III") => Some(Class::III),
            _ => None,
        },
        size: row.size("size"),
        painted: row.word("finish").map(|word| word == "painted"),
        vents: row.number("vents"),
        opens_with: match row.word("opens-with") {
            Some("tool") => Some(OpensWith::Tool),
            Some("hand") => Some(OpensWith::Hand),
            _ => None,
        },
    }
}
