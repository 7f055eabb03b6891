//! Thermal fuses and wires against the air where they sit.

use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{PartTemperature, TooWarm};
use crate::finding::{CheckId, Compared, Said, Signal, When};
use crate::jig::{Part, PartKind};
use crate::part::{ThermalFuse, Transformer, Wire};
use crate::standard::{Limit, bench, link};
use crate::survey::thermal::{opens_in_normal_use, rise_in_normal_use};

use super::heat;
use super::lookup::rated;

pub(super) const CHECK: Check = Check {
    id: CheckId::PartTemperature,
    judges: &[
        of("thermal-fuse", &["temperature", "on"], &[At::Use]),
        of("transformer", &["thermal-link"], &[At::Use]),
        of("wire", &["temperature"], At::HEATING),
    ],
    about: About {
        looks_at: "the temperature of thermal fuses in normal use, of links in transformers by the air alone, and of wires of stated temperature also with one fault",
        limit: "a thermal fuse may open from {bench.heat.link_opens.below_rated_k} below its rated temperature: WARNING where the air alone comes there or the part it sits on to the rated temperature itself, else CAUTION; it is sure to hold up to {bench.heat.link_holds.below_rated_k} below: CAUTION. A wire its own temperature: WARNING, with one fault CAUTION",
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
        if let PartKind::Transformer(Transformer { thermal_link: Some(celsius), .. }) = &part.kind {
            out.extend(own_link(case, part, *celsius, air));
        }
        if let PartKind::Wire(Wire { temperature: Some(most), .. }) = &part.kind {
            out.extend(wire(case, part, &rated(*most, "°C"), air));
        }
    }
}

/// A link in the windings of a transformer: the air alone must not open it. How warm its own windings make it is its
/// maker's business up to its rating.
fn own_link(case: &Case, part: &Part, celsius: f64, air: f64) -> Option<Draft> {
    let [opens, _] = link::bounds(celsius);
    let graded = (Signal::Warning, TooWarm::Opens);
    let draft = finding(case, part, (air, &opens), graded, None);
    (air >= opens.value).then_some(draft)
}

/// The insulation of a wire in the air of the box, in normal use and with one fault.
fn wire(case: &Case, part: &Part, most: &Limit, air: f64) -> Option<Draft> {
    if air > most.value {
        return Some(finding(case, part, (air, most), (Signal::Warning, TooWarm::Ages), None));
    }
    let (heated, _) = heat::after_fault(case, |h| h.inside() > most.value)?;
    let at = heated.at?;
    let draft = finding(case, part, (heated.inside(), most), (Signal::Caution, TooWarm::AgesAfter(at)), None);
    Some(draft.found_in(at))
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
