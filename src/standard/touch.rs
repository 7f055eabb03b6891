//! What may be touched: limits, the body network, effects of current on the body.

use super::row::{Limit, Row, find};
use super::unit::decimal;

table_file! { "touch.toml" [combined_rule]
    /// A voltage limit.
    VoltageLimit in voltage_limit {
        condition: String, location: Option<String>, energy_class: Option<String>, ac_rms_v: Option<f64>,
        ac_peak_v: Option<f64>, dc_v: Option<f64>, max_duration_ms: Option<f64>, measuring_resistance_ohm: Option<f64>,
    }
    /// How a voltage limit rises with frequency.
    VoltageFrequencyRule in voltage_frequency_rule {
        energy_class: String, from_khz: f64, to_khz: Option<f64>, base_v_rms: f64, slope_v_per_khz: f64,
    }
    /// A touch-current limit.
    CurrentLimit in current_limit {
        condition: Option<String>, energy_class: Option<String>, appliance_class: Option<String>,
        ac_rms_ma: Option<f64>, ac_peak_ma: Option<f64>, dc_ma: Option<f64>, hf_burn_rms_ma: Option<f64>,
        rms_ma: Option<f64>, rms_ma_per_kw: Option<f64>, ceiling_rms_ma: Option<f64>, peak_ma: Option<f64>,
        above_khz: Option<f64>, ceiling_peak_ma: Option<f64>, miu: Option<f64>,
    }
    /// How a current limit rises with frequency.
    CurrentFrequencyRule in current_frequency_rule {
        energy_class: String, from_khz: f64, to_khz: Option<f64>, base_ma_rms: f64, slope_ma_per_khz: f64,
    }
    /// A charge limit.
    ChargeLimit in charge_limit {
        condition: String, charge_uc: Option<f64>, up_to_peak_kv: Option<f64>, energy_mj: Option<f64>,
        above_peak_kv: Option<f64>,
    }
    /// A touch-current measuring network.
    NetworkRow in network {
        weighting: String, rs_ohm: Option<f64>, cs_nf: Option<f64>, rb_ohm: Option<f64>, r1_ohm: Option<f64>,
        c1_nf: Option<f64>, r2_ohm: Option<f64>, c2_nf: Option<f64>, r3_ohm: Option<f64>, c3_nf: Option<f64>,
        read_across: Option<String>, resistance_ohm: Option<f64>,
    }
    /// What a current does to the body.
    BodyEffect in body_effect {
        boundary: String, current_ma: f64, at_most_ms: Option<f64>, at_least_ms: Option<f64>, at_ms: Option<f64>,
    }
    /// Impedance of the body.
    BodyImpedance in body_impedance {
        touch_voltage_v: Option<f64>, p05_ohm: Option<f64>, p50_ohm: f64, p95_ohm: Option<f64>,
    }
}

/// LimitsIn a limit holds for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum LimitsIn {
    /// No fault.
    Normal,
    /// One fault.
    SingleFault,
}

/// What may be touched, dry: a part is not hazardous while its voltage **or** its current stays inside.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TouchLimits {
    /// Volts r.m.s.
    pub voltage_rms: Limit,
    /// Volts peak.
    pub voltage_peak: Limit,
    /// Volts d.c.
    pub voltage_dc: Limit,
    /// Amperes r.m.s. through the body network.
    pub current_rms: Limit,
    /// Amperes peak, for waveforms that are no sine.
    pub current_peak: Limit,
    /// Amperes d.c.
    pub current_dc: Limit,
    /// Coulombs, for what comes from a charged capacitor (below 15 kV). The single-fault curve is not settled, so
    /// this is the normal one in both conditions.
    pub charge: Limit,
}

/// Limits of IEC 61010-1:2010, 6.3, in dry places.
pub(crate) fn limits(condition: LimitsIn) -> TouchLimits {
    let (volts, ac, dc) = match condition {
        LimitsIn::Normal => ("iec61010_2010_normal_dry", "iec61010_normal_ac", "iec61010_normal_dc"),
        LimitsIn::SingleFault => ("iec61010_2010_fault_dry", "iec61010_fault", "iec61010_fault"),
    };
    let tested = "touch.toml: IEC 61010-1 rows are tested";
    let volts = find(voltage_limit(), volts).expect(tested);
    let (ac, dc) = (find(current_limit(), ac).expect(tested), find(current_limit(), dc).expect(tested));
    let charge = find(charge_limit(), "iec61010_charge_normal").expect(tested);
    let v = |x: Option<f64>| volts.value(x.expect(tested), "V");
    TouchLimits {
        voltage_rms: v(volts.ac_rms_v),
        voltage_peak: v(volts.ac_peak_v),
        voltage_dc: v(volts.dc_v),
        current_rms: ac.value(decimal(ac.ac_rms_ma.expect(tested), -3), "A"),
        current_peak: ac.value(decimal(ac.ac_peak_ma.expect(tested), -3), "A"),
        current_dc: dc.value(decimal(dc.dc_ma.expect(tested), -3), "A"),
        charge: charge.value(decimal(charge.charge_uc.expect(tested), -6), "C"),
    }
}

/// Upper bound of extra-low voltage: (a.c. r.m.s., d.c.). No permission to touch.
pub(crate) fn extra_low_voltage() -> (Limit, Limit) {
    let tested = "touch.toml: elv_upper is tested";
    let row = find(voltage_limit(), "elv_upper").expect(tested);
    let v = |x: Option<f64>| row.value(x.expect(tested), "V");
    (v(row.ac_rms_v), v(row.dc_v))
}

/// Share of the limits that mixed a.c. and d.c. take together: `dc/limit_dc + ac/limit_ac`, to be at most 1.
/// (IEC 62368-1 states it for its class ES1; `iec62368_es1` and the normal limits of IEC 61010-1 are alike.)
pub(crate) fn combined_share(dc: f64, dc_limit: f64, ac: f64, ac_limit: f64) -> f64 {
    dc.abs() / dc_limit + ac.abs() / ac_limit
}

/// Stands for the body between a touchable and earth: skin `rs` with `cs` across it, then `rb`. Ohms and farads.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct BodyNetwork {
    /// Skin resistance.
    pub rs: f64,
    /// Skin capacitance.
    pub cs: f64,
    /// Body resistance; the touch current is its voltage divided by it (unweighted).
    pub rb: f64,
    /// Weighting resistor from the top of `rb`.
    pub r1: f64,
    /// Weighting capacitor; the weighted touch current is its voltage divided by `rb`.
    pub c1: f64,
    /// Where it is published.
    pub source: String,
}

/// The network weighted for perception and startle, IEC 60990 Figure 4.
pub(crate) fn body_network() -> BodyNetwork {
    let tested = "touch.toml: iec60990_fig4 is tested";
    let row = find(network(), "iec60990_fig4").expect(tested);
    BodyNetwork {
        rs: row.rs_ohm.expect(tested),
        cs: decimal(row.cs_nf.expect(tested), -9),
        rb: row.rb_ohm.expect(tested),
        r1: row.r1_ohm.expect(tested),
        c1: decimal(row.c1_nf.expect(tested), -9),
        source: row.cite(),
    }
}
