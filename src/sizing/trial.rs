//! One design tried: written down, read back, surveyed, its parts rated by what the survey found, judged by the checks.
//! Every number of a candidate is read off the survey. Must not know which design is wanted.

use super::design::{BLEEDERS, Capacitor, Design};
use super::parts::{self, Load, SHELLS};
use crate::checks::{self, Case};
use crate::circuit::Solver;
use crate::finding::{Candidate, CheckId, CheckName, Dissipation, Extra, PerQuantity, Quantity, Situation};
use crate::jig::{self, Jig};
use crate::quantity::{Kind as Unit, format};
use crate::standard::Level;
use crate::survey::condition::{Condition, END, Fault, Moment};
use crate::survey::gravest::Gravest;
use crate::survey::measured::measured;
use crate::survey::model::Model;
use crate::survey::settings::{orientations, settings};
use crate::survey::{self, Options, Survey};

/// A design with what came of it.
#[derive(Debug, Clone)]
pub(super) struct Trial {
    /// For the report.
    pub(super) candidate: Candidate,
    /// The jig file.
    pub(super) text: String,
    /// Whether every condition was solved.
    pub(super) complete: bool,
    /// Why it cannot be built, beyond what the checks say.
    pub(super) blocked: Option<String>,
}

/// Lamp current of a design at nominal supply: amperes r.m.s., mean.
#[derive(Debug, Clone, Copy)]
pub(super) struct LampCurrent {
    /// R.m.s.
    pub(super) rms: f64,
    /// Mean of the absolute value.
    pub(super) mean: f64,
}

fn read(design: &Design) -> Result<(Jig, String), String> {
    let text = design.text();
    let told = |faults: Vec<jig::InputError>| faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ");
    jig::parse(&design.feed.file, text.as_bytes()).map(|jig| (jig, text)).map_err(told)
}

/// Where the tolerances are.
#[derive(Clone, Copy, PartialEq)]
enum Corner {
    /// As stated.
    Stated,
    /// Where the string takes most: resistors at their low end, capacitors at their high end.
    Most,
}

/// The six quantities of every item at a supply level with these faults; `None` where nothing was solved.
fn solve(jig: &Jig, model: &Model, level: Level, corner: Corner, faults: Vec<Fault>) -> Option<Vec<PerQuantity<f64>>> {
    let (switches, loads) = settings(jig).0.into_iter().next()?;
    let orientation = *orientations(jig).first()?;
    let end = |part: usize| if matches!(jig.parts[part].kind, jig::PartKind::Capacitor(_)) { END } else { -END };
    let corner = match corner {
        Corner::Stated => vec![],
        Corner::Most => model.toleranced.iter().map(|t| end(t.part)).collect(),
    };
    let c = Condition { level, orientation, switches, loads, faults, corner, moment: Moment::Steady };
    let mains = jig.supply.mains.as_ref()?;
    let steady = Solver::new(&model.circuit(jig, &c)).ok()?.steady(mains.scale(level)).ok()?;
    Some(model.items.iter().map(|i| measured(i, &steady.branches)).collect())
}

fn item(model: &Model, name: &str) -> Option<usize> {
    model.items.iter().position(|i| i.name == name)
}

/// Current of the lamp at nominal supply.
pub(super) fn lamp_current(design: &Design) -> Option<LampCurrent> {
    let (jig, _) = read(design).ok()?;
    let model = crate::survey::build::build(&jig);
    let rows = solve(&jig, &model, Level::Nominal, Corner::Stated, vec![])?;
    let lamp = &rows[item(&model, design.lamp_name())?];
    Some(LampCurrent { rms: lamp[Quantity::CurrentRms], mean: lamp[Quantity::CurrentMean] })
}

/// Resistances of a string: between the two, the current is what is wanted. The lamp conducts over the same angles
/// whatever the resistance before it, so resistance × current is a constant as long as nothing else drops volts.
pub(super) fn resistance_for(have: f64, slope: f64, current: f64, wanted: f64) -> f64 {
    (have + slope) * current / wanted - slope
}

/// Surveys, rates and judges a design. The fuse grows until it carries what flows. `None` where no part of the tables
/// stands what is asked of it.
pub(super) fn run(mut design: Design, mut why: Vec<String>) -> Option<Trial> {
    design.rating = parts::largest_rating(design.rating.fusible);
    let (jig, mut survey) = survey_of(&design)?;
    let fuse = fuse_wanted(&survey)?;
    let mut jig = jig;
    if fuse.to_bits() != design.fuse.to_bits() {
        design.fuse = fuse;
        (jig, survey) = survey_of(&design)?;
    }
    // The circuit is the same whatever the parts are rated and the box is: it is surveyed once. Only a fusible part opens
    // by its rating.
    let mut text = String::new();
    let mut judged = None;
    for shell in design.shell..SHELLS.len() {
        design.shell = shell;
        (jig, text) = read(&design).ok()?;
        let celsius = Case::new(&jig, &survey).inside_temperature();
        if !rate(&mut design, &survey, celsius) {
            continue;
        }
        (jig, text) = read(&design).ok()?;
        if design.rating.fusible {
            (jig, survey) = survey_of(&design)?;
        }
        let judgement = checks::judge(&jig, &survey, "");
        let warm = judgement
            .findings
            .iter()
            .any(|f| matches!(f.check, CheckName::Core(CheckId::BoxTemperature | CheckId::HotSurface)));
        judged = Some(judgement);
        if !warm {
            break;
        }
    }
    let judgement = judged?;
    why.extend(super::words::parts(&design));
    let mut candidate = candidate(&design, &jig, &survey, why)?;
    let blocked = candidate.strike_margin.filter(|m| *m < 1.0).map(|m| super::words::dark(&design, m));
    let complete = judgement.complete();
    candidate.findings = judgement.findings;
    Some(Trial { candidate, text, complete, blocked })
}

fn survey_of(design: &Design) -> Option<(Jig, Survey)> {
    let (jig, _) = read(design).ok()?;
    let survey = survey::survey(&jig, &Options::default());
    Some((jig, survey))
}

fn worst(survey: &Survey, name: &str, quantity: Quantity, kind: Situation) -> f64 {
    let found = item(&survey.model, name).and_then(|k| survey.ledger.get(k, quantity, kind));
    found.map_or(0.0, |w| w.value)
}

/// The smallest fuse for what flows in normal use and at switch-on.
fn fuse_wanted(survey: &Survey) -> Option<f64> {
    let inrush =
        item(&survey.model, "F1").and_then(|k| survey.ledger.lasting.inrush_i2t.get(k).and_then(Gravest::copied));
    parts::fuse_for(worst(survey, "F1", Quantity::CurrentRms, Situation::Normal), inrush.map_or(0.0, |w| w.value))
}

/// Gives every resistor the smallest rating that stands what the survey found; false where none does.
fn rate(design: &mut Design, survey: &Survey, celsius: f64) -> bool {
    let load = |names: &[String], ohms: f64| {
        let most = |quantity, kind| names.iter().map(|n| worst(survey, n, quantity, kind)).fold(0.0, f64::max);
        Load {
            normal: most(Quantity::Power, Situation::Normal),
            fault: most(Quantity::Power, Situation::SingleFault),
            volts: most(Quantity::VoltageRms, Situation::Normal)
                .max(most(Quantity::VoltageRms, Situation::SingleFault)),
            ohms,
            celsius,
        }
    };
    let string = load(&design.string(), design.each);
    // A fusible part is there to open under a fault: it need only stand normal use.
    let string = if design.rating.fusible { Load { fault: 0.0, ..string } } else { string };
    let Some(rating) = parts::rating(string, design.rating.fusible) else { return false };
    let bleeders = design.bleeders();
    if let Some(c) = &mut design.capacitor {
        let Some(of_each) = parts::rating(load(&bleeders, c.bleeder), false) else { return false };
        *c = Capacitor { rating: of_each, ..c.clone() };
    }
    design.rating = rating;
    true
}

fn candidate(design: &Design, jig: &Jig, survey: &Survey, why: Vec<String>) -> Option<Candidate> {
    let model = &survey.model;
    let lamp = item(model, design.lamp_name())?;
    let string: Vec<usize> = design.string().iter().filter_map(|n| item(model, n)).collect();
    let nominal = |k: usize| survey.ledger.nominal.get(k).copied().flatten();
    let current = nominal(lamp)?;
    let watts = |rows: &[PerQuantity<f64>]| string.iter().map(|k| rows[*k][Quantity::Power]).sum::<f64>();
    let most = |faults| solve(jig, model, Level::High, Corner::Most, faults).map(|rows| watts(&rows));
    let after = |fault| most(vec![fault]);
    let lamps: Vec<_> = survey.ledger.lamps().filter(|l| is_lamp(jig, survey, l.item)).collect();
    let lit: f64 = lamps.iter().filter_map(|l| l.light.as_ref()).map(|l| l.lit_fraction).sum();
    let flashes: f64 = lamps.iter().filter_map(|l| l.light.as_ref()).map(|l| l.flashes_per_second).sum();
    Some(Candidate {
        resistance_ohm: design.each * design.count as f64,
        count: design.count as u32,
        each_ohm: design.each,
        each_power_w: design.rating.watts,
        each_voltage_v: design.rating.volts,
        lamp_current_mean_a: current[Quantity::CurrentMean],
        lamp_current_rms_a: current[Quantity::CurrentRms],
        lamp_current_peak_a: current[Quantity::CurrentPeak],
        dissipation_w: Dissipation {
            nominal: string.iter().filter_map(|k| nominal(*k)).map(|q| q[Quantity::Power]).sum(),
            high_supply: most(vec![])?,
            lamp_shorted: after(Fault::Short(lamp)),
            one_resistor_shorted: string.first().filter(|_| string.len() > 1).and_then(|k| after(Fault::Short(*k))),
        },
        strike_margin: lamps.iter().filter_map(|l| l.strike_margin()).map(|w| w.value).min_by(f64::total_cmp),
        flashes_per_second: (flashes > 0.0 && lit < 1.0).then_some(flashes),
        lit_fraction: (!lamps.is_empty()).then_some(lit.min(1.0)),
        findings: vec![],
        why,
        extras: design.capacitor.as_ref().map_or_else(Vec::new, extras),
    })
}

fn is_lamp(jig: &Jig, survey: &Survey, item: usize) -> bool {
    let kind = &jig.parts[survey.model.items[item].part].kind;
    matches!(kind, jig::PartKind::Neon(_) | jig::PartKind::Led(_))
}

fn extras(c: &Capacitor) -> Vec<Extra> {
    let all = c.bleeder * BLEEDERS as f64;
    vec![
        Extra { key: "capacitance_f", label: "dropper capacitor", value: c.farads, unit: "F" },
        Extra { key: "capacitor_voltage_v", label: "  class X2, rated", value: c.x2.volts, unit: "V" },
        Extra { key: "bleeder_ohm", label: "bleeder, whole", value: all, unit: "Ω" },
        Extra { key: "bleeder_each_ohm", label: "  each of two", value: c.bleeder, unit: "Ω" },
        Extra { key: "bleeder_each_power_w", label: "  rated", value: c.rating.watts, unit: "W" },
        Extra { key: "bleeder_each_voltage_v", label: "  element volts", value: c.rating.volts, unit: "V" },
    ]
}

/// Ohms in words.
pub(super) fn ohms(value: f64) -> String {
    format(value, Unit::Resistance)
}
