//! A charged capacitor of the jig or on an outlet: both polarities, until it may be handled.

use crate::circuit::{Circuit, Solver, Start, Until};
use crate::finding::Situation;
use crate::jig::{Ends, LoadKind, PartKind};
use crate::part::{Capacitor, Measure};
use crate::standard;

use super::condition::{Condition, Moment, Polarity};
use super::context::SurveyContext;
use super::handled::{Places, farads};
use super::ledger::Outcome;
use super::pulses::pulses;
use super::recorder::Recorder;
use super::records::{ChargeSide, Left};
use super::settle::broken;
use super::transients::INSTANT;
use super::unplug::{note, pulled};
use super::unsolved::{NotSolved, consistent};

/// Seconds after which a discharge that has not come to its end is given up.
const PATIENCE: f64 = 60.0;

/// Part of the patience within which it has come to its end.
const ROUNDING: f64 = 1e-9;

/// What stands charged before anything begins.
pub(super) struct Charged {
    pub(super) branch: usize,
    pub(super) volts: f64,
    nets: Ends,
}

/// Everything that stands charged before anything begins.
pub(super) fn charged(context: &SurveyContext, condition: &Condition) -> Vec<Charged> {
    let (jig, model) = (context.jig, context.model);
    let mut charged = vec![];
    for (k, (outlet, &load)) in jig.outlets.iter().zip(&condition.loads).enumerate() {
        if let Some(LoadKind::Charged(_, volts)) = outlet.loads.get(load).map(|l| l.kind) {
            charged.push(Charged { branch: model.outlet_branches[k], volts, nets: outlet.across });
        }
    }
    for item in &model.items {
        if let (PartKind::Capacitor(Capacitor { charged: Some(v), across, .. }), Measure::Branch(b)) =
            (&jig.parts[item.part].kind, &item.measure)
        {
            charged.push(Charged { branch: *b, volts: *v, nets: *across });
        }
    }
    charged
}

/// The state of a circuit when it begins.
pub(super) fn state_of(charged: &[Charged], polarity: Polarity, branches: usize) -> Vec<f64> {
    let sign = match polarity {
        Polarity::Stated => 1.0,
        Polarity::Reversed => -1.0,
    };
    let mut state = vec![0.0; branches];
    charged.iter().for_each(|c| state[c.branch] = sign * c.volts);
    state
}

/// Puts it on and waits until it may be handled.
pub(super) fn put_on(context: &SurveyContext, condition: &Condition, circuit: &Circuit, recorder: &mut Recorder) {
    let (jig, model) = (context.jig, context.model);
    let charged = charged(context, condition);
    let Some(first) = charged.first() else { return };
    if jig.supply.mains.is_some() && !condition.faults.is_empty() {
        return;
    }
    let circuit = if jig.supply.mains.is_some() { model.unplugged(circuit.clone()) } else { circuit.clone() };
    let handled = standard::discharge::handle_below().value;
    meanwhile(context, condition, &circuit, recorder);
    let until = Until { seconds: PATIENCE, falls_below: Some((first.branch, handled)) };
    let kind = condition.kind();
    for polarity in [Polarity::Stated, Polarity::Reversed] {
        let start = Start { angle: 0.0, state: state_of(&charged, polarity, circuit.branches.len()) };
        let c = Condition { moment: Moment::PutOn { volts: first.volts, polarity }, ..condition.clone() };
        let run = Solver::new(&circuit).and_then(|mut s| s.transient(1.0, &start, &until));
        let t = match run.map_err(NotSolved::from).and_then(consistent) {
            Ok(t) => t,
            Err(why) => {
                recorder.unsolved(c, why);
                continue;
            }
        };
        let at = recorder.tried(c, Outcome::Solved);
        recorder.ledger.take(&model.items, &t.branches, Situation::Transient, at);
        pulses(context, condition, &t, at, recorder);
        let broken = broken(context, condition);
        recorder.ledger.lasting.take_put_on(model, &t, kind, &broken, at);
        slowest(context, condition, &charged, polarity, recorder);
    }
}

/// How long it takes at most until it may be handled: every toleranced value at its upper end.
fn slowest(
    context: &SurveyContext,
    condition: &Condition,
    charged: &[Charged],
    polarity: Polarity,
    recorder: &mut Recorder,
) {
    let Some(first) = charged.first() else { return };
    let (condition, circuit) = pulled(context, condition);
    let handled = standard::discharge::handle_below().value;
    let until = Until { seconds: PATIENCE, falls_below: Some((first.branch, handled)) };
    let start = Start { angle: 0.0, state: state_of(charged, polarity, circuit.branches.len()) };
    let c = Condition { moment: Moment::PutOn { volts: first.volts, polarity }, ..condition };
    let run = Solver::new(&circuit).and_then(|mut s| s.transient(1.0, &start, &until));
    let t = match run.map_err(NotSolved::from).and_then(consistent) {
        Ok(t) => t,
        Err(why) => return recorder.unsolved(c, why),
    };
    let kind = c.kind();
    let at = recorder.tried(c, Outcome::Solved);
    // Where it came to an end, it came to what may be handled: the last step goes a little past it or not quite there.
    let ended = t.seconds < PATIENCE * (1.0 - ROUNDING);
    let volts = if ended { t.volts[first.branch].abs().min(handled) } else { t.volts[first.branch].abs() };
    let farads = farads(&circuit.branches[first.branch].device).unwrap_or_default();
    let between = first.nets.map(ChargeSide::Net);
    let left = Left::none(at, kind);
    recorder.ledger.take_left(Left { between, seconds: t.seconds, volts, farads, took: true, ..left });
}

/// Puts it on and looks at once what a hand meets meanwhile: what can be touched against everything else.
fn meanwhile(context: &SurveyContext, condition: &Condition, circuit: &Circuit, recorder: &mut Recorder) {
    let charged = charged(context, condition);
    let mut circuit = circuit.clone();
    let places = Places::metered(context.jig, context.model, &mut circuit);
    for polarity in [Polarity::Stated, Polarity::Reversed] {
        let Some(first) = charged.first() else { return };
        let c = Condition { moment: Moment::PutOn { volts: first.volts, polarity }, ..condition.clone() };
        let start = Start { angle: 0.0, state: state_of(&charged, polarity, circuit.branches.len()) };
        let until = Until { seconds: INSTANT, falls_below: None };
        let run = Solver::new(&circuit).and_then(|mut s| s.transient(1.0, &start, &until));
        let noted = run.map_err(NotSolved::from).and_then(consistent).and_then(|t| {
            let at = recorder.tried(c.clone(), Outcome::Solved);
            note(context, &circuit, &places, &t, Left::none(at, condition.kind()), recorder)
        });
        if let Err(why) = noted {
            recorder.unsolved(c, why);
        }
    }
}
