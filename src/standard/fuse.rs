//! Fuses: how long they carry what, how long they take to melt, what they can break.

use super::row::{Limit, Row, find};

table_file! { "fuses.toml" [practice, bs1362]
    /// A standard sheet of IEC 60127-2.
    Sheet in sheet {
        sheet: u32, characteristic: String, breaking: String, length_mm: f64, diameter_mm: f64, rated_v: f64,
        breaking_capacity_a: f64, breaking_capacity_multiple: Option<f64>,
    }
    /// Rated currents of a sheet.
    SheetRange in sheet_range { sheet: u32, rated_from_a: f64, rated_to_a: f64 }
    /// Usual rated currents.
    RatedSeries in rated_series { ratings_a: Vec<f64> }
    /// A time gate.
    Gate in gate {
        sheet: u32, multiple: f64, rated_from_a: f64, rated_to_a: f64, min_s: Option<f64>, max_s: Option<f64>,
    }
    /// A letter of the marking.
    Marking in marking {
        letters: String, meaning: String, breaking_capacity_a: Option<f64>, breaking_capacity_multiple: Option<f64>,
    }
    /// A time gate of North American fuses.
    UlGate in ul_gate {
        multiple: f64, temperature_rise_max_k: Option<f64>, min_s: Option<f64>, max_s: Option<f64>,
        rated_from_a: Option<f64>, rated_to_a: Option<f64>,
    }
    /// Breaking capacity of North American fuses.
    UlBreaking in ul_breaking {
        voltage_v: f64, breaking_capacity_a: f64, rated_from_a: Option<f64>, rated_to_a: Option<f64>,
    }
}

/// Time gates of one fuse.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct FuseGates {
    /// Rated amperes.
    pub rating: f64,
    /// Standard sheets the gates are of (more than one when the marking leaves it open; then the widest gate).
    pub sheets: Vec<u32>,
    /// Gates by rising multiple.
    pub gates: Vec<TimeGate>,
    /// Where they are published.
    pub source: String,
}

/// Whether the standard sheets have a fuse of this speed and rating that breaks so many amperes.
pub(crate) fn is_made(speed: &str, rated: f64, breaks: f64) -> bool {
    let fits = |s: &&Sheet| s.characteristic.eq_ignore_ascii_case(speed) && s.breaking_capacity_a >= breaks;
    let range = |s: &Sheet| sheet_range().iter().find(|r| r.sheet == s.sheet);
    sheet().iter().filter(fits).any(|s| range(s).is_some_and(|r| (r.rated_from_a..=r.rated_to_a).contains(&rated)))
}

/// At `multiple` times its rating the fuse carries on for at least `min_s` and melts within `max_s` seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct TimeGate {
    /// Multiple of the rated current.
    pub multiple: f64,
    /// Shortest time to melt, where one is published.
    pub min_s: Option<f64>,
    /// Longest time to melt, where one is published.
    pub max_s: Option<f64>,
}

/// A current that is a gate's multiple of the rating is at the gate: it misses it by the rounding of one division.
const ROUNDING: f64 = 1e-9;

/// Seconds of an hour, the longest time that gates are published for.
const HOUR: f64 = 3600.0;

/// Multiple of the rating from which a published shortest time is that of a pulse, in which the element heats without
/// losing heat, so that its I²·t holds for shorter pulses too.
const SHORT_FROM: f64 = 4.0;

impl FuseGates {
    /// Longest time in seconds until the fuse has melted at `amperes`; `None` when no gate assures that it melts.
    pub(crate) fn melts_within(&self, amperes: f64) -> Option<f64> {
        let multiple = amperes / self.rating;
        let assured = self.gates.iter().filter(|g| g.multiple <= multiple * (1.0 + ROUNDING)).filter_map(|g| g.max_s);
        assured.min_by(f64::total_cmp)
    }

    /// The least current at which a gate assures that the fuse melts: up to it, it may carry on for ever.
    pub(crate) fn least_melting_current(&self) -> Option<f64> {
        let assured = self.gates.iter().filter(|g| g.max_s.is_some()).map(|g| g.multiple * self.rating);
        assured.min_by(f64::total_cmp)
    }

    /// The largest current that the fuse is sure to carry for an hour or more. `None` where none is published.
    pub(crate) fn carries_for_an_hour(&self) -> Option<f64> {
        let carried = self.gates.iter().filter(|g| g.min_s.is_some_and(|s| s >= HOUR));
        carried.map(|g| g.multiple * self.rating).max_by(f64::total_cmp)
    }

    /// Melting integral in A²s that a short pulse does not reach: the least I²·t of the published shortest times from
    /// four times the rating on. `None` when none is published.
    pub(crate) fn i2t_carried(&self) -> Option<f64> {
        let short = self.gates.iter().filter(|g| g.multiple >= SHORT_FROM);
        let integral = short.filter_map(|g| g.min_s.map(|t| (g.multiple * self.rating).powi(2) * t));
        integral.min_by(f64::total_cmp)
    }
}

/// Time gates of a miniature fuse-link (IEC 60127-2) of `rating` amperes and marked `speed` (FF, F, M, T, TT).
///
/// The breaking capacity chooses the sheet; where it is not stated, or no sheet with it reaches down to that rating,
/// the gates of all sheets of the speed are laid together and the wider end of each is taken. FF melts no later than
/// F, TT no sooner than T, M between them. `None` for an unknown marking or a rating outside every sheet.
pub(crate) fn fuse_gates(rating: f64, speed: &str, breaking: Option<f64>) -> Option<FuseGates> {
    let keep = |gates: FuseGates, min: bool, max: bool| FuseGates {
        gates: gates
            .gates
            .iter()
            .map(|g| TimeGate { min_s: g.min_s.filter(|_| min), max_s: g.max_s.filter(|_| max), ..*g })
            .filter(|g| g.min_s.is_some() || g.max_s.is_some())
            .collect(),
        source: format!("{}, taken for {} (common practice)", gates.source, speed.trim().to_uppercase()),
        ..gates
    };
    match speed.trim().to_uppercase().as_str() {
        letter @ ("F" | "T") => of_letter(rating, letter, breaking),
        "FF" => of_letter(rating, "F", breaking).map(|g| keep(g, false, true)),
        "TT" => of_letter(rating, "T", breaking).map(|g| keep(g, true, false)),
        "M" => {
            let (fast, slow) = (of_letter(rating, "F", breaking)?, of_letter(rating, "T", breaking)?);
            let (fast, slow) = (keep(fast, true, false), keep(slow, false, true));
            let all: Vec<TimeGate> = fast.gates.iter().chain(&slow.gates).copied().collect();
            let sheets = fast.sheets.iter().chain(&slow.sheets).copied().collect();
            Some(FuseGates { rating, sheets, gates: laid_together(&all), source: slow.source })
        }
        _ => None,
    }
}

fn of_letter(rating: f64, letter: &str, breaking: Option<f64>) -> Option<FuseGates> {
    let of_speed = || sheet().iter().filter(|s| s.characteristic == letter);
    // The sheet with the highest breaking capacity that the marking reaches.
    let marked = breaking.and_then(|b| {
        let reached = of_speed().filter(|s| b >= breaking_of(s, rating) * (1.0 - SAME));
        reached.max_by(|a, b| a.breaking_capacity_a.total_cmp(&b.breaking_capacity_a))
    });
    let numbers: Vec<u32> = match marked {
        Some(s) if !rows_of(s.sheet, rating).is_empty() => vec![s.sheet],
        _ => of_speed().map(|s| s.sheet).filter(|n| !rows_of(*n, rating).is_empty()).collect(),
    };
    let mut all: Vec<&Gate> = numbers.iter().flat_map(|n| rows_of(*n, rating)).collect();
    if all.is_empty() {
        return None;
    }
    let words: Vec<String> = numbers.iter().map(u32::to_string).collect();
    let mut source =
        format!("IEC 60127-2, standard sheet{} {}", if words.len() > 1 { "s" } else { "" }, words.join(" and "));
    let mut sheets = numbers;
    // A small fuse with the breaking capacity of a sheet that starts at larger ratings: the slower gates of that
    // sheet's smallest rating count as well.
    if let Some(above) = marked.filter(|m| !sheets.contains(&m.sheet)) {
        let smallest = gate().iter().filter(|g| g.sheet == above.sheet).map(|g| g.rated_from_a).min_by(f64::total_cmp);
        if let Some(smallest) = smallest.filter(|s| rating < *s) {
            all.extend(rows_of(above.sheet, smallest));
            source = format!("{source}, with those of sheet {} although it starts at {smallest} A", above.sheet);
            sheets.push(above.sheet);
        }
    }
    if all.iter().any(|g| g.basis == "from memory") {
        source.push_str(" (from memory)");
    }
    let gates: Vec<TimeGate> =
        all.iter().map(|g| TimeGate { multiple: g.multiple, min_s: g.min_s, max_s: g.max_s }).collect();
    Some(FuseGates { rating, gates: laid_together(&gates), source, sheets })
}

/// Ratings are nominal numbers read from text; the last digit of the binary number must not decide.
const SAME: f64 = 1e-6;

fn rows_of(number: u32, rating: f64) -> Vec<&'static Gate> {
    let covers = |g: &&Gate| rating >= g.rated_from_a * (1.0 - SAME) && rating <= g.rated_to_a * (1.0 + SAME);
    gate().iter().filter(|g| g.sheet == number).filter(covers).collect()
}

/// One gate a multiple: the shortest of the shortest times, the longest of the longest. Where one of the gates gives
/// no shortest (longest) time, nothing is known of it, so neither is of all together.
fn laid_together(all: &[TimeGate]) -> Vec<TimeGate> {
    let mut sorted: Vec<TimeGate> = all.to_vec();
    sorted.sort_by(|a, b| a.multiple.total_cmp(&b.multiple));
    let mut gates: Vec<TimeGate> = Vec::new();
    for gate in sorted {
        match gates.last_mut().filter(|g| g.multiple == gate.multiple) {
            Some(last) => {
                last.min_s = last.min_s.zip(gate.min_s).map(|(a, b)| a.min(b));
                last.max_s = last.max_s.zip(gate.max_s).map(|(a, b)| a.max(b));
            }
            None => gates.push(gate),
        }
    }
    gates
}

fn breaking_of(sheet: &Sheet, rating: f64) -> f64 {
    sheet.breaking_capacity_a.max(sheet.breaking_capacity_multiple.unwrap_or_default() * rating)
}

/// Time gates of a North American supplementary fuse (UL 248-14) of `rating` amperes.
pub(crate) fn ul_gates(rating: f64) -> FuseGates {
    let current = ul_gate().iter().filter(|g| !g.id.ends_with("old") && g.temperature_rise_max_k.is_none());
    let fitting = current
        .filter(|g| g.rated_from_a.is_none_or(|from| rating >= from) && g.rated_to_a.is_none_or(|to| rating <= to));
    let gates: Vec<TimeGate> =
        fitting.map(|g| TimeGate { multiple: g.multiple, min_s: g.min_s, max_s: g.max_s }).collect();
    FuseGates { rating, sheets: Vec::new(), gates: laid_together(&gates), source: "UL 248-14".to_string() }
}

/// Time zones of a British plug fuse (BS 1362) of 3 A or 13 A; `None` for other ratings.
pub(crate) fn plug_fuse_gates(rating: f64) -> Option<FuseGates> {
    let rows: Vec<_> = bs1362().iter().filter(|r| r.number("rated_a") == Some(rating)).collect();
    let gates: Vec<TimeGate> = rows
        .iter()
        .filter_map(|r| {
            let multiple = r.number("current_a")? / rating;
            Some(TimeGate { multiple, min_s: r.number("min_s"), max_s: r.number("max_s") })
        })
        .collect();
    let source = rows.iter().find(|r| r.basis != "published, corroborated").or(rows.first())?.cite();
    Some(FuseGates { rating, sheets: Vec::new(), gates: laid_together(&gates), source })
}

/// Share of its rating a North American fuse is loaded to by good practice.
pub(crate) fn ul_load_share() -> Limit {
    let row = find(practice(), "ul_load_75").expect("fuses.toml: ul_load_75 is tested");
    row.value(row.number("load_share_max").unwrap_or(1.0), "")
}

/// Rated currents fuses are sold in, amperes, rising.
pub(crate) fn ratings() -> Vec<f64> {
    let mut all: Vec<f64> = rated_series().iter().flat_map(|r| r.ratings_a.iter().copied()).collect();
    all.sort_by(f64::total_cmp);
    all
}
