//! Published numbers as data, with source and basis; typed look-ups, nothing else.
//!
//! Each `*.toml` beside this file is one table file, compiled in and parsed at its first use; no number that
//! limits anything stands in code. Look-ups give SI base units. What such rows are about is named here too: a supply,
//! a plug, a grade of insulation, a class of capacitor. This room must not know of jigs, circuits, findings or reports:
//! it answers "what does the row say", never "is that good".

#[macro_use]
mod row;

pub(crate) mod bench;
pub(crate) mod capacitor;
pub(crate) mod colour_code;
pub(crate) mod cord;
pub(crate) mod discharge;
mod edition;
pub(crate) mod flash;
pub(crate) mod fuse;
pub(crate) mod insulation;
pub(crate) mod lamp;
pub(crate) mod link;
mod mains;
pub(crate) mod meter;
mod names;
pub(crate) mod parts;
pub(crate) mod plug;
pub(crate) mod preferred;
pub(crate) mod protection;
pub(crate) mod residual;
pub(crate) mod resistor;
pub(crate) mod rules;
pub(crate) mod shell;
pub(crate) mod signal;
pub(crate) mod strobe;
pub(crate) mod supply;
mod tables;
pub(crate) mod touch;
pub(crate) mod transformer;
mod unit;

pub(crate) use capacitor::CapClass;
pub(crate) use edition::edition;
pub(crate) use insulation::Grade;
pub(crate) use lamp::{LampRow, lamp};
#[cfg(test)]
pub(crate) use mains::LEVELS;
pub(crate) use mains::{Arrangement, Level, Mains};
pub(crate) use plug::{Plug, plug};
pub(crate) use row::{Fact, Limit, Row};
pub(crate) use supply::supply;
pub(crate) use tables::{Tables, tables};

pub(crate) use names::{near, nearest_names};

use std::sync::OnceLock;

/// Every table file: its name and its text.
pub(crate) const FILES: [(&str, &str); 19] = [
    ("bench", include_str!("bench.toml")),
    ("capacitors", include_str!("capacitors.toml")),
    ("cords", include_str!("cords.toml")),
    ("discharge", include_str!("discharge.toml")),
    ("flash", include_str!("flash.toml")),
    ("fuses", include_str!("fuses.toml")),
    ("insulation", include_str!("insulation.toml")),
    ("lamps", include_str!("lamps.toml")),
    ("meter", include_str!("meter.toml")),
    ("parts", include_str!("parts.toml")),
    ("plugs", include_str!("plugs.toml")),
    ("preferred", include_str!("preferred.toml")),
    ("resistors", include_str!("resistors.toml")),
    ("rules", include_str!("rules.toml")),
    ("signal", include_str!("signal.toml")),
    ("strobe", include_str!("strobe.toml")),
    ("supplies", include_str!("supplies.toml")),
    ("touch", include_str!("touch.toml")),
    ("transformers", include_str!("transformers.toml")),
];

/// One number of any table by `file.table.id.key`, e.g. `touch.voltage_limit.iec61010_2010_normal_dry.ac_rms_v`.
///
/// The value is in SI base units, the unit follows from the ending of the key. `None` when there is no such row or
/// key, or the key holds no number with a unit.
pub(crate) fn limit(name: &str) -> Option<Limit> {
    let (row, key) = name.rsplit_once('.')?;
    rows(row)?.first()?.limit(key)
}

/// As [`limit`], but a number whose key ends with no unit counts as a plain one.
pub(crate) fn value(name: &str) -> Option<Limit> {
    let (row, key) = name.rsplit_once('.')?;
    let row = rows(row)?.into_iter().next()?;
    row.limit(key).or_else(|| Some(row.value(row.number(key)?, "")))
}

/// Rows of any table: the one of `file.table.id`, or all of `file.table`. `None` when there is no such row or table.
pub(crate) fn rows(path: &str) -> Option<Vec<Fact>> {
    let mut path = path.splitn(3, '.');
    let (file, table, id) = (path.next()?, path.next()?, path.next());
    let index = FILES.iter().position(|(n, _)| *n == file)?;
    static PARSED: [OnceLock<toml::Table>; FILES.len()] = [const { OnceLock::new() }; FILES.len()];
    let parsed = PARSED[index].get_or_init(|| FILES[index].1.parse().expect("every table file is tested"));
    let all = parsed.get(table)?.as_array()?.iter();
    let named = |r: &&toml::Value| id.is_none_or(|id| r.get("id").and_then(toml::Value::as_str) == Some(id));
    let found: Vec<Fact> = all.filter(named).map(|r| r.clone().try_into().ok()).collect::<Option<_>>()?;
    (!found.is_empty()).then_some(found)
}
