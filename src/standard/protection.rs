//! The fixed installation: systems, breakers, disconnection times. What residual-current devices see stands in
//! `residual.rs`.

use super::bench;
use super::row::{Limit, Row, find};

table_file! { "supplies.toml" [breaker, rcd, rcd_shape, earth_electrode_row, as_written]
    /// A public mains system.
    System in system {
        voltage_ln_v: Option<f64>, voltage_ll_v: Option<f64>, frequency_hz: Vec<u32>,
        plus_percent: Option<f64>, minus_percent: Option<f64>, v_min: Option<f64>, v_max: Option<f64>,
        centre_v: Option<f64>, plus_v: Option<f64>, minus_v: Option<f64>, examples: String,
        utilisation_min_v: Option<f64>, utilisation_source: Option<String>,
    }
    /// Usual protection of a circuit that feeds sockets.
    FinalCircuit in final_circuit {
        system: String, protective_rating_a: f64, device: String, breaker_standard: String, plug_fused: bool,
    }
    /// A time within which a breaker must open.
    BreakerGate in breaker_gate {
        standard: String, multiple: Option<f64>, current_a: Option<f64>, trip_max_s: f64, rated_from_a: f64,
        rated_to_a: f64, curves: Option<Vec<String>>, energy_limited: Option<bool>,
    }
    /// What a type of residual-current device is sure to see.
    RcdType in rcd_type {
        #[serde(rename = "type")]
        kind: String,
        sine_multiple: f64, pulse_multiple: Option<f64>, pulse_small_multiple: Option<f64>, smooth_multiple: Option<f64>,
    }
    /// Longest disconnection time after a fault to earth.
    DisconnectionTime in disconnection_time { earthing: String, voltage_from_v: f64, voltage_to_v: Option<f64>, max_s: f64 }
    /// Sockets that get a residual-current device.
    SocketRcd in socket_rcd { socket_rating_up_to_a: f64, rated_residual_ma: f64 }
}

/// A miniature circuit-breaker, by the standard it is made to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
// The file does not say the type, so the slowest is taken; the rows for all stand in the table.
#[allow(dead_code)]
pub(crate) enum BreakerType {
    /// IEC 60898-1, trips at once at low multiples of its rating: for lighting and sockets.
    B,
    /// IEC 60898-1, for moderate inrush.
    C,
    /// IEC 60898-1, for high inrush.
    D,
    /// UL 489: no magnetic level is assured by its standard.
    Ul,
}

impl BreakerType {
    /// The standard it is made to, in the words of the tables.
    fn standard(self) -> &'static str {
        match self {
            BreakerType::B | BreakerType::C | BreakerType::D => "IEC 60898-1",
            BreakerType::Ul => UL,
        }
    }

    /// The letter of its curve.
    fn curve(self) -> &'static str {
        match self {
            BreakerType::B => "B",
            BreakerType::C => "C",
            BreakerType::D => "D",
            BreakerType::Ul => "",
        }
    }
}

/// The North American breaker standard, in the words of the tables.
const UL: &str = "UL 489";

/// Earthing of the supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Earthing {
    /// Earthed at the source, with a metallic return.
    Tn,
    /// Own earth electrode.
    Tt,
}

/// The multiples of its rating between which a breaker begins to trip at once: (may trip from, must trip from); `None`
/// where its standard assures none.
pub(crate) fn breaker_instant(kind: BreakerType) -> Option<(Limit, Limit)> {
    let id = match kind {
        BreakerType::B => "type_b",
        BreakerType::C => "type_c",
        BreakerType::D => "type_d",
        BreakerType::Ul => return None,
    };
    let row = find(breaker(), id).expect("breakers.type_b, c, d are tested");
    let multiple = |key| row.value(row.number(key).unwrap_or(f64::INFINITY), "");
    Some((multiple("instant_from_multiple"), multiple("instant_to_multiple")))
}

/// Longest time in seconds a breaker takes at `amperes` r.m.s.; `None` when no published point assures a trip.
pub(crate) fn breaker_clears(kind: BreakerType, rating: f64, amperes: f64) -> Option<Limit> {
    let at_once = breaker_instant(kind).filter(|(_, must)| amperes >= must.value * rating);
    let at_once = at_once.map(|_| bench::instantaneous_trip());
    let gates = breaker_gate().iter().filter(|g| {
        g.standard == kind.standard()
            && rating > g.rated_from_a
            && rating <= g.rated_to_a
            && g.curves.as_ref().is_none_or(|c| c.iter().any(|c| c == kind.curve()))
    });
    let times = gates.filter_map(|g| {
        let from = g.current_a.or(g.multiple.map(|m| m * rating))?;
        let quicker = if g.energy_limited == Some(true) { (from / amperes).powi(2) } else { 1.0 };
        (amperes >= from).then(|| g.value(g.trip_max_s * quicker, "s"))
    });
    at_once.into_iter().chain(times).min_by(|a, b| a.value.total_cmp(&b.value))
}

/// The type a breaker is taken for that stands in front of a socket of that system row. C is the slower of the two types
/// of IEC 60898-1 met there.
pub(crate) fn breaker_of(system: &str) -> BreakerType {
    if final_circuit().iter().any(|r| r.system == system && r.breaker_standard == UL) {
        BreakerType::Ul
    } else {
        BreakerType::C
    }
}

/// Resistance in ohms of the earth of a tool in a TT supply, behind a residual-current device of so many amperes where
/// there is one: the highest that is allowed.
pub(crate) fn earth_electrode(residual: Option<f64>) -> Limit {
    let at = |id, key| find(earth_electrode_row(), id).and_then(|r| r.limit(key)).expect("earth_electrode is tested");
    let (stable, touch) = (at("stable", "resistance_ohm"), at("touch_volts", "touch_v"));
    match residual.map(|a| touch.value / a) {
        Some(ohms) if ohms < stable.value => Limit { value: ohms, unit: "Ω", ..touch },
        _ => stable,
    }
}

/// Longest disconnection time in seconds at `volts` to earth; `None` at 50 V and below, where none is asked.
pub(crate) fn disconnection(volts: f64, earthing: Earthing) -> Option<Limit> {
    let word = match earthing {
        Earthing::Tn => "TN",
        Earthing::Tt => "TT",
    };
    disconnection_time()
        .iter()
        .find(|r| r.earthing == word && volts > r.voltage_from_v && r.voltage_to_v.is_none_or(|to| volts <= to))
        .map(|r| r.value(r.max_s, "s"))
}

/// Usual protective device of a socket circuit of that system row: the largest rating met, amperes. A supply that is no row
/// of the table has the usual one of any.
pub(crate) fn usual_branch(system: &str) -> Limit {
    let of = |system: &str| {
        let rows = final_circuit().iter().filter(|r| r.system == system);
        rows.max_by(|a, b| a.protective_rating_a.total_cmp(&b.protective_rating_a))
    };
    let row = of(system).or_else(|| of(ANY)).expect("final_circuit.any is tested");
    row.value(row.protective_rating_a, "A")
}

/// What stands for any system in the rows of final circuits.
const ANY: &str = "any";
