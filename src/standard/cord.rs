//! Cords and wires: resistance, what they carry, smallest size, core colours.

use super::bench;
use super::row::{Limit, Row};
use super::unit::decimal;

table_file! { "cords.toml" [coordination]
    /// Smallest cord for an appliance's current.
    ApplianceCord in appliance_cord {
        current_over_a: f64, current_to_a: f64, area_mm2: Option<f64>, max_length_m: Option<f64>,
        conductor: Option<String>, short_cord_area_mm2: Option<f64>, short_cord_max_length_m: Option<f64>,
    }
    /// Conventional rating of a flexible cord.
    UkCord in uk_cord { area_mm2: f64, current_a: f64 }
    /// Resistance of a flexible copper conductor.
    Conductor in conductor { area_mm2: f64, plain_ohm_per_km: f64, tinned_ohm_per_km: f64 }
    /// Resistance at another temperature.
    TemperatureFactor in temperature_factor { temperature_c: f64, to_20c_factor: f64 }
    /// Rating of a North American flexible cord.
    UsCord in us_cord { awg: u32, area_mm2: f64, current_carrying: u32, current_a: f64 }
    /// Largest fuse of a plug for a cord.
    PlugFuseByCord in plug_fuse_by_cord { area_mm2: f64, fuse_a: f64 }
    /// Core colours of a country and time.
    Colours in colour {
        system: Option<String>, line: Option<Vec<String>>, neutral: Option<Vec<String>>, earth: Vec<String>,
        share_min_percent: Option<f64>, share_max_percent: Option<f64>, over_length_mm: Option<f64>,
    }
    /// Colours kept off live conductors beside those of the earth, by country; no country: everywhere else.
    BarredColours in barred_colours {
        countries: Vec<String>, never_line: Vec<String>, earth: Option<Vec<String>>,
    }
}

/// Areas in the file and areas from a gauge number differ in the last digits.
pub(crate) const AREA_SLACK: f64 = 0.995;

/// Highest resistance at 20 °C, ohms a metre, of one flexible copper conductor of `area` square metres.
///
/// Between and beyond the rows, that of the next smaller row in inverse proportion to the area.
pub(crate) fn conductor_resistance(area: f64) -> Limit {
    let rows = conductor();
    let below = rows.iter().rev().find(|r| r.area_mm2 / 1e6 * AREA_SLACK <= area).unwrap_or(&rows[0]);
    let exact = (area / (below.area_mm2 / 1e6) - 1.0).abs() < 1.0 - AREA_SLACK;
    let scale = if exact { 1.0 } else { below.area_mm2 / 1e6 / area };
    below.value(decimal(below.plain_ohm_per_km, -3) * scale, "Ω/m")
}

/// Amperes a flexible cord of `area` square metres carries for ever: that of the largest row not above the area.
/// `None` below the smallest.
pub(crate) fn cord_rating(area: f64) -> Option<Limit> {
    let rows = uk_cord().iter().filter(|r| !r.id.ends_with("old"));
    let row =
        rows.filter(|r| r.area_mm2 / 1e6 * AREA_SLACK <= area).max_by(|a, b| a.area_mm2.total_cmp(&b.area_mm2))?;
    Some(row.value(row.current_a, "A"))
}

/// As [`cord_rating`], for the cord of a North American plug: with two conductors that carry current, whatever the earth.
/// `None` below the smallest size that may be a supply cord.
pub(crate) fn us_cord_rating(area: f64) -> Option<Limit> {
    let fits = us_rows().filter(|r| r.area_mm2 / 1e6 * AREA_SLACK <= area);
    let row = fits.max_by(|a, b| a.area_mm2.total_cmp(&b.area_mm2))?;
    Some(row.value(row.current_a, "A"))
}

/// The smallest conductor in square metres for the supply cord of a North American plug that carries `current` amperes;
/// `None` above the table.
pub(crate) fn smallest_us_cord(current: f64) -> Option<Limit> {
    let row = us_rows().filter(|r| r.current_a >= current).min_by(|a, b| a.area_mm2.total_cmp(&b.area_mm2))?;
    Some(row.value(decimal(row.area_mm2, -6), "m²"))
}

/// Rows of a cord with a line and a neutral, from the smallest supply cord on.
fn us_rows() -> impl Iterator<Item = &'static UsCord> {
    let smallest = coordination().iter().find(|r| r.id == "nec_smallest_cord").and_then(|r| r.number("smallest_awg"));
    let thick = move |r: &&UsCord| smallest.is_none_or(|awg| f64::from(r.awg) <= awg);
    const LINE_AND_NEUTRAL: u32 = 2;
    us_cord().iter().filter(|r| r.current_carrying == LINE_AND_NEUTRAL).filter(thick)
}

/// Amperes a conductor of `area` square metres inside a tool carries for ever: [`cord_rating`], and below its smallest
/// row that row's current in proportion to the area.
pub(crate) fn wire_rating(area: f64) -> Limit {
    cord_rating(area).unwrap_or_else(|| {
        let share = bench::small_wire_density();
        let smallest = &uk_cord()[0];
        let value = share.value * smallest.current_a * area / (smallest.area_mm2 / 1e6);
        Limit { value, unit: "A", source: format!("{}; {}", smallest.cite(), share.source), id: share.id }
    })
}

/// Smallest conductor in square metres for a supply cord of `length` metres (unknown: taken as long) on a portable
/// tool that takes `current` amperes; `None` above the table.
pub(crate) fn smallest_cord(current: f64, length: Option<f64>) -> Option<Limit> {
    let length = length.unwrap_or(f64::INFINITY);
    let rows = appliance_cord();
    let first = rows.iter().position(|r| current <= r.current_to_a)?;
    rows[first..].iter().find_map(|row| {
        let short = row.short_cord_area_mm2.filter(|_| row.short_cord_max_length_m.is_some_and(|m| length <= m));
        let area = short.or(row.area_mm2.filter(|_| row.max_length_m.is_none_or(|m| length <= m)))?;
        Some(row.value(decimal(area, -6), "m²"))
    })
}

/// The largest fuse a plug may hold in front of a cord of `area` square metres; `None` below the smallest row.
pub(crate) fn plug_fuse_for(area: f64) -> Option<Limit> {
    let fits = |r: &&PlugFuseByCord| r.area_mm2 / 1e6 * AREA_SLACK <= area;
    let row = plug_fuse_by_cord().iter().filter(fits).max_by(|a, b| a.area_mm2.total_cmp(&b.area_mm2))?;
    Some(row.value(row.fuse_a, "A"))
}

/// Whether a colour is kept off live conductors although no conductor has it under the rules of a system, and where that
/// is published. `country` is the start of a row of the supplies table, such as `cn_`.
pub(crate) fn barred_from_live(colour_words: &str, country: &str) -> Option<String> {
    let wanted = plain_colour(colour_words);
    let has = |list: &[String]| list.iter().any(|c| plain_colour(c) == wanted);
    let of = |r: &&BarredColours| r.countries.iter().any(|c| !country.is_empty() && country.starts_with(c.as_str()));
    let rows = barred_colours();
    let row = rows.iter().find(of).or_else(|| rows.iter().find(|r| r.countries.is_empty()))?;
    has(&row.never_line).then(|| row.cite())
}

/// What a conductor may be by its colour under today's rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Core {
    /// Live.
    Line,
    /// Neutral.
    Neutral,
    /// Protective earth and nothing else.
    Earth,
}

/// What a core of that colour is under the rules of a system row of the colour table (`iec_single_phase`, `nec` …);
/// `None` when the colour is free there.
pub(crate) fn core_of_colour(colour_words: &str, system: &str) -> Option<(Core, String)> {
    let wanted = plain_colour(colour_words);
    let row = colour().iter().find(|r| r.id == system)?;
    let has = |list: &[String]| list.iter().any(|c| plain_colour(c) == wanted);
    let core = if has(&row.earth) {
        Core::Earth
    } else if row.neutral.as_deref().is_some_and(has) {
        Core::Neutral
    } else if row.line.as_deref().is_some_and(has) {
        Core::Line
    } else {
        return None;
    };
    Some((core, row.cite()))
}

/// Colour words without their variations: `green/yellow`, `green and yellow`, `yellow-green` are one colour.
fn plain_colour(words: &str) -> String {
    let lower = words.to_lowercase().replace("gray", "grey");
    let split = lower.split(|c: char| !c.is_alphabetic());
    let fillers = ["and", "with", "stripe", "stripes", "striped", ""];
    let mut parts: Vec<&str> = split.filter(|w| !fillers.contains(w)).collect();
    parts.sort_unstable();
    parts.dedup();
    parts.join("-")
}

/// Whether a colour alone is that of the earth conductor in a country, by the beginning of its supply's row.
pub(crate) fn is_earth_of(colour: &str, country: &str) -> bool {
    let here = |r: &&BarredColours| r.countries.iter().any(|c| country.starts_with(c.as_str()));
    let earths = barred_colours().iter().filter(here).filter_map(|r| r.earth.as_ref()).flatten();
    earths.into_iter().any(|c| plain_colour(c) == plain_colour(colour))
}
