//! Switching on at the worst instant: the first cycle, from rest, with everything cold.

use crate::circuit::{Circuit, Device, Solver, Start, Transient, Until};
use crate::finding::Situation;
use crate::jig::{LoadKind, PartKind};
use crate::part::{Measure, Thermistor};

use super::condition::{Condition, Moment};
use super::context::SurveyContext;
use super::gravest::Ordinal;
use super::ledger::Outcome;
use super::pulses::pulses;
use super::recorder::Recorder;
use super::records::Worst;
use super::unsolved::{NotSolved, consistent};

/// Angles at which switching on is tried, degrees.
const ANGLES: [f64; 8] = [0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 270.0, 315.0];

/// Switches on at every angle.
pub(super) fn switch_on(context: &SurveyContext, condition: &Condition, circuit: &Circuit, recorder: &mut Recorder) {
    let model = context.model;
    let mut cold = circuit.clone();
    for (item, part) in model.items.iter().map(|i| (i, &context.jig.parts[i.part].kind)) {
        if let (PartKind::Thermistor(Thermistor { cold: ohms, .. }), Measure::Branch(b)) = (part, &item.measure) {
            cold.branches[*b].device = Device::Resistor { ohms: *ohms };
        }
    }
    let first_cycle = Until { seconds: 1.0 / circuit.hertz, falls_below: None };
    let loads = context.jig.outlets.iter().zip(&condition.loads);
    let shorted = loads.filter_map(|(o, l)| o.loads.get(*l)).any(|l| l.kind == LoadKind::Short);
    for degrees in ANGLES {
        let c = Condition { moment: Moment::SwitchedOn { degrees }, ..condition.clone() };
        let start = Start { angle: f64::to_radians(degrees), state: vec![] };
        let run = Solver::new(&cold).and_then(|mut s| s.transient(context.scale(c.level), &start, &first_cycle));
        match run.map_err(NotSolved::from).and_then(consistent) {
            Ok(t) => {
                let at = recorder.tried(c, Outcome::Solved);
                recorder.ledger.take(&model.items, &t.branches, Situation::Transient, at);
                pulses(context, condition, &t, at, recorder);
                // The first cycle of what is meant to be switched on: a shorted outlet is not.
                if !shorted {
                    inrush(context, &t, at, recorder);
                }
            }
            Err(why) => recorder.unsolved(c, why),
        }
    }
}

fn inrush(context: &SurveyContext, t: &Transient, at: Ordinal, recorder: &mut Recorder) {
    for (k, item) in context.model.items.iter().enumerate() {
        let branches: &[usize] = match &item.measure {
            Measure::Branch(b) => &[*b],
            Measure::Series(list, _) => &list[..1],
            Measure::Bridge(arms) => &arms[..],
        };
        let most = |f: &dyn Fn(usize) -> f64| branches.iter().map(|b| f(*b)).fold(0.0, f64::max);
        let lasting = &mut recorder.ledger.lasting;
        lasting.inrush[k].take(Worst { value: most(&|b| t.branches[b].i_peak()), at });
        lasting.inrush_i2t[k].take(Worst { value: most(&|b| t.i2t[b]), at });
    }
}
