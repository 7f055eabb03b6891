//! The outside of the box.

use super::heat::{self, Heated};
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, Burn, HotSurface};
use crate::finding::{CheckId, Compared, Said, Signal, When};
use crate::jig::Usage;
use crate::standard::Limit;
use crate::standard::bench::{self, Surface};
use crate::standard::shell::Finish;

pub(super) const CHECK: Check = Check {
    id: CheckId::HotSurface,
    judges: &[
        of("resistor", &["place"], At::LASTING),
        of("winding", &["place"], At::LASTING),
        of("filament-lamp", &["place"], At::LASTING),
        of("thermistor", &["place"], At::LASTING),
        of("transformer", &["place"], At::LASTING),
        of("psu", &["place"], At::LASTING),
        of("load", &["place"], At::LASTING),
    ],
    about: About {
        looks_at: "the temperature of the outside of the box in normal use and with any one fault that nothing ends, heat evenly spread",
        limit: "{bench.touch_temperature.outer_metal.normal_c} bare metal, {bench.touch_temperature.outer_coated.normal_c} painted, {bench.touch_temperature.outer_plastic.normal_c} plastic; held in the hand {bench.touch_temperature.grip_metal.normal_c} metal, {bench.touch_temperature.grip_coated.normal_c} painted, {bench.touch_temperature.grip_plastic.normal_c} plastic: past it WARNING; past what a hand holds on a box that is not held: CAUTION; after a fault {bench.touch_temperature.outer_metal.fault_c}: WARNING",
        rows: &[],
        how: "{bench.heat.ambient.temperature_c} ambient plus P / (h · A), h = {bench.heat.box_painted.surface_w_per_m2_k} W/m²K painted metal, {bench.heat.box_plastic.surface_w_per_m2_k} plastic, {bench.heat.box_bare.surface_w_per_m2_k} bare metal, A as for box-temperature",
        mend: "a larger box, ventilation slots, or fewer watts; keep the hot part off the wall",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let held = case.jig.usage == Usage::HandHeld;
    let Some(normal) = heat::normal(case) else { return };
    let limits = |h: &Heated, held| bench::surface_limit(surface(h.shell.finish), held);
    let over = |h: &Heated, held| Some(limits(h, held).0).filter(|l| h.surface() > l.value);
    let found = if let Some(limit) = over(&normal, held) {
        Some((normal, limit, Signal::Warning, Burn::Burns))
    } else if let Some(limit) = over(&normal, true) {
        Some((normal, limit, Signal::Caution, Burn::TooHotToHold))
    } else {
        heat::at_worst(case).and_then(|h| Some((over(&h, held)?, h))).map(|(l, h)| (h, l, Signal::Caution, Burn::Burns))
    };
    let graver = matches!(found, Some((_, _, Signal::Warning, _)));
    if let Some((heated, limit, signal, burn)) = found {
        out.push(finding(case, &heated, &limit, signal, burn));
    }
    if graver {
        return;
    }
    if let Some((after, signal)) = heat::after_fault(case, |h| h.surface() > limits(h, held).1.value) {
        out.push(finding(case, &after, &limits(&after, held).1, signal, Burn::Burns));
    }
}

fn surface(finish: Finish) -> Surface {
    match finish {
        Finish::Painted => Surface::Coated,
        Finish::Bare => Surface::Metal,
        Finish::Plastic => Surface::Insulating,
    }
}

fn finding(case: &Case, h: &Heated, limit: &Limit, signal: Signal, burn: Burn) -> Draft {
    let said = HotSurface {
        watts: Amount::new(h.watts, "W"),
        surface: h.surface(),
        limit: limit.value,
        burn,
        at: h.at,
        asks: h.asks.clone(),
        cure: Amount::new(h.shell.watts_for_surface(Heated::up_to(limit.value)), "W"),
    };
    let draft = case
        .about_key(CheckId::HotSurface, signal, "enclosure.size")
        .value(Compared::SurfaceTemperature, said.surface, "°C")
        .limit(limit.value, &limit.source);
    let draft = heat::parts_named(case, draft, h);
    match h.at {
        Some(at) => draft.found_in(at),
        None => draft.when(When::Ambient(bench::ambient().value)),
    }
    .states(Said::HotSurface(said))
}
