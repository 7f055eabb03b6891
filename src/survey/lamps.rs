//! Lamps: when they are lit, and what is left over for striking. Judges nothing.

use crate::circuit::{Device, Quantities, Repeats, Solver, Steady};
use crate::jig::{LoadKind, PartKind};
use crate::nets::{Edge, Owner};
use crate::part::{Measure, Neon};
use crate::standard;

use super::condition::{Condition, Moment};
use super::context::SurveyContext;
use super::ledger::Outcome;
use super::recorder::Recorder;
use super::records::{Light, Worst};

/// Degrees of half a cycle.
const HALF_CYCLE: f64 = 180.0;

/// When lamps are lit in the steady state last solved.
pub(super) fn light(context: &SurveyContext, solver: &Solver, s: &Steady, recorder: &mut Recorder) {
    for k in 0..context.model.items.len() {
        if let Some(light) = light_of(context, solver, s, k) {
            recorder.ledger.take_light(k, light);
        }
    }
}

/// When an item is lit; `None` where it is no lamp.
pub(super) fn light_of(context: &SurveyContext, solver: &Solver, s: &Steady, item: usize) -> Option<Light> {
    let Measure::Branch(b) = context.model.items[item].measure else { return None };
    let kind = &context.jig.parts[context.model.items[item].part].kind;
    if !matches!(kind, PartKind::Neon(_) | PartKind::Led(_)) {
        return None;
    }
    let l = solver.lighting(b)?;
    // A lamp that flashes at a pace of its own knows no half-waves.
    let with_mains = s.repeats == Repeats::Mains { cycles: 1 };
    let both_ways = with_mains && matches!(kind, PartKind::Neon(_)) && l.on_deg.len() > 1;
    let side = if both_ways { one_sided(&s.branches[b]) } else { None };
    let seen = |d: &f64| side.is_none_or(|first| (*d < HALF_CYCLE) == first);
    let keep = |list: Vec<f64>| list.into_iter().filter(seen).collect();
    let share = if side.is_some() { 0.5 } else { 1.0 };
    Some(Light {
        flashes_per_second: share * l.flashes_per_cycle * context.model.base.hertz,
        lit_fraction: share * l.lit_fraction,
        on_deg: keep(l.on_deg),
        off_deg: keep(l.off_deg),
    })
}

/// Behind a diode a glow lamp may strike the other way too, on nothing but the diode's leak: that is seen by nobody. Then
/// only the half-wave that carries current counts: whether it is the first one.
fn one_sided(q: &Quantities) -> Option<bool> {
    let (ahead, back) = (q.i_max, -q.i_min);
    (ahead.min(back) < standard::bench::glow_seen().value * ahead.max(back)).then_some(ahead > back)
}

/// Crest of the voltage that would stand across each glow lamp if it stayed dark, against its worst strike volts.
pub(super) fn strike_margins(context: &SurveyContext, condition: &Condition, recorder: &mut Recorder) {
    for (k, item) in context.model.items.iter().enumerate() {
        let PartKind::Neon(Neon { strike, strike_max, .. }) = context.jig.parts[item.part].kind else { continue };
        let Measure::Branch(b) = item.measure else { continue };
        // A lamp that is switched off, or lies across a whole fuse, is not expected to strike.
        if !is_on(context, condition, item.part) {
            continue;
        }
        let mut circuit = context.circuit(condition);
        circuit.branches[b].device = Device::Resistor { ohms: standard::bench::neon_dark().value };
        let dark = Condition { moment: Moment::BeforeStrikes(k), ..condition.clone() };
        let crest = match context.solve(&circuit, condition.level) {
            Ok(s) => s.branches[b].v_peak(),
            Err(why) => {
                recorder.unsolved(dark, why);
                continue;
            }
        };
        // What no volts come to is not fed either.
        if crest < 1.0 {
            continue;
        }
        let at = recorder.tried(dark, Outcome::Solved);
        let value = crest / strike_max.unwrap_or(strike).max(strike);
        recorder.ledger.take_strike_margin(k, Worst { value, at });
    }
}

/// Whether a source feeds a part while the switches stand so and the outlets carry what they do.
fn is_on(context: &SurveyContext, condition: &Condition, part: usize) -> bool {
    let nets = &context.model.nets;
    let plugged = |outlet: usize| {
        let load = condition.loads.get(outlet).and_then(|l| context.jig.outlets[outlet].loads.get(*l));
        load.is_some_and(|l| l.kind != LoadKind::Open)
    };
    let conducts = |e: &Edge| match e.owner {
        Owner::Part(_) => nets.is_closed(e, &condition.switches),
        Owner::Outlet(outlet) => plugged(outlet),
    };
    nets.edges().iter().any(|e| e.part() == Some(part) && nets.is_fed(e, &conducts))
}
