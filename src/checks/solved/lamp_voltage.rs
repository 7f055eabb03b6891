//! The volts of filament lamps in normal use.

use super::lookup::{at_nominal, rated};
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::LampVoltage;
use crate::finding::{CheckId, Compared, Quantity, Said, Signal};
use crate::jig::PartKind;
use crate::part::Filament;
use crate::standard;

pub(super) const CHECK: Check = Check {
    id: CheckId::LampVoltage,
    judges: &[of("filament-lamp", &["volts"], &[At::Use])],
    about: About {
        looks_at: "the volts of every filament lamp in normal use",
        limit: "{bench.rule.filament_over_volts.multiple} times its rated volts; from {bench.rule.filament_over_volts.hot_multiple} times on it overheats",
        rows: &["jig", "bench.rule.filament_over_volts"],
        how: "r.m.s. volts at nominal supply; behind a diode a lamp gets 0.71 of the mains, not half; watts = rated watts · (V / V rated)^{lamps.incandescent_exponent.power.exponent_max}",
        mend: "a lamp for the volts that stand there, or more of them in series",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let limits = standard::bench::filament_over_volts();
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        let PartKind::Filament(Filament { volts, .. }) = part.kind else { continue };
        let over = |multiple: f64| move |value: f64| value > volts * multiple * (1.0 + 1e-3);
        let Some(s) = at_nominal(case, k, Quantity::VoltageRms).filter(|s| over(limits.told)(s.value)) else {
            continue;
        };
        let hot = over(limits.hot)(s.value);
        let signal = if hot { Signal::Warning } else { Signal::Caution };
        let said = LampVoltage {
            part: part.name.clone(),
            volts: s.amount(),
            limit: (&rated(volts, "V")).into(),
            watts: (s.value / volts).powf(standard::lamp::filament_power_exponent().value),
            hot,
        };
        let draft = case.about_part(CheckId::LampVoltage, signal, part, "volts");
        out.push(draft.over(Compared::VoltsRms, &s, &rated(volts, "V")).states(Said::LampVoltage(said)));
    }
}
