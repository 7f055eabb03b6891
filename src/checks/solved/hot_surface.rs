//! The outside of the box.

use super::heat::{self, Heated};
use super::lookup::lasting;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, Burn, HotSurface};
use crate::finding::{CheckId, Compared, Quantity, Said, Signal, Situation, When};
use crate::jig::{PartKind, Usage};
use crate::part::Resistor;
use crate::standard::Limit;
use crate::standard::bench::{self, Surface};
use crate::standard::shell::Finish;
use crate::survey::heat::OUTSIDE;
use crate::survey::thermal::rise_in_normal_use;

pub(super) const CHECK: Check = Check {
    id: CheckId::HotSurface,
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
        looks_at: "the temperature of resistors that stand outside of the box, and of the outside of the box, in normal use and with any one fault that nothing ends, or a device only after a long time, heat evenly spread",
        limit: "{bench.touch_temperature.outer_metal.normal_c} bare metal, {bench.touch_temperature.outer_coated.normal_c} painted, {bench.touch_temperature.outer_plastic.normal_c} plastic; held in the hand {bench.touch_temperature.grip_metal.normal_c} metal, {bench.touch_temperature.grip_coated.normal_c} painted, {bench.touch_temperature.grip_plastic.normal_c} plastic: past it WARNING; past what a hand holds on a box that is not held: CAUTION; after a fault {bench.touch_temperature.outer_metal.fault_c}: WARNING",
        rows: &["bench.heat.self_heating_resistor"],
        how: "{bench.heat.ambient.temperature_c} ambient plus P / (h · A), h = {bench.heat.box_painted.surface_w_per_m2_k} W/m²K painted metal, {bench.heat.box_plastic.surface_w_per_m2_k} plastic, {bench.heat.box_bare.surface_w_per_m2_k} bare metal, A as for box-temperature. A resistor outside of the box comes {bench.heat.self_heating_resistor.rise_k} above the ambient at its rated power, in proportion: CAUTION",
        mend: "a larger box, ventilation slots, or fewer watts; keep the hot part off the wall",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    out.extend((0..case.jig.parts.len()).filter_map(|k| outside(case, k)));
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

/// A resistor that stands outside of the box, as warm as its watts make it: metal, or what burns as metal does.
fn outside(case: &Case, index: usize) -> Option<Draft> {
    let part = &case.jig.parts[index];
    let PartKind::Resistor(Resistor { place: Some(place), .. }) = &part.kind else { return None };
    if place != OUTSIDE {
        return None;
    }
    let survey = case.survey;
    let rise = rise_in_normal_use(case.jig, &survey.model, &survey.ledger, index, false);
    let celsius = bench::ambient().value + rise;
    let (limit, _) = bench::surface_limit(Surface::Metal, case.jig.usage == Usage::HandHeld);
    if celsius <= limit.value {
        return None;
    }
    let watts = lasting(case, case.items_of(index).next()?, Quantity::Power, Situation::Normal)?;
    let said = HotSurface {
        watts: watts.amount(),
        surface: celsius,
        limit: limit.value,
        burn: Burn::Burns,
        part: Some(part.name.clone()),
        at: None,
        asks: vec![],
        cure: watts.amount(),
    };
    let draft = case.about_part(CheckId::HotSurface, Signal::Caution, part, "place");
    let draft = draft.value(Compared::SurfaceTemperature, celsius, "°C").limit(limit.value, &limit.source);
    Some(draft.when(When::Ambient(bench::ambient().value)).states(Said::HotSurface(said)))
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
        part: None,
        at: h.at,
        asks: h.asks.clone(),
        cure: Amount::new(h.shell.watts_for_surface(h.up_to(limit.value)), "W"),
    };
    let draft = case
        .about_key(CheckId::HotSurface, signal, "enclosure.size")
        .value(Compared::SurfaceTemperature, said.surface, "°C")
        .limit(limit.value, &limit.source);
    let draft = heat::parts_named(case, draft, h).proposes(heat::smaller_fuses(case, h));
    match h.at {
        Some(at) => draft.found_in(at),
        None => draft.when(When::Ambient(bench::ambient().value)),
    }
    .states(Said::HotSurface(said))
}
