//! Heat: the air inside the box, the surface outside.

use crate::checks::{About, Case, Check, Draft};
use crate::finding::{Kind, Quantity, Signal};
use crate::jig::{Material, PartKind, Usage};
use crate::standard::bench;
use crate::survey::model::Measure;

use super::words::{lasting, show};

pub(super) const CHECK: Check = Check {
    names: &["box-temperature", "hot-surface"],
    about: &[
        About {
            looks_at: "the temperature of the air inside the box in normal use",
            limit: "{bench.heat.inside_pvc.temperature_c} for ordinary PVC wires: past it CAUTION; {bench.heat.inside_parts.temperature_c}, up to which capacitors and varistors carry their ratings: past it WARNING. Resistors are derated for this temperature by resistor-power",
            rows: &[],
            how: "{bench.heat.ambient.temperature_c} ambient plus P / (h · A / 2), h = {bench.heat.box_coefficient.coefficient_w_per_m2_k} W/m²K, A the outside area less {bench.heat.box_surface_not_used.fraction} of it for the underside; P all watts of the parts in normal use",
            mend: "a larger box, ventilation slots, or fewer watts",
        },
        About {
            looks_at: "the temperature of the outside of the box in normal use, heat evenly spread",
            limit: "{bench.touch_temperature.outer_metal.normal_c} metal, {bench.touch_temperature.outer_plastic.normal_c} plastic; held in the hand {bench.touch_temperature.grip_metal.normal_c} metal, {bench.touch_temperature.grip_plastic.normal_c} plastic: past it WARNING; past what a hand holds on a box that is not held: CAUTION",
            rows: &[],
            how: "{bench.heat.ambient.temperature_c} ambient plus P / (h · A), h and A as for box-temperature",
            mend: "a larger box, ventilation slots, or fewer watts; keep the hot part off the wall",
        },
    ],
    run,
};

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

fn run(case: &Case, out: &mut Vec<Draft>) {
    let e = &case.jig.enclosure;
    let (Some(size), Some(material)) = (e.size, e.material) else { return };
    if material == Material::Open {
        return;
    }
    let p = watts(case);
    let ambient = bench::ambient();
    let inside = case.inside_temperature();
    let (pvc, parts) = (bench::inside_pvc(), bench::inside_parts());
    let rise = bench::inside_rise(1.0, size).value;
    let most = |limit: f64, per_watt: f64| show((limit - ambient.value).max(0.0) / per_watt, "W");
    let (limit, signal) = if inside > parts.value { (&parts, Signal::Warning) } else { (&pvc, Signal::Caution) };
    if inside > limit.value {
        out.push(
            case.about_key("box-temperature", signal, "enclosure.size")
                .value("temperature inside", inside, "°C")
                .limit(limit.value, &limit.source)
                .condition("normal use, 40 °C around the box".replace("40", &format!("{:.0}", ambient.value)).as_str())
                .says(
                    format!("{} in a closed box of this size bring the air inside to {inside:.0} °C; {:.0} °C is what it may be for long", show(p, "W"), limit.value),
                    format!("a larger or ventilated box, or at most {} in this one", most(limit.value, rise)),
                ),
        );
    }
    let metal = material == Material::Metal;
    let held = case.jig.usage == Usage::HandHeld;
    let per_watt = bench::surface_rise(1.0, size);
    let surface = ambient.value + bench::surface_rise(p, size).value;
    let (limit, _) = bench::surface_limit(metal, held);
    let (grip, _) = bench::surface_limit(metal, true);
    let (limit, signal, what) = if surface > limit.value {
        (limit, Signal::Warning, "it burns the hand")
    } else {
        (grip, Signal::Caution, "too hot to hold, though it is not made to be held")
    };
    if surface > limit.value {
        out.push(
            case.about_key("hot-surface", signal, "enclosure.size")
                .value("surface temperature", surface, "°C")
                .limit(limit.value, &limit.source)
                .condition(&format!("normal use, {:.0} °C around the box", ambient.value))
                .says(
                    format!(
                        "{} bring the outside of the box to {surface:.0} °C, the limit is {:.0} °C: {what}",
                        show(p, "W"),
                        limit.value
                    ),
                    format!("a larger or ventilated box, or at most {} in this one", most(limit.value, per_watt.value)),
                ),
        );
    }
}
