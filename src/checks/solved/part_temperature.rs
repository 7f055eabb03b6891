//! Thermal fuses and wires against the air where they sit.

use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{PartTemperature, TooWarm};
use crate::finding::{CheckId, Compared, Said, Signal, When};
use crate::jig::{Part, PartKind};
use crate::part::{ThermalFuse, Wire};
use crate::standard::{Limit, bench, link};
use crate::survey::thermal::{opens_in_normal_use, rise_in_normal_use};

use super::lookup::rated;

pub(super) const CHECK: Check = Check {
    id: CheckId::PartTemperature,
    judges: &[of("thermal-fuse", &["temperature", "on"], &[At::Use]), of("wire", &["temperature"], &[At::Use])],
    about: About {
        looks_at: "the temperature of thermal fuses and of wires of stated temperature in normal use",
        limit: "a thermal fuse may open from {bench.heat.link_opens.below_rated_k} below its rated temperature: WARNING where the air alone comes there or the part it sits on to the rated temperature itself, else CAUTION; it is sure to hold up to {bench.heat.link_holds.below_rated_k} below: CAUTION. A wire its own temperature: WARNING",
        rows: &["jig", "bench.heat.self_heating_resistor", "bench.heat.self_heating_winding"],
        how: "the air in the box as in box-temperature; a thermal fuse on a part is as warm as the part: a resistor {bench.heat.self_heating_resistor.rise_k} above the air at its rated power, in proportion; a winding {bench.heat.self_heating_winding.rise_k} at its rated current, by the square",
        mend: "a thermal fuse or wire for a higher temperature, or cooler air: a larger or ventilated box, fewer watts",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let air = case.inside_temperature();
    for part in &case.jig.parts {
        if let PartKind::ThermalFuse(fuse) = &part.kind {
            out.extend(thermal_fuse(case, part, fuse, air));
        }
        if let PartKind::Wire(Wire { temperature: Some(most), .. }) = &part.kind
            && air > *most
        {
            let limit = rated(*most, "°C");
            out.push(finding(case, part, (air, &limit), (Signal::Warning, TooWarm::Ages), None));
        }
    }
}

fn thermal_fuse(case: &Case, part: &Part, fuse: &ThermalFuse, air: f64) -> Option<Draft> {
    let survey = case.survey;
    let on = fuse.on.as_ref().and_then(|on| case.jig.parts.iter().position(|p| p.name == *on));
    let own = case.jig.parts.iter().position(|p| p.name == part.name);
    let opened = own.is_some_and(|own| opens_in_normal_use(&survey.model, &survey.ledger, own));
    let rise = |k| rise_in_normal_use(case.jig, &survey.model, &survey.ledger, k, opened);
    let celsius = air + on.map_or(0.0, rise);
    let [opens, holds] = link::bounds(fuse.temperature);
    // How warm a part makes itself is what it may be at its rating, not what it is: that alone is no certainty.
    let (limit, graded) = if air >= opens.value || celsius >= fuse.temperature {
        (opens, (Signal::Warning, TooWarm::Opens))
    } else if celsius >= opens.value {
        (opens, (Signal::Caution, TooWarm::MayOpen))
    } else if celsius > holds.value {
        (holds, (Signal::Caution, TooWarm::MayOpen))
    } else {
        return None;
    };
    Some(finding(case, part, (celsius, &limit), graded, fuse.on.clone()))
}

fn finding(
    case: &Case,
    part: &Part,
    (celsius, limit): (f64, &Limit),
    (signal, fate): (Signal, TooWarm),
    on: Option<String>,
) -> Draft {
    let said = PartTemperature { part: part.name.clone(), celsius, limit: limit.value, fate, on };
    case.about_part(CheckId::PartTemperature, signal, part, "temperature")
        .value(Compared::PartTemperature, celsius, "°C")
        .limit(limit.value, &limit.source)
        .when(When::Ambient(bench::ambient().value))
        .states(Said::PartTemperature(said))
}
