//! Mains systems: words or row to voltage, band, frequency and which pins are live.

use super::bench::{self, SupplyChoice};
use super::mains::{Arrangement, Mains};
use super::names::nearest_names;
use super::protection;
use super::row::{Limit, Row};

pub(crate) use super::protection::System;

/// The mains a text means: `"230 V 50 Hz"` in any spacing and case, the same with `line to neutral` or `line to line`
/// behind it, or the name of a row (`uk_230`; where the row has two frequencies, followed by one: `jp_100 50 Hz`).
///
/// # Errors
/// The nearest known words, best first, when nothing is meant by the text.
pub(crate) fn supply(text: &str) -> Result<Mains, Vec<String>> {
    let squeezed: String = text.to_lowercase().chars().filter(|c| !c.is_whitespace()).collect();
    let (core, wanted) = split_arrangement(&squeezed);
    by_words(core, wanted).or_else(|| by_row(core, wanted)).ok_or_else(|| nearest(text))
}

fn as_written(key: &str) -> Limit {
    let row = protection::as_written().first();
    row.and_then(|r| r.limit(key)).unwrap_or_else(|| panic!("supplies.toml: as_written.{key} is tested"))
}

/// Least and most hertz of a supply that is written out.
pub(crate) fn written_hertz() -> [Limit; 2] {
    ["least_hz", "most_hz"].map(as_written)
}

/// Least and most volts r.m.s. of one.
pub(crate) fn written_volts() -> [Limit; 2] {
    ["least_v", "most_v"].map(as_written)
}

/// Widest tolerance of one, as a fraction.
pub(crate) fn written_tolerance() -> Limit {
    as_written("most_percent")
}

/// Words for every choice, and every row: what `supply` knows.
pub(crate) fn known() -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for choice in bench::supply_choice() {
        for hertz in &choice.frequency_hz {
            let words = format!("{} V {hertz} Hz", choice.volts_v);
            if !names.contains(&words) {
                names.push(words);
            }
        }
    }
    names.extend(rows().map(|r| r.id.clone()));
    names
}

/// Where the system of a row is met.
pub(crate) fn examples(row: &str) -> Option<String> {
    rows().find(|r| r.id == row).map(|r| r.examples.clone())
}

fn rows() -> impl Iterator<Item = &'static System> {
    protection::system().iter()
}

fn nearest(text: &str) -> Vec<String> {
    let known = known();
    // "230V AC", "mains 120": the volts say more than the letters do, as long as they are those of an ordinary supply.
    let numbers = text.split(|c: char| !c.is_ascii_digit());
    let beginning =
        |number: &str| known.iter().filter(|name| name.starts_with(&format!("{number} V"))).cloned().collect();
    let same: Option<Vec<String>> =
        numbers.filter(|n| !n.is_empty()).map(beginning).find(|v: &Vec<String>| !v.is_empty());
    // A row is named by its letters.
    if let Some(same) = same.filter(|_| !text.contains('_')) {
        return same;
    }
    nearest_names(text, known.iter().map(String::as_str), 3)
}

/// Takes a trailing "line to line" or "line to neutral" off (spaces already gone).
fn split_arrangement(squeezed: &str) -> (&str, Option<bool>) {
    for (ending, line_line) in
        [("linetoline", true), ("line-line", true), ("linetoneutral", false), ("line-neutral", false)]
    {
        if let Some(core) = squeezed.strip_suffix(ending) {
            return (core.trim_end_matches(','), Some(line_line));
        }
    }
    (squeezed, None)
}

fn by_words(core: &str, wanted: Option<bool>) -> Option<Mains> {
    let (volts, rest) = core.split_once('v')?;
    let rest = rest.trim_start_matches(['~', ',', '/']);
    let rest = rest.strip_prefix("ac").or_else(|| rest.strip_prefix("a.c.")).unwrap_or(rest);
    let hertz: u32 = rest.trim_start_matches([',', '/']).strip_suffix("hz")?.parse().ok()?;
    let volts: f64 = volts.parse().ok()?;
    let choice = bench::supply_choice()
        .iter()
        .filter(|c| c.volts_v == volts && c.frequency_hz.contains(&hertz))
        .find(|c| wanted.is_none_or(|w| w == c.is_line_line()))?;
    let row = rows().find(|r| r.id == choice.system)?;
    Some(mains(row, hertz, choice.is_line_line(), Some(choice)))
}

fn by_row(core: &str, wanted: Option<bool>) -> Option<Mains> {
    let row = rows().find(|r| core.starts_with(&r.id.to_lowercase()) && frequency(r, core).is_some())?;
    let hertz = frequency(row, core)?;
    let choices = || bench::supply_choice().iter().filter(|c| c.system == row.id);
    let meant = choices().find(|c| c.default_by_id == Some(true)).or_else(|| choices().next());
    let line_line = wanted.unwrap_or_else(|| meant.map_or(row.voltage_ln_v.is_none(), SupplyChoice::is_line_line));
    if (line_line && row.voltage_ll_v.is_none()) || (!line_line && row.voltage_ln_v.is_none()) {
        return None;
    }
    let choice = choices().find(|c| c.is_line_line() == line_line);
    Some(mains(row, hertz, line_line, choice))
}

/// The frequency a row's name with an optional frequency behind it means.
fn frequency(row: &System, core: &str) -> Option<u32> {
    let behind = core.strip_prefix(row.id.to_lowercase().as_str())?;
    match (behind, row.frequency_hz.as_slice()) {
        ("", [only]) => Some(*only),
        ("", _) => None,
        (text, all) => text.strip_suffix("hz")?.parse().ok().filter(|h| all.contains(h)),
    }
}

/// Nominal voltage and band of the pin-to-pin voltage. Where the row's band is that of line to neutral, the line to
/// line band is the same in proportion.
fn mains(row: &System, hertz: u32, line_line: bool, choice: Option<&SupplyChoice>) -> Mains {
    let nominal = if line_line { row.voltage_ll_v } else { row.voltage_ln_v }.unwrap_or_default();
    let banded =
        choice.and_then(|c| c.band_from.as_deref()).and_then(|from| rows().find(|r| r.id == from)).unwrap_or(row);
    let mut source = row.cite();
    let (mut low, high) = match (banded.v_min, banded.v_max, banded.voltage_ln_v.or(banded.voltage_ll_v)) {
        (Some(min), Some(max), Some(base)) if base == nominal => (min, max),
        (Some(min), Some(max), Some(base)) => {
            if banded.id != row.id {
                source = format!("{source}; band of {}", banded.cite());
            }
            (nominal * min / base, nominal * max / base)
        }
        _ => {
            let usual = bench::band_where_none_is_published();
            source = format!("{source}; no band published here: {}", usual.source);
            (nominal * (1.0 - usual.value), nominal * (1.0 + usual.value))
        }
    };
    if let (Some(min), Some(base)) = (banded.utilisation_min_v, banded.voltage_ln_v) {
        low = nominal * min / base;
        if let Some(utilisation) = &banded.utilisation_source {
            source = format!("{source}; lowest at the receptacle: {utilisation}");
        }
    }
    let arrangement = if line_line {
        let half = choice.and_then(|c| c.to_earth_v);
        Arrangement::LineLine { to_earth: half.or(row.voltage_ln_v).unwrap_or(nominal) }
    } else {
        Arrangement::LineNeutral
    };
    let words = if line_line { " line to line" } else { "" };
    Mains {
        label: format!("{nominal} V {hertz} Hz{words}"),
        row: row.id.clone(),
        low,
        nominal,
        high,
        hertz: f64::from(hertz),
        arrangement,
        source,
    }
}

impl SupplyChoice {
    /// Whether both pins are live.
    pub(crate) fn is_line_line(&self) -> bool {
        self.arrangement == "line-line"
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn spacing_and_case_do_not_matter() {
        let plain = supply("230 V 50 Hz").unwrap();
        for text in ["230V 50Hz", "230v50hz", " 230 V  50 HZ ", "230 V, 50 Hz", "230 V/50 Hz", "230 V AC 50 Hz"] {
            assert_eq!(supply(text).unwrap(), plain, "{text}");
        }
        assert_eq!((plain.low, plain.nominal, plain.high, plain.hertz), (207.0, 230.0, 253.0, 50.0));
        assert_eq!(plain.row, "iec_230");
    }

    #[test]
    fn every_known_word_is_known() {
        for name in known() {
            let two = supply_needs_frequency(&name);
            assert_eq!(supply(&name).is_ok(), !two, "{name}");
        }
    }

    fn supply_needs_frequency(name: &str) -> bool {
        rows().find(|r| r.id == name).is_some_and(|r| r.frequency_hz.len() > 1)
    }

    #[test]
    fn unknown_names_the_nearest() {
        assert!(supply("230 V 60 Hz").unwrap_err().contains(&"230 V 50 Hz".to_string()));
        assert!(supply("jp_100").unwrap_err().contains(&"jp_100".to_string()));
        for text in ["230", "230 V", "-230 V 50 Hz", "230 V 1e9 Hz", "uk_230 60 Hz"] {
            assert!(!supply(text).unwrap_err().is_empty(), "{text}");
        }
        for text in ["", "é", "europe"] {
            assert!(supply(text).unwrap_err().is_empty(), "{text}");
        }
    }
}
