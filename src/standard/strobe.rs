//! Rings of bars under a strobe lamp: usual speeds, how far they may be off, what an eye sees, sheets of paper, measures of the
//! drawing; and how steady the frequency of the mains is.

use super::flash::mains_frequency;
use super::row::{Fact, Limit, Row, find};

table_file! { "strobe.toml" [tolerance, seeing, drawing]
    /// A usual speed of records, as whole turns in whole minutes.
    UsualSpeed in speed { label: String, turns: u32, minutes: u32, band: Option<bool> }
    /// A sheet of paper, upright.
    Paper in paper { width_mm: f64, height_mm: f64 }
}

impl UsualSpeed {
    /// Turns a minute.
    pub(crate) fn rpm(&self) -> f64 {
        f64::from(self.turns) / f64::from(self.minutes)
    }
}

fn at(rows: &'static [Fact], id: &str, key: &str) -> Limit {
    find(rows, id).and_then(|r| r.limit(key)).unwrap_or_else(|| panic!("strobe.toml: {id}.{key} is tested"))
}

/// A number of what an eye sees, SI.
pub(crate) fn seen(id: &str, key: &str) -> Limit {
    at(seeing(), id, key)
}

/// Bars a second that an eye counts.
pub(crate) fn counted() -> Limit {
    let row = find(seeing(), "counting").expect("strobe.toml: counting is tested");
    row.value(row.number("most_per_second").expect("strobe.toml: counting is tested"), "")
}

/// How far speeds may be off: of what, and the shares above and below.
pub(crate) fn allowed() -> impl Iterator<Item = (String, [Limit; 2])> {
    let share = |r: &Fact, key| r.limit(key).expect("strobe.toml: the tolerances are tested");
    tolerance().iter().map(move |r| {
        let of = r.values.get("of").and_then(toml::Value::as_str).expect("strobe.toml: the tolerances are tested");
        (of.to_string(), [share(r, "plus_percent"), share(r, "minus_percent")])
    })
}

/// A measure of the drawing, millimetres.
pub(crate) fn millimetres(id: &str, key: &str) -> f64 {
    let row = find(drawing(), id).unwrap_or_else(|| panic!("strobe.toml: {id} is tested"));
    row.number(key).unwrap_or_else(|| panic!("strobe.toml: {id}.{key} is tested"))
}

/// A sheet of paper by its name.
///
/// # Errors
/// The names there are.
pub(crate) fn sheet(name: &str) -> Result<&'static Paper, Vec<&'static str>> {
    let found = paper().iter().find(|p| p.id.eq_ignore_ascii_case(name.trim()));
    found.ok_or_else(|| paper().iter().map(|p| p.id.as_str()).collect())
}

/// How far the frequency of a mains wanders.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Wander {
    /// Where, and how much of the time.
    pub place: String,
    /// What it is about.
    pub sort: Wandering,
    /// Share of the nominal frequency, either way.
    pub share: f64,
    /// Where it is published.
    pub source: String,
}

/// What a band of frequency is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Wandering {
    /// As a rule.
    Usual,
    /// What a public grid keeps to nearly always.
    Grid,
    /// A grid of its own.
    Island,
    /// A generator or an inverter.
    Generator,
}

/// Bands for a row of the supplies table (empty: none of it) of so many hertz, what holds as a rule first, narrow ones first.
pub(crate) fn wanders(row: &str, hertz: f64) -> Vec<Wander> {
    let names = |r: &Fact| -> Vec<String> {
        let list = r.values.get("supplies").and_then(toml::Value::as_array);
        list.into_iter().flatten().filter_map(|v| v.as_str().map(str::to_string)).collect()
    };
    let mut out: Vec<Wander> = vec![];
    for r in mains_frequency() {
        let Some((place, sort)) = r.values.get("place").and_then(toml::Value::as_str).zip(sort_of(r)) else { continue };
        // A generator wanders alike whatever its frequency.
        if sort != Wandering::Generator && r.number("nominal_hz") != Some(hertz) {
            continue;
        }
        if sort != Wandering::Generator && !names(r).iter().any(|n| n == row) {
            continue;
        }
        let Some(band) = r.limit("band_percent") else { continue };
        out.push(Wander { place: place.to_string(), sort, share: band.value, source: band.source });
    }
    out.sort_by(|a, b| a.sort.cmp(&b.sort).then(a.share.total_cmp(&b.share)));
    out
}

fn sort_of(row: &Fact) -> Option<Wandering> {
    match row.values.get("sort").and_then(toml::Value::as_str)? {
        "usual" => Some(Wandering::Usual),
        "grid" => Some(Wandering::Grid),
        "island" => Some(Wandering::Island),
        "generator" => Some(Wandering::Generator),
        _ => None,
    }
}
