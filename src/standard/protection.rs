//! The fixed installation: systems, breakers, residual-current devices, disconnection times.

use super::bench;
use super::row::{Limit, Row, find};

table_file! { "supplies.toml" [breaker, rcd]
    /// A public mains system.
    System in system {
        voltage_ln_v: Option<f64>, voltage_ll_v: Option<f64>, frequency_hz: Vec<u32>,
        plus_percent: Option<f64>, minus_percent: Option<f64>, v_min: Option<f64>, v_max: Option<f64>,
        centre_v: Option<f64>, plus_v: Option<f64>, minus_v: Option<f64>, examples: String,
    }
    /// Usual protection of a circuit that feeds sockets.
    FinalCircuit in final_circuit { system: String, protective_rating_a: f64, device: String, plug_fused: bool }
    /// Longest disconnection time after a fault to earth.
    DisconnectionTime in disconnection_time { earthing: String, voltage_from_v: f64, voltage_to_v: Option<f64>, max_s: f64 }
    /// Sockets that get a residual-current device.
    SocketRcd in socket_rcd { socket_rating_up_to_a: f64, rated_residual_ma: f64 }
}

/// Type of a miniature circuit-breaker (IEC 60898-1).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
// The file does not say the type, so the slowest is taken; the rows for all stand in the table.
#[allow(dead_code)]
pub(crate) enum BreakerType {
    /// Trips at once at low multiples of its rating: for lighting and sockets.
    B,
    /// For moderate inrush.
    C,
    /// For high inrush.
    D,
}

/// Earthing of the supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
// The ordinary case is taken; the rows for both stand in the table.
#[allow(dead_code)]
pub(crate) enum Earthing {
    /// Earthed at the source, with a metallic return.
    Tn,
    /// Own earth electrode.
    Tt,
}

/// The multiples of its rating between which a breaker begins to trip at once: (may trip from, must trip from).
pub(crate) fn breaker_instant(kind: BreakerType) -> (Limit, Limit) {
    let id = match kind {
        BreakerType::B => "type_b",
        BreakerType::C => "type_c",
        BreakerType::D => "type_d",
    };
    let row = find(breaker(), id).expect("breakers.type_b, c, d are tested");
    let multiple = |key| row.value(row.number(key).unwrap_or(f64::INFINITY), "");
    (multiple("instant_from_multiple"), multiple("instant_to_multiple"))
}

/// The multiples a breaker holds for ever and must trip at, in the conventional time.
pub(crate) fn breaker_conventional() -> (Limit, Limit) {
    let row = find(breaker(), "conventional").expect("breaker.conventional is tested");
    let multiple = |key| row.value(row.number(key).unwrap_or(f64::INFINITY), "");
    (multiple("hold_multiple"), multiple("trip_multiple"))
}

/// Longest time in seconds a breaker takes at `amperes` r.m.s.; `None` when no published point assures a trip.
pub(crate) fn breaker_clears(kind: BreakerType, rating: f64, amperes: f64) -> Option<Limit> {
    let (_, at_once) = breaker_instant(kind);
    if amperes >= at_once.value * rating {
        return Some(bench::instantaneous_trip());
    }
    let (_, trips) = breaker_conventional();
    let time = find(breaker(), "conventional_time")?;
    let covers = rating <= time.number("rated_to_a")?;
    (covers && amperes >= trips.value * rating).then(|| time.limit("conventional_time_s")).flatten()
}

/// Longest time in seconds a general-type residual-current device of `rated` amperes takes at `residual` amperes;
/// `None` below its rating.
pub(crate) fn rcd_clears(rated: f64, residual: f64) -> Option<Limit> {
    ["general_5x", "general_2x", "general_1x"].iter().find_map(|id| {
        let row = find(rcd(), id)?;
        (residual >= row.number("multiple")? * rated).then(|| row.limit("trip_max_ms")).flatten()
    })
}

/// Largest share of its rated residual current at which a residual-current device must not trip.
pub(crate) fn rcd_holds() -> Limit {
    let row = find(rcd(), "general_half").expect("rcd.general_half is tested");
    row.value(row.number("multiple").unwrap_or_default(), "")
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

/// Usual protective device of a socket circuit of that system row: the largest rating met, amperes.
pub(crate) fn usual_branch(system: &str) -> Option<Limit> {
    let rows = final_circuit().iter().filter(|r| r.system == system);
    rows.max_by(|a, b| a.protective_rating_a.total_cmp(&b.protective_rating_a))
        .map(|r| r.value(r.protective_rating_a, "A"))
}
