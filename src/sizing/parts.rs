//! Parts a design may use, from the tables. Must not know lamps.

use crate::standard;
use crate::standard::fuse::Sheet;

/// A resistor style: what it may take.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rating {
    pub(super) watts: f64,
    pub(super) volts: f64,
    pub(super) flameproof: bool,
}

/// Styles above it are made for high voltage and hardly ever in the drawer, volts.
const SPECIAL: f64 = 1000.0;

/// Smallest leaded film style that takes so many watts and volts r.m.s. at so many ohms.
pub(super) fn rating(watts: f64, volts: f64, ohms: f64) -> Option<Rating> {
    let films = ["metal film", "power metal film", "metal oxide film"];
    let rows = standard::resistor::resistor().iter();
    let fitting = rows.filter(|r| films.contains(&r.technology.as_str()) && r.max_ohms().is_none_or(|m| ohms <= m));
    let taking =
        fitting.filter_map(|r| {
            let volts_of = r.limiting_rms()?;
            (r.rated_w >= watts && volts_of >= volts && volts_of <= SPECIAL && r.fusible != Some(true))
                .then(|| Rating { watts: r.rated_w, volts: volts_of, flameproof: r.will_not_flame() })
        });
    // The smallest; of equal ones the one that will not flame.
    taking.min_by(|a, b| {
        (a.watts, a.volts, !a.flameproof)
            .partial_cmp(&(b.watts, b.volts, !b.flameproof))
            .unwrap_or(std::cmp::Ordering::Equal)
    })
}

/// The sheet of the fuses used: quick, high breaking capacity.
pub(super) fn fuse_sheet() -> &'static Sheet {
    let rows = standard::fuse::sheet();
    rows.iter().find(|s| s.characteristic == "F" && s.breaking == "H").unwrap_or(&rows[0])
}

/// Smallest rating of that sheet that carries `amperes` r.m.s. with a half more in hand.
pub(super) fn fuse(amperes: f64) -> Option<f64> {
    let range = standard::fuse::sheet_range().iter().find(|r| r.sheet == fuse_sheet().sheet)?;
    let fits = |r: &f64| *r >= 1.5 * amperes && *r >= range.rated_from_a && *r <= range.rated_to_a;
    standard::fuse::ratings().into_iter().filter(fits).min_by(f64::total_cmp)
}

/// Capacitances stocked as class X2, farads.
pub(super) fn x2_values() -> Vec<f64> {
    let row = standard::parts::x2_capacitor().iter().find(|r| r.id == "usual_values");
    row.and_then(|r| r.numbers("values_uf")).unwrap_or_default().iter().map(|uf| uf / 1e6).collect()
}

/// Lowest rated volts of X2 capacitors above the nominal mains.
pub(super) fn x2_volts(nominal: f64) -> Option<f64> {
    let volts = standard::parts::x2_capacitor().iter().filter_map(|r| r.number("rated_ac_v"));
    volts.filter(|v| *v >= nominal).min_by(f64::total_cmp)
}

/// A rectifier that stands `volts` backwards with the margin of good practice: reverse volts, mean and surge amperes.
pub(super) fn rectifier(volts: f64) -> Option<(f64, f64, f64)> {
    let asked = volts * standard::parts::reverse_margin().value;
    let rows = standard::parts::rectifier().iter().filter(|r| r.peak_reverse_v >= asked);
    rows.min_by(|a, b| a.peak_reverse_v.total_cmp(&b.peak_reverse_v))
        .map(|r| (r.peak_reverse_v, r.mean_forward_a, r.surge_8ms_a))
}
