//! What an ordinary digital meter does and how far it may be off; how far parts lie from what is printed on them when a meter
//! looks at them; what a first power-up goes by.

use std::sync::LazyLock;

use super::row::{Fact, Limit, find};

table_file! { "meter.toml" [range, waits, spread, likely, first_power]
    /// What a fuse-link drops.
    FuseDrop in fuse_drop { up_to_a: f64, most_drop_v: f64 }
    /// A filament lamp that is sold.
    SeriesLamp in series_lamp { volts_v: f64, power_w: f64 }
}

fn at(rows: &'static [Fact], id: &str, key: &str) -> f64 {
    let row = find(rows, id).unwrap_or_else(|| panic!("meter.toml: {id} is tested"));
    row.limit(key).unwrap_or_else(|| panic!("meter.toml: {id}.{key} is tested")).value
}

fn plain(rows: &'static [Fact], id: &str, key: &str) -> f64 {
    let row = find(rows, id).unwrap_or_else(|| panic!("meter.toml: {id} is tested"));
    row.number(key).unwrap_or_else(|| panic!("meter.toml: {id}.{key} is tested"))
}

/// The ohms range.
#[derive(Debug, Clone, Copy)]
pub(crate) struct OhmsRange {
    /// Volts on the open terminals.
    pub open_volts: f64,
    /// Highest ohms it shows.
    pub most: f64,
    /// Fraction it may be off.
    pub error: f64,
    /// Ohms of its leads.
    pub leads: f64,
    /// Amperes with which it charges a capacitor in its highest range.
    pub charging: f64,
}

/// The ohms range.
pub(crate) fn ohms() -> OhmsRange {
    // Asked for millions of times: the row is looked up once.
    static RANGE: LazyLock<OhmsRange> = LazyLock::new(|| {
        let of = |key| at(range(), "ohms", key);
        OhmsRange {
            open_volts: of("open_circuit_v"),
            most: of("most_mohm"),
            error: of("error_percent"),
            leads: of("leads_ohm"),
            charging: of("charging_ma"),
        }
    });
    *RANGE
}

/// The diode range.
#[derive(Debug, Clone, Copy)]
pub(crate) struct DiodeRange {
    /// Volts on the open terminals.
    pub open_volts: f64,
    /// Highest volts it shows.
    pub most: f64,
    /// Amperes of the meter that gives least, of the usual one and of that which gives most, into a short.
    pub amperes: [f64; 3],
    /// Fraction it may be off.
    pub error: f64,
    /// Volts it may be off beside that.
    pub leads: f64,
}

/// The diode range.
pub(crate) fn diode() -> DiodeRange {
    // Asked for millions of times: the row is looked up once.
    static RANGE: LazyLock<DiodeRange> = LazyLock::new(|| {
        let of = |key| at(range(), "diode", key);
        DiodeRange {
            open_volts: of("open_circuit_v"),
            most: of("most_v"),
            amperes: [of("least_ma"), of("current_ma"), of("most_ma")],
            error: of("error_percent"),
            leads: of("leads_v"),
        }
    });
    *RANGE
}

/// The capacitance range.
#[derive(Debug, Clone, Copy)]
pub(crate) struct CapacitanceRange {
    /// Lowest and highest hertz at which meters measure.
    pub hertz: [f64; 2],
    /// Farads below which it tells nothing.
    pub least: f64,
    /// Fraction it may be off.
    pub error: f64,
    /// Farads it may be off beside that.
    pub leads: f64,
    /// How many times what flows through resistance must flow through the capacitor for the number to mean anything.
    pub over_resistance: f64,
}

/// The capacitance range.
pub(crate) fn capacitance() -> CapacitanceRange {
    // Asked for millions of times: the row is looked up once.
    static RANGE: LazyLock<CapacitanceRange> = LazyLock::new(|| {
        let of = |key| at(range(), "capacitance", key);
        CapacitanceRange {
            hertz: [of("least_hz"), of("most_hz")],
            least: of("least_nf"),
            error: of("error_percent"),
            leads: of("leads_nf"),
            over_resistance: plain(range(), "capacitance", "least_of_resistance_multiple"),
        }
    });
    *RANGE
}

/// Ohms below which a meter on its continuity range sounds.
pub(crate) fn sounds_below() -> f64 {
    at(range(), "continuity", "below_ohm")
}

/// Time constants until a reading stands, and seconds from which on its rise is told.
pub(crate) fn settles() -> (f64, f64) {
    (at(waits(), "settles", "time_constants_factor"), at(waits(), "settles", "told_from_s"))
}

/// Volts of a silicon junction on the diode range, least and most.
pub(crate) fn silicon() -> [f64; 2] {
    ["least_v", "most_v"].map(|key| at(spread(), "silicon", key))
}

/// Least and most of what is printed on a part: `led` of its volts, `filament_cold`, `copper_stated`, `copper_by_size`,
/// `thermistor_cold` of its ohms.
pub(crate) fn share(id: &str) -> [f64; 2] {
    ["least_fraction", "most_fraction"].map(|key| at(spread(), id, key))
}

/// Most ohms of a cold fuse-link of so many amperes.
pub(crate) fn fuse_most(rated: f64) -> f64 {
    let row = fuse_drop().iter().find(|r| rated <= r.up_to_a).or(fuse_drop().last());
    row.map_or(0.0, |r| r.most_drop_v / rated)
}

/// Most ohms of a joint, contact or short wire.
pub(crate) fn joint() -> f64 {
    at(spread(), "contact", "most_ohm")
}

/// How likely a kind of fault is, beside the others: `open`, `short`, `slip`, `wire`.
pub(crate) fn weight(id: &str) -> f64 {
    at(likely(), id, "weight_factor")
}

/// A number of the first power-up, with its source.
pub(crate) fn power(id: &str, key: &str) -> Limit {
    let row = find(first_power(), id).unwrap_or_else(|| panic!("meter.toml: {id} is tested"));
    row.limit(key).unwrap_or_else(|| panic!("meter.toml: {id}.{key} is tested"))
}

/// Filament lamps that are sold for about so many volts: volts and watts, the smallest first.
pub(crate) fn series_lamps(mains: f64) -> Vec<(f64, f64)> {
    let near = series_lamp().iter().map(|l| l.volts_v).min_by(|a, b| off(*a, mains).total_cmp(&off(*b, mains)));
    let of = series_lamp().iter().filter(|l| Some(l.volts_v) == near);
    let mut lamps: Vec<(f64, f64)> = of.map(|l| (l.volts_v, l.power_w)).collect();
    lamps.sort_by(|a, b| a.1.total_cmp(&b.1));
    lamps
}

/// How far volts are apart, as a ratio.
fn off(a: f64, b: f64) -> f64 {
    (a / b).max(b / a)
}
