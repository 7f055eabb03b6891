//! Which rating of a part stands against which quantity, in the sense the trade gives it.

use crate::jig::PartKind;
use crate::standard;
use crate::survey::model::{Item, Measure};

use super::Case;

/// The rating of an item for one of the six quantities, where one applies. Rated volts of fuses, switches, wires and X/Y
/// capacitors are r.m.s. of a sine; a diode's, an electrolytic's are peak; a resistor's element voltage r.m.s.
pub fn rating(case: &Case, item: &Item, quantity: &str) -> Option<f64> {
    let part = &case.jig.parts[item.part];
    let arm = matches!(item.measure, Measure::Branch(_));
    match (&part.kind, quantity) {
        (PartKind::Resistor { power, .. }, "power") => power.map(|p| derated(case, p)),
        (PartKind::Resistor { voltage, .. }, "voltage_rms") => *voltage,
        (PartKind::Capacitor { voltage, class: Some(_), .. }, "voltage_rms") => *voltage,
        (PartKind::Capacitor { voltage, class: None, polarised: false, dc_voltage: None, .. }, "voltage_rms") => {
            *voltage
        }
        (PartKind::Capacitor { voltage, dc_voltage, class: None, polarised, .. }, "voltage_peak") => {
            dc_voltage.or(if *polarised { *voltage } else { None })
        }
        (PartKind::Inductor { current, .. } | PartKind::Winding { current, .. }, "current_rms") => *current,
        (PartKind::Diode { voltage, .. }, "voltage_peak") => *voltage,
        (PartKind::Diode { current, .. }, "current_mean") => *current,
        (PartKind::Bridge { voltage, .. }, "voltage_peak") => *voltage,
        (PartKind::Bridge { current, .. }, "current_mean") if !arm => *current,
        (PartKind::Led { current, .. }, "current_mean") => *current,
        (PartKind::Led { peak_current, .. }, "current_peak") => *peak_current,
        (PartKind::Suppressor { power, .. }, "power") => *power,
        (PartKind::Neon { max_current, current, .. }, "current_rms") => {
            max_current.or_else(|| current.map(|c| c * standard::bench::neon_max_current_multiple().value))
        }
        (PartKind::Filament { volts, .. }, "voltage_rms") => Some(*volts),
        (PartKind::Fuse { current, .. }, "current_rms") => Some(*current),
        (PartKind::Fuse { voltage, .. } | PartKind::ThermalFuse { voltage, .. }, "voltage_rms") => *voltage,
        (PartKind::ThermalFuse { current, .. }, "current_rms") => *current,
        (PartKind::Switch { voltage, .. }, "voltage_rms") => *voltage,
        (PartKind::Switch { current, .. }, "current_rms") => *current,
        (PartKind::Varistor { voltage, .. }, "voltage_rms") => Some(*voltage),
        (PartKind::Thermistor { current, .. }, "current_rms") => *current,
        (PartKind::Wire { voltage, .. }, "voltage_rms") => *voltage,
        (PartKind::Wire { area: Some(a), .. }, "current_rms") => Some(standard::cord::wire_rating(*a).value),
        (PartKind::Psu { power, .. }, "power") if !item.name.ends_with(".output") => *power,
        _ => None,
    }
}

/// Power a resistor may take at the temperature inside the box.
fn derated(case: &Case, power: f64) -> f64 {
    standard::resistor::derated_power(power, case.inside_temperature()).value
}

/// The ratings that a check of the solved circuit needs of a kind of part: (key in the file, check that needs it). A
/// rating that has a published stand-in where it is missing is not among them.
pub fn needed(kind: &PartKind) -> &'static [(&'static str, &'static str)] {
    match kind {
        PartKind::Resistor { .. } => &[("power", "resistor-power"), ("voltage", "resistor-voltage")],
        PartKind::Capacitor { class: Some(_), .. } => &[("voltage", "capacitor-voltage")],
        PartKind::Capacitor { polarised: true, dc_voltage: None, .. } => &[("voltage", "capacitor-voltage")],
        PartKind::Capacitor { dc_voltage: Some(_), .. } => &[],
        PartKind::Capacitor { .. } => &[("voltage", "capacitor-voltage")],
        PartKind::Inductor { .. } | PartKind::Winding { .. } => &[("current", "winding-rating")],
        PartKind::Diode { .. } => &[("voltage", "diode-reverse"), ("current", "diode-current")],
        PartKind::Bridge { .. } => &[("voltage", "diode-reverse"), ("current", "diode-current")],
        PartKind::Fuse { .. } => &[("speed", "smoulder"), ("voltage", "fuse-voltage"), ("breaking", "fuse-breaking")],
        PartKind::ThermalFuse { .. } => &[("current", "fuse-rating"), ("voltage", "fuse-voltage")],
        PartKind::Switch { .. } => &[("voltage", "switch-rating"), ("current", "switch-rating")],
        PartKind::Transformer { .. } => &[("power", "transformer-rating"), ("insulation", "outlet-shock")],
        PartKind::Psu { .. } => &[("current", "psu-rating")],
        PartKind::Wire { .. } => &[("area", "wire-rating"), ("voltage", "wire-rating")],
        PartKind::Thermistor { .. } => &[("current", "smoulder")],
        // An LED, a glow lamp and a varistor have published stand-ins or keys that must be written; the rest has none.
        PartKind::Led { .. }
        | PartKind::Neon { .. }
        | PartKind::Filament { .. }
        | PartKind::Varistor { .. }
        | PartKind::Suppressor { .. }
        | PartKind::Load { .. }
        | PartKind::Socket { .. } => &[],
    }
}
