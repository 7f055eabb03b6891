//! The volts of filament lamps, and of loads that state their watts.

use super::lookup::{at_nominal, graded, lasting, nominal_volts, rated, to_nominal};
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft, Seen};
use crate::finding::said::LampVoltage;
use crate::finding::{CheckId, Compared, Quantity, Said, Signal, Situation};
use crate::jig::{Part, PartKind};
use crate::part::{Filament, Load};
use crate::standard;

pub(super) const CHECK: Check = Check {
    id: CheckId::LampVoltage,
    judges: &[of("filament-lamp", &["volts"], At::LASTING), of("load", &["power"], At::LASTING)],
    about: About {
        looks_at: "the volts of every filament lamp, and of every load that states its watts, in normal use and with one fault",
        limit: "{bench.rule.filament_over_volts.multiple} times its rated volts (of a load the nominal supply, at which its watts are stated); with one fault, and in use a step graver, from {bench.rule.filament_over_volts.hot_multiple} times on it overheats",
        rows: &["jig", "bench.rule.filament_over_volts"],
        how: "r.m.s. volts at nominal supply; behind a diode a lamp gets 0.71 of the mains, not half; watts = rated watts · (V / V rated)^{lamps.incandescent_exponent.power.exponent_max}",
        mend: "a lamp for the volts that stand there, or more of them in series",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        if let PartKind::Filament(Filament { volts, .. }) = part.kind {
            out.extend(over(case, k, part, volts, standard::lamp::filament_power_exponent().value));
        }
        // On the mains its watts are those at the nominal volts, and a heater's grow with their square.
        let on_mains = || case.survey.model.nets.on_mains().has_any(&item.ends);
        if on_mains() && matches!(part.kind, PartKind::Load(Load { power: Some(_), .. })) && nominal_volts(case) > 0.0 {
            out.extend(over(case, k, part, nominal_volts(case), SQUARE));
        }
    }
}

/// Watts of a resistance by its volts.
const SQUARE: f64 = 2.0;

/// In normal use from a tenth above its volts on; with one fault where it overheats.
fn over(case: &Case, k: usize, part: &Part, volts: f64, exponent: f64) -> Option<Draft> {
    let limits = standard::bench::filament_over_volts();
    let over = |multiple: f64| move |s: &Seen| s.value > volts * multiple * (1.0 + 1e-3);
    let fault = || {
        let s = lasting(case, k, Quantity::VoltageRms, Situation::SingleFault)?;
        Some(Seen { value: s.value * to_nominal(case), ..s }).filter(over(limits.hot))
    };
    let s = at_nominal(case, k, Quantity::VoltageRms).filter(over(limits.told)).or_else(fault)?;
    let hot = over(limits.hot)(&s);
    let signal = graded(if hot { Signal::Warning } else { Signal::Caution }, s.kind);
    let said = LampVoltage {
        part: part.name.clone(),
        under: s.under(),
        lamp: matches!(part.kind, PartKind::Filament(_)),
        volts: s.amount(),
        limit: (&rated(volts, "V")).into(),
        watts: (s.value / volts).powf(exponent),
        hot,
    };
    let key = if said.lamp { "volts" } else { "power" };
    let draft = case.about_part(CheckId::LampVoltage, signal, part, key);
    Some(draft.over(Compared::VoltsRms, &s, &rated(volts, "V")).states(Said::LampVoltage(said)))
}
