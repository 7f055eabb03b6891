//! One design tried: read, surveyed and judged like any jig, and the figures of a candidate taken from the same solver.

use crate::checks;
use crate::circuit::Solver;
use crate::jig::{self, Jig};
use crate::judgement::{Candidate, Dissipation, Extra};
use crate::survey::condition::{Condition, Fault, Level, ways};
use crate::survey::model::Model;
use crate::survey::{self, Options};

/// A candidate with the text of its jig file.
#[derive(Debug, Clone)]
pub(super) struct Trial {
    pub(super) candidate: Candidate,
    pub(super) text: String,
    /// Whether every condition was solved.
    pub(super) complete: bool,
}

/// A design to try.
pub(super) struct Design {
    /// Jig file.
    pub(super) text: String,
    /// File that findings point at.
    pub(super) file: String,
    /// Resistors of the dropping string.
    pub(super) string: Vec<String>,
    /// The lamp's item.
    pub(super) lamp: String,
    pub(super) each_ohm: f64,
    pub(super) each_power_w: f64,
    pub(super) each_voltage_v: f64,
    pub(super) why: Vec<String>,
    pub(super) extras: Vec<Extra>,
}

/// Watts in the named items at a level with a fault.
fn watts(jig: &Jig, model: &Model, names: &[String], level: Level, faults: Vec<Fault>) -> Option<f64> {
    let mains = jig.supply.mains.as_ref()?;
    let scale = match level {
        Level::Low => mains.low,
        Level::Nominal => mains.nominal,
        Level::High => mains.high,
    } / mains.nominal;
    let way = *ways(jig).first()?;
    let condition =
        Condition { level, way, switches: vec![], loads: vec![], faults, corner: vec![], moment: String::new() };
    let solved = Solver::new(&model.circuit(jig, &condition)).ok()?.steady(scale).ok()?;
    let items = model.items.iter().filter(|i| names.contains(&i.name));
    Some(items.map(|i| survey::ledger::six(i, &solved.branches)[0]).sum())
}

/// Tries a design. `None` when its own text cannot be read, which would be a fault of this program.
pub(super) fn run(d: Design) -> Option<Trial> {
    let jig = jig::parse(&d.file, d.text.as_bytes()).ok()?;
    let survey = survey::survey(&jig, &Options::default());
    let judgement = checks::judge(&jig, &survey, "");
    let model = &survey.model;
    let item = |name: &str| model.items.iter().position(|i| i.name == name);
    let lamp = item(&d.lamp)?;
    let nominal = survey.ledger.nominal[lamp]?;
    let light = survey.ledger.lamps.iter().find(|l| l.item == lamp);
    let loss = |level, faults| watts(&jig, model, &d.string, level, faults);
    let others = |name: &str| d.string.iter().filter(|n| *n != name).cloned().collect::<Vec<_>>();
    let first = d.string.first()?;
    let one_shorted = match (d.string.len(), item(first)) {
        (2.., Some(k)) => watts(&jig, model, &others(first), Level::High, vec![Fault::Short(k)]),
        _ => None,
    };
    let candidate = Candidate {
        resistance_ohm: d.each_ohm * d.string.len() as f64,
        count: d.string.len() as u32,
        each_ohm: d.each_ohm,
        each_power_w: d.each_power_w,
        each_voltage_v: d.each_voltage_v,
        lamp_current_mean_a: nominal[4],
        lamp_current_rms_a: nominal[3],
        lamp_current_peak_a: nominal[5],
        dissipation_w: Dissipation {
            nominal: loss(Level::Nominal, vec![])?,
            high_supply: loss(Level::High, vec![])?,
            lamp_shorted: loss(Level::High, vec![Fault::Short(lamp)]),
            one_resistor_shorted: one_shorted,
        },
        strike_margin: light.and_then(|l| l.strike_margin).map(|w| w.value),
        flashes_per_second: light.map(|l| l.flashes_per_second),
        lit_fraction: light.map(|l| l.lit_fraction),
        findings: judgement.findings.clone(),
        why: d.why,
        extras: d.extras,
    };
    Some(Trial { candidate, text: d.text, complete: judgement.exit_status() != 3 })
}
