//! What a survey took for granted, did not try together and did not fail, in words.

use crate::jig::{Jig, Material, PartKind};
use crate::part::{Assumption, Spared, ThermalFuse};
use crate::quantity::{Kind, format as quantity};
use crate::survey::Survey;
use crate::survey::faults::NotFailed;
use crate::survey::thermal::self_heated;

/// Everything a survey left out, for the report's list of what was not checked.
pub(crate) fn left_out(jig: &Jig, survey: &Survey) -> Vec<String> {
    let mut out: Vec<String> = survey.model.assumptions.iter().map(|(part, a)| assumed(part, *a)).collect();
    if jig.supply.mains.is_some() && jig.touchables.is_empty() {
        out.push(
            "what a hand gets: nothing is listed as touchable ([[touchable]] name and net: the box, lamp holder, knobs, screws, \
             terminals, what covers live parts)"
                .into(),
        );
    }
    if survey.settings_alone {
        out.push(
            "there are too many switch positions and loads for every combination: each was varied by itself".into(),
        );
    }
    let mut spared: Vec<String> = survey.not_failed.iter().map(|n| not_failed(jig, survey, n)).collect();
    spared.sort();
    spared.dedup();
    out.extend(spared);
    out
}

fn assumed(part: &str, assumption: Assumption) -> String {
    match assumption {
        Assumption::TransformerPower(guess) => {
            format!("{part}: no power stated, so its winding resistance is a guess for {guess} VA")
        }
        Assumption::TransformerRegulation(guess) => format!(
            "{part}: no regulation and no volts without load stated, so {} between no load and full load is a guess \
             for its size",
            quantity(guess, Kind::Fraction)
        ),
        Assumption::ModuleBarrier => format!("{part}: taken as an approved module whose barrier does not fail"),
        Assumption::NoBarrier => {
            format!("{part}: nothing says that it isolates, so its output counts as joined to its input")
        }
    }
}

fn not_failed(jig: &Jig, survey: &Survey, spared: &NotFailed) -> String {
    let item = &survey.model.items[spared.item];
    let part = &jig.parts[item.part];
    let name = &part.name;
    match spared.why {
        Spared::SafetyCapacitor => {
            let class = if let PartKind::Capacitor(c) = &part.kind { c.class.map_or("Y", |c| c.word()) } else { "Y" };
            format!("{name}: not shorted, class {class} is built not to fail short (IEC 60384-14, class Y)")
        }
        Spared::PartOfAWinding => format!("{name}: a winding bridged in part; {} is no winding of its own", item.name),
        Spared::StrongInsulation => format!(
            "{name}: insulation between {} and the primary not failed, it is stated as reinforced or double \
             (IEC 61558-1)",
            item.name
        ),
    }
}

/// A key of a part that nothing looks at.
pub(crate) fn unjudged(part: &str, key: &str) -> String {
    format!("{part}: {key} is stated, and nothing judges it")
}

/// Thermal fuses on parts of which it is not known how warm they make themselves.
pub(crate) fn links_on_unknown_heat(jig: &Jig) -> Vec<String> {
    let links = jig.parts.iter().filter_map(|p| {
        let PartKind::ThermalFuse(ThermalFuse { on: Some(on), .. }) = &p.kind else { return None };
        let part = jig.parts.iter().find(|p| p.name == *on)?;
        self_heated(&part.kind).is_none().then(|| {
            format!(
                "{}: whether {on} alone makes it warm enough to open in normal use; how warm {on} gets is not stated",
                p.name
            )
        })
    });
    links.collect()
}

/// What the heat of the box leaves out.
pub(crate) fn of_the_box(jig: &Jig) -> Vec<String> {
    let mut out = vec![];
    let named = |wanted: fn(&PartKind) -> bool| -> Vec<&str> {
        jig.parts.iter().filter(|p| wanted(&p.kind)).map(|p| p.name.as_str()).collect()
    };
    let lamps = named(|k| matches!(k, PartKind::Filament(_)));
    if !lamps.is_empty() {
        out.push(format!(
            "the heat of {} in the box: a filament lamp is taken to stand outside it, in the open",
            lamps.join(", ")
        ));
    }
    let modules = named(|k| matches!(k, PartKind::Psu(_)));
    if !modules.is_empty() {
        out.push(format!("the losses of {} in the box: only what it feeds is counted", modules.join(", ")));
    }
    if jig.enclosure.size.is_none() && jig.enclosure.material != Some(Material::Open) {
        out.push("temperatures in and on the box: its size is not stated".into());
    }
    out
}
