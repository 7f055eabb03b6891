//! The air inside the box.

use super::heat;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, BoxTemperature};
use crate::finding::{CheckId, Compared, Said, Signal, When};
use crate::standard::bench;

pub(super) const CHECK: Check = Check {
    id: CheckId::BoxTemperature,
    about: About {
        looks_at: "the temperature of the air inside the box in normal use",
        limit: "{bench.heat.inside_pvc.temperature_c} for ordinary PVC wires: past it CAUTION; {bench.heat.inside_parts.temperature_c}, up to which capacitors and varistors carry their ratings: past it WARNING. Resistors are derated for this temperature by resistor-power",
        rows: &[],
        how: "{bench.heat.ambient.temperature_c} ambient plus P / (h · A / 2), h = {bench.heat.box_coefficient.coefficient_w_per_m2_k} W/m²K, A the outside area less {bench.heat.box_surface_not_used.fraction} of it for the underside; P all watts of the parts in normal use",
        mend: "a larger box, ventilation slots, or fewer watts",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let Some((size, _)) = heat::closed(case) else { return };
    let inside = case.inside_temperature();
    let (pvc, parts) = (bench::inside_pvc(), bench::inside_parts());
    let (limit, signal) = if inside > parts.value { (&parts, Signal::Warning) } else { (&pvc, Signal::Caution) };
    if inside <= limit.value {
        return;
    }
    let rise = bench::inside_rise(1.0, size).value;
    out.push(
        case.about_key(CheckId::BoxTemperature, signal, "enclosure.size")
            .value(Compared::InsideTemperature, inside, "°C")
            .limit(limit.value, &limit.source)
            .when(When::Ambient(bench::ambient().value))
            .states(Said::BoxTemperature(BoxTemperature {
                watts: Amount::new(case.watts(), "W"),
                inside,
                limit: limit.value,
                cure: heat::most(limit.value, rise),
            })),
    );
}
