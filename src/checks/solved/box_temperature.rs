//! The air inside the box.

use super::heat::{self, Heated};
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, BoxTemperature};
use crate::finding::{CheckId, Compared, Said, Signal, When};
use crate::standard::{Limit, bench};

pub(super) const CHECK: Check = Check {
    id: CheckId::BoxTemperature,
    judges: &[
        of("resistor", &["place"], At::HEATING),
        of("winding", &["place"], At::HEATING),
        of("filament-lamp", &["place"], At::HEATING),
        of("thermistor", &["place"], At::HEATING),
        of("transformer", &["place"], At::HEATING),
        of("psu", &["place"], At::HEATING),
        of("load", &["place"], At::HEATING),
    ],
    about: About {
        looks_at: "the temperature of the air inside the box in normal use, and with any one fault that nothing ends, or a device only after a long time",
        limit: "{bench.heat.inside_pvc.temperature_c} for ordinary PVC wires: past it CAUTION; {bench.heat.inside_parts.temperature_c}, up to which capacitors and varistors carry their ratings: past it WARNING; after a fault {bench.heat.inside_fault.temperature_c}, where insulation softens: WARNING. What the file leaves open (the place of a filament lamp, the finish of a metal box) is asked for where it decides. Resistors are derated for this temperature by resistor-power",
        rows: &["bench.heat.vents"],
        how: "{bench.heat.ambient.temperature_c} ambient plus P / (k · A), k = {bench.heat.box_painted.inside_w_per_m2_k} W/m²K painted metal, {bench.heat.box_plastic.inside_w_per_m2_k} plastic, {bench.heat.box_bare.inside_w_per_m2_k} bare metal, A the outside area less {bench.heat.box_surface_not_used.fraction} of it for the underside; openings carry off more. P all watts of the parts in the box in one and the same condition. What a device ends within t counts for 1 − e^(−t / {bench.heat.warms_box.time_s}): CAUTION",
        mend: "a larger box, ventilation slots, or fewer watts",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let (pvc, parts, fault) = (bench::inside_pvc(), bench::inside_parts(), bench::inside_fault());
    let Some(normal) = heat::normal(case) else { return };
    let found = if normal.inside() > parts.value {
        Some((normal, &parts, Signal::Warning))
    } else if normal.inside() > pvc.value {
        Some((normal, &pvc, Signal::Caution))
    } else {
        heat::at_worst(case).filter(|h| h.inside() > pvc.value).map(|h| (h, &pvc, Signal::Caution))
    };
    if let Some((heated, limit, signal)) = found {
        let graver = signal == Signal::Warning;
        out.push(finding(case, &heated, limit, signal));
        if graver {
            return;
        }
    }
    if let Some((heated, signal)) = heat::after_fault(case, |h| h.inside() > fault.value) {
        out.push(finding(case, &heated, &fault, signal));
    }
}

fn finding(case: &Case, h: &Heated, limit: &Limit, signal: Signal) -> Draft {
    let said = BoxTemperature {
        watts: Amount::new(h.watts, "W"),
        inside: h.inside(),
        limit: limit.value,
        at: h.at,
        asks: h.asks.clone(),
        cure: Amount::new(h.shell.watts_for(h.up_to(limit.value)), "W"),
    };
    let draft = case
        .about_key(CheckId::BoxTemperature, signal, "enclosure.size")
        .value(Compared::InsideTemperature, said.inside, "°C")
        .limit(limit.value, &limit.source);
    let draft = heat::parts_named(case, draft, h).proposes(heat::smaller_fuses(case, h));
    match h.at {
        Some(at) => draft.found_in(at),
        None => draft.when(When::Ambient(bench::ambient().value)),
    }
    .states(Said::BoxTemperature(said))
}
