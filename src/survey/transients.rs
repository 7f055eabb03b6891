//! Moments: switch-on at the worst instant, the plug pulled at the worst instant, a charged thing put on an outlet.

use crate::circuit::{Branch, Device, Solver, Start, Until};
use crate::jig::{NetId, PartKind};
use crate::standard::Level;

use super::condition::{Condition, Polarity};
use super::context::SurveyContext;
use super::put_on::{charged, put_on, state_of};
use super::recorder::Recorder;
use super::switch_on::switch_on;
use super::unplug::{charge_could_matter, unplug, worst_phases};
use super::unsolved::{NotSolved, consistent};

/// Seconds that stand for "at once": long enough for every device to take its state, too short for any charge to go.
pub(super) const INSTANT: f64 = 1e-6;

/// Everything that happens in a moment rather than for ever.
pub(super) fn run(context: &SurveyContext, condition: &Condition, recorder: &mut Recorder) {
    let condition = Condition { level: Level::High, ..condition.clone() };
    let circuit = context.circuit(&condition);
    let has = |device: fn(&Device) -> bool| circuit.branches.iter().any(|b| device(&b.device));
    let stores = has(|d| matches!(d, Device::Capacitor { .. } | Device::Inductor { .. }));
    let warms = has(|d| matches!(d, Device::Filament { .. }))
        || context.jig.parts.iter().any(|p| matches!(p.kind, PartKind::Thermistor(_)));
    if context.jig.supply.mains.is_some() {
        if condition.faults.is_empty() && (stores || warms) {
            switch_on(context, &condition, &circuit, recorder);
        }
        if charge_could_matter(context, &circuit) {
            unplug(context, &condition, &circuit, recorder);
        }
    }
    put_on(context, &condition, &circuit, recorder);
}

/// Volts left between two nets so many seconds after the plug was pulled at the worst phase (or, of a jig without mains,
/// after what is charged was put on), in one condition.
///
/// # Errors
/// Why it could not be solved.
pub(crate) fn left_between(
    context: &SurveyContext,
    condition: &Condition,
    nets: [NetId; 2],
    seconds: f64,
) -> Result<f64, NotSolved> {
    let model = context.model;
    let circuit = context.circuit(condition);
    let (mut pulled, states) = if context.jig.supply.mains.is_some() {
        let (states, phases) = worst_phases(context, &circuit, condition.level)?;
        let states: Vec<Vec<f64>> = phases.into_iter().map(|k| states[k].clone()).collect();
        (model.unplugged(circuit), states)
    } else {
        let charged = charged(context, condition);
        let put_on = |polarity| state_of(&charged, polarity, circuit.branches.len());
        let states = [Polarity::Stated, Polarity::Reversed].map(put_on).to_vec();
        (circuit, states)
    };
    let [a, b] = nets.map(|n| model.node[n]);
    let meter = pulled.branches.len();
    pulled.branches.push(Branch { a, b, device: Device::Meter });
    let until = Until { seconds: seconds.max(INSTANT), falls_below: None };
    let mut most: f64 = 0.0;
    for mut state in states {
        state.resize(pulled.branches.len(), 0.0);
        let t = consistent(Solver::new(&pulled)?.transient(1.0, &Start { angle: 0.0, state }, &until)?)?;
        most = most.max(t.volts[meter].abs());
    }
    Ok(most)
}
