//! The outside of the box.

use super::heat;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, Burn, HotSurface};
use crate::finding::{CheckId, Compared, Said, Signal, When};
use crate::jig::{Material, Usage};
use crate::standard::bench::{self, Surface};

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
    let of = if material == Material::Metal { Surface::Metal } else { Surface::Insulating };
    let held = case.jig.usage == Usage::HandHeld;
    let per_watt = bench::surface_rise(1.0, size);
    let surface = bench::ambient().value + bench::surface_rise(p, size).value;
    let (limit, _) = bench::surface_limit(of, held);
    let (grip, _) = bench::surface_limit(of, true);
    let (limit, signal, burn) = if surface > limit.value {
        (limit, Signal::Warning, Burn::Burns)
    } else {
        (grip, Signal::Caution, Burn::TooHotToHold)
    };
    if surface <= limit.value {
        return;
    }
    out.push(
        case.about_key(CheckId::HotSurface, signal, "enclosure.size")
            .value(Compared::SurfaceTemperature, surface, "°C")
            .limit(limit.value, &limit.source)
            .when(When::Ambient(bench::ambient().value))
            .states(Said::HotSurface(HotSurface {
                watts: Amount::new(p, "W"),
                surface,
                limit: limit.value,
                burn,
                cure: heat::most(limit.value, per_watt.value),
            })),
    );
}
