//! Which rating of a part stands against which quantity, in the sense the trade gives it.

use crate::finding::Quantity;
use crate::jig::PartKind;
use crate::part::{
    Bridge, Capacitor, Diode, Filament, Fuse, Inductor, Led, Neon, Psu, Resistor, Suppressor, Switch, ThermalFuse,
    Thermistor, Varistor, Winding, Wire,
};
use crate::standard;
use crate::survey::model::{Item, Measure};

use super::Case;

/// The rating of an item for one of the six quantities, where one applies. Rated volts of fuses, switches, wires and X/Y
/// capacitors are r.m.s. of a sine; a diode's, an electrolytic's are peak; a resistor's element voltage r.m.s.
pub fn rating(case: &Case, item: &Item, quantity: Quantity) -> Option<f64> {
    let part = &case.jig.parts[item.part];
    let arm = matches!(item.measure, Measure::Branch(_));
    match (&part.kind, quantity) {
        (PartKind::Resistor(Resistor { power, .. }), Quantity::Power) => power.map(|p| derated(case, p)),
        (PartKind::Resistor(Resistor { voltage, .. }), Quantity::VoltageRms) => *voltage,
        (PartKind::Capacitor(Capacitor { voltage, class: Some(_), .. }), Quantity::VoltageRms) => *voltage,
        (
            PartKind::Capacitor(Capacitor { voltage, class: None, polarised: false, dc_voltage: None, .. }),
            Quantity::VoltageRms,
        ) => *voltage,
        (PartKind::Capacitor(Capacitor { voltage, dc_voltage, class: None, polarised, .. }), Quantity::VoltagePeak) => {
            dc_voltage.or(if *polarised { *voltage } else { None })
        }
        (
            PartKind::Inductor(Inductor { current, .. }) | PartKind::Winding(Winding { current, .. }),
            Quantity::CurrentRms,
        ) => *current,
        (PartKind::Diode(Diode { voltage, .. }), Quantity::VoltagePeak) => *voltage,
        (PartKind::Diode(Diode { current, .. }), Quantity::CurrentMean) => *current,
        (PartKind::Bridge(Bridge { voltage, .. }), Quantity::VoltagePeak) => *voltage,
        (PartKind::Bridge(Bridge { current, .. }), Quantity::CurrentMean) if !arm => *current,
        (PartKind::Led(Led { current, .. }), Quantity::CurrentMean) => *current,
        (PartKind::Led(Led { peak_current, .. }), Quantity::CurrentPeak) => *peak_current,
        (PartKind::Suppressor(Suppressor { power, .. }), Quantity::Power) => *power,
        (PartKind::Neon(Neon { max_current, current, .. }), Quantity::CurrentRms) => {
            max_current.or_else(|| current.map(|c| c * standard::bench::neon_max_current_multiple().value))
        }
        (PartKind::Filament(Filament { volts, .. }), Quantity::VoltageRms) => Some(*volts),
        (PartKind::Fuse(Fuse { current, .. }), Quantity::CurrentRms) => Some(*current),
        (
            PartKind::Fuse(Fuse { voltage, .. }) | PartKind::ThermalFuse(ThermalFuse { voltage, .. }),
            Quantity::VoltageRms,
        ) => *voltage,
        (PartKind::ThermalFuse(ThermalFuse { current, .. }), Quantity::CurrentRms) => *current,
        (PartKind::Switch(Switch { voltage, .. }), Quantity::VoltageRms) => *voltage,
        (PartKind::Switch(Switch { current, .. }), Quantity::CurrentRms) => *current,
        (PartKind::Varistor(Varistor { voltage, .. }), Quantity::VoltageRms) => Some(*voltage),
        (PartKind::Thermistor(Thermistor { current, .. }), Quantity::CurrentRms) => *current,
        (PartKind::Wire(Wire { voltage, .. }), Quantity::VoltageRms) => *voltage,
        (PartKind::Wire(Wire { area: Some(a), .. }), Quantity::CurrentRms) => {
            Some(standard::cord::wire_rating(*a).value)
        }
        (PartKind::Psu(Psu { power, .. }), Quantity::Power) if !item.name.ends_with(".output") => *power,
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
        PartKind::Resistor(_) => &[("power", "resistor-power"), ("voltage", "resistor-voltage")],
        PartKind::Capacitor(Capacitor { class: Some(_), .. }) => &[("voltage", "capacitor-voltage")],
        PartKind::Capacitor(Capacitor { polarised: true, dc_voltage: None, .. }) => &[("voltage", "capacitor-voltage")],
        PartKind::Capacitor(Capacitor { dc_voltage: Some(_), .. }) => &[],
        PartKind::Capacitor(_) => &[("voltage", "capacitor-voltage")],
        PartKind::Inductor(_) | PartKind::Winding(_) => &[("current", "winding-rating")],
        PartKind::Diode(_) => &[("voltage", "diode-reverse"), ("current", "diode-current")],
        PartKind::Bridge(_) => &[("voltage", "diode-reverse"), ("current", "diode-current")],
        PartKind::Fuse(_) => &[("speed", "smoulder"), ("voltage", "fuse-voltage"), ("breaking", "fuse-breaking")],
        PartKind::ThermalFuse(_) => &[("current", "fuse-rating"), ("voltage", "fuse-voltage")],
        PartKind::Switch(_) => &[("voltage", "switch-rating"), ("current", "switch-rating")],
        PartKind::Transformer(_) => &[("power", "transformer-rating"), ("insulation", "outlet-shock")],
        PartKind::Psu(_) => &[("current", "psu-rating")],
        PartKind::Wire(_) => &[("area", "wire-rating"), ("voltage", "wire-rating")],
        PartKind::Thermistor(_) => &[("current", "smoulder")],
        // An LED, a glow lamp and a varistor have published stand-ins or keys that must be written; the rest has none.
        PartKind::Led(_)
        | PartKind::Neon(_)
        | PartKind::Filament(_)
        | PartKind::Varistor(_)
        | PartKind::Suppressor(_)
        | PartKind::Load(_)
        | PartKind::Socket(_) => &[],
    }
}
