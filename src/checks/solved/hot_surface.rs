//! The outside of the box.

use super::heat;
use super::words::show;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{Material, Usage};
use crate::standard::bench;

pub(super) const CHECK: Check = Check {
    id: CheckId::HotSurface,
    about: About {
        looks_at: "the temperature of the outside of the box in normal use, heat evenly spread",
        limit: "{bench.touch_temperature.outer_metal.normal_c} metal, {bench.touch_temperature.outer_plastic.normal_c} plastic; held in the hand {bench.touch_temperature.grip_metal.normal_c} metal, {bench.touch_temperature.grip_plastic.normal_c} plastic: past it WARNING; past what a hand holds on a box that is not held: CAUTION",
        rows: &[],
        how: "{bench.heat.ambient.temperature_c} ambient plus P / (h · A), h and A as for box-temperature",
        mend: "a larger box, ventilation slots, or fewer watts; keep the hot part off the wall",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let Some((size, material)) = heat::closed(case) else { return };
    let p = case.watts();
    let metal = material == Material::Metal;
    let held = case.jig.usage == Usage::HandHeld;
    let per_watt = bench::surface_rise(1.0, size);
    let surface = bench::ambient().value + bench::surface_rise(p, size).value;
    let (limit, _) = bench::surface_limit(metal, held);
    let (grip, _) = bench::surface_limit(metal, true);
    let (limit, signal, what) = if surface > limit.value {
        (limit, Signal::Warning, "it burns the hand")
    } else {
        (grip, Signal::Caution, "too hot to hold, though it is not made to be held")
    };
    if surface <= limit.value {
        return;
    }
    out.push(
        case.about_key(CheckId::HotSurface, signal, "enclosure.size")
            .value("surface temperature", surface, "°C")
            .limit(limit.value, &limit.source)
            .condition(&heat::condition())
            .says(
                format!(
                    "{} bring the outside of the box to {surface:.0} °C, the limit is {:.0} °C: {what}",
                    show(p, "W"),
                    limit.value
                ),
                format!(
                    "a larger or ventilated box, or at most {} in this one",
                    heat::most(limit.value, per_watt.value)
                ),
            ),
    );
}
