//! A charged capacitor that is put on in one condition, followed to its end: what each part takes meanwhile, what is left.
//! Judges nothing.

use crate::circuit::{Circuit, Solver, Start, Transient, Until};

use super::condition::{Condition, Polarity};
use super::context::SurveyContext;
use super::model::Measure;
use super::put_on::{charged, state_of};
use super::rig::Rig;
use super::transients::INSTANT;
use super::unsolved::{NotSolved, consistent};

/// How long a discharge is followed, and from what.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Course {
    /// Which way round it is put on.
    pub polarity: Polarity,
    /// Volts in place of those that are stated.
    pub volts: Option<f64>,
    /// Seconds at most; the shortest that is followed stands for the first instant.
    pub seconds: f64,
    /// Volts on what is charged at which it ends sooner.
    pub falls_below: Option<f64>,
}

/// What one item took meanwhile.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Taken {
    /// Joules.
    pub energy: f64,
    /// Highest volts either way.
    pub voltage_peak: f64,
    /// Highest amperes either way.
    pub current_peak: f64,
    /// Highest amperes from its first end to its second; of a bridge those of its arms.
    pub current_forward: f64,
    /// Highest watts at most: the crests of volts and amperes together.
    pub power_peak: f64,
    /// Integral of the squared amperes, A² s.
    pub i2t: f64,
}

/// A discharge that was followed.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Emptied {
    /// When it ended, seconds.
    pub seconds: f64,
    /// Volts left on what was charged.
    pub left: f64,
    /// Highest amperes out of it.
    pub current_peak: f64,
    /// One an item.
    pub items: Vec<Taken>,
    /// Volts at the end, one a pair of [`Rig::between`].
    pub between: Vec<f64>,
}

/// Puts on what is charged and follows it. `None` where nothing is charged in this condition.
///
/// # Errors
/// Why it could not be solved.
pub(crate) fn emptied(
    context: &SurveyContext,
    condition: &Condition,
    rig: &Rig,
    course: Course,
) -> Result<Option<Emptied>, NotSolved> {
    let mut charged = charged(context, condition);
    if let Some(volts) = course.volts {
        charged.iter_mut().for_each(|c| c.volts = volts);
    }
    let Some(first) = charged.first().map(|c| c.branch) else { return Ok(None) };
    let circuit = circuit(context, condition, rig);
    let meters = circuit.branches.len() - rig.between.len();
    let until = Until { seconds: course.seconds.max(INSTANT), falls_below: course.falls_below.map(|v| (first, v)) };
    let start = Start { angle: 0.0, state: state_of(&charged, course.polarity, circuit.branches.len()) };
    let t = consistent(Solver::new(&circuit)?.transient(1.0, &start, &until)?)?;
    let items = context.model.items.iter().map(|item| taken(&item.measure, &t)).collect();
    let between = t.volts[meters..].to_vec();
    let (left, current_peak) = (t.volts[first].abs(), t.branches[first].i_peak());
    Ok(Some(Emptied { seconds: t.seconds, left, current_peak, items, between }))
}

fn circuit(context: &SurveyContext, condition: &Condition, rig: &Rig) -> Circuit {
    let circuit = context.circuit(condition);
    let mains = context.jig.supply.mains.is_some();
    let mut circuit = if mains { context.model.unplugged(circuit) } else { circuit };
    rig.put(context, &mut circuit);
    circuit.branches.extend(rig.meters(context));
    circuit
}

fn taken(measure: &Measure, t: &Transient) -> Taken {
    let one = |b: usize| {
        let q = &t.branches[b];
        let (voltage_peak, current_peak) = (q.v_peak(), q.i_peak());
        let power_peak = voltage_peak * current_peak;
        let current_forward = q.i_max.max(0.0);
        Taken { energy: t.energy[b], voltage_peak, current_peak, current_forward, power_peak, i2t: t.i2t[b] }
    };
    match measure {
        Measure::Branch(b) => one(*b),
        Measure::Series(list, meter) => {
            let energy = list.iter().map(|b| t.energy[*b]).sum();
            Taken { energy, voltage_peak: t.branches[*meter].v_peak(), ..one(list[0]) }
        }
        Measure::Bridge(arms) => arms.iter().map(|b| one(*b)).fold(Taken::default(), |all, arm| Taken {
            energy: all.energy + arm.energy,
            voltage_peak: all.voltage_peak.max(arm.voltage_peak),
            current_peak: all.current_peak.max(arm.current_peak),
            current_forward: all.current_forward.max(arm.current_forward),
            power_peak: all.power_peak.max(arm.power_peak),
            i2t: all.i2t.max(arm.i2t),
        }),
    }
}
