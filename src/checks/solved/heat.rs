//! The heat of the box: its watts, what they leave out, and the box they heat.

use crate::checks::Case;
use crate::finding::said::Amount;
use crate::finding::{Quantity, Situation};
use crate::jig::{Material, PartKind};
use crate::standard::bench;
use crate::survey::model::Measure;

use super::lookup::lasting;

/// Watts that turn to heat in the box in normal use. Left out: filament lamps, which stand in the open, and
/// what a bought module passes on.
pub(super) fn watts(case: &Case) -> f64 {
    let items = case.survey.model.items.iter().enumerate();
    items
        .filter(|(_, i)| !matches!(i.measure, Measure::Bridge(_)))
        .map(|(k, item)| match (&case.jig.parts[item.part].kind, &item.measure) {
            (PartKind::Filament(_) | PartKind::Psu(_), _) => 0.0,
            // A winding passes power on; what stays in it is what its resistance takes.
            (PartKind::Transformer(_), Measure::Series(branches, _)) => {
                let ohms = match case.survey.model.base.branches[branches[0]].device {
                    crate::circuit::Device::Resistor { ohms } => ohms,
                    crate::circuit::Device::Source { .. }
                    | crate::circuit::Device::Meter
                    | crate::circuit::Device::Filament { .. }
                    | crate::circuit::Device::Capacitor { .. }
                    | crate::circuit::Device::Inductor { .. }
                    | crate::circuit::Device::Diode { .. }
                    | crate::circuit::Device::Clamp { .. }
                    | crate::circuit::Device::Neon { .. } => 0.0,
                };
                lasting(case, k, Quantity::CurrentRms, Situation::Normal).map_or(0.0, |s| s.value * s.value * ohms)
            }
            _ => lasting(case, k, Quantity::Power, Situation::Normal).map_or(0.0, |s| s.value.max(0.0)),
        })
        .sum()
}

/// A closed box of known size: its size and what it is made of.
pub(super) fn closed(case: &Case) -> Option<([f64; 3], Material)> {
    let e = &case.jig.enclosure;
    e.size.zip(e.material).filter(|(_, material)| *material != Material::Open)
}

/// Watts that bring a box of so many kelvins a watt to a temperature.
pub(super) fn most(limit: f64, per_watt: f64) -> Amount {
    Amount::new((limit - bench::ambient().value).max(0.0) / per_watt, "W")
}
