//! The heat of the box: its watts, what they leave out, and the box they heat.

use crate::checks::Case;
use crate::finding::said::Amount;
use crate::finding::{Kind, Quantity};
use crate::jig::{Material, PartKind};
use crate::standard::bench;
use crate::survey::model::Measure;

use super::words::lasting;

/// Watts that turn to heat in the box in normal use. Left out: filament lamps, which stand in the open (see
/// [`left_out`]), and what a bought module passes on.
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
                    _ => 0.0,
                };
                lasting(case, k, Quantity::CurrentRms, Kind::Normal).map_or(0.0, |s| s.value * s.value * ohms)
            }
            _ => lasting(case, k, Quantity::Power, Kind::Normal).map_or(0.0, |s| s.value.max(0.0)),
        })
        .sum()
}

/// What the heat of a box leaves out, for the list of what was not checked.
pub(super) fn left_out(case: &Case) -> Vec<String> {
    let mut out = vec![];
    let named = |wanted: fn(&PartKind) -> bool| -> Vec<&str> {
        case.jig.parts.iter().filter(|p| wanted(&p.kind)).map(|p| p.name.as_str()).collect()
    };
    let lamps = named(|k| matches!(k, PartKind::Filament(_)));
    if !lamps.is_empty() {
        out.push(format!(
            "the heat of {} in the box: a filament lamp is taken to stand outside it, in the open",
            lamps.join(", ")
        ));
    }
    let modules = named(|k| matches!(k, PartKind::Psu(_)));
    if !modules.is_empty() {
        out.push(format!("the losses of {} in the box: only what it feeds is counted", modules.join(", ")));
    }
    let iron = named(|k| matches!(k, PartKind::Transformer(_)));
    if !iron.is_empty() {
        out.push(format!("the iron losses of {}", iron.join(", ")));
    }
    match (case.jig.enclosure.size, case.jig.enclosure.material) {
        (_, Some(Material::Open)) => {}
        (None, _) => out.push("temperatures in and on the box: its size is not stated".into()),
        _ => {}
    }
    out
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
