//! One job = one orientation of the plug, one setting of switches and loads, no fault or one: every supply level, the
//! tolerance corners, what a hand would draw, and the transients that belong to it.

use crate::standard::Level;

use super::condition::Condition;
use super::context::{Depth, SurveyContext};
use super::corners::corners;
use super::lamps;
use super::ledger::Ledger;
use super::measured::measured;
use super::recorder::Recorder;
use super::settle::settle;
use super::transients;

/// One job.
#[derive(Debug, Clone)]
pub(crate) struct Job {
    /// Number, which orders the results.
    pub number: u32,
    /// The condition at nominal supply.
    pub condition: Condition,
}

impl Job {
    /// The job of a condition, by its place in a list.
    pub(crate) fn numbered((number, condition): (usize, Condition)) -> Job {
        Job { number: u32::try_from(number).unwrap_or(u32::MAX), condition }
    }
}

/// Runs one job into the ledger.
pub(crate) fn run(context: &SurveyContext, job: &Job, ledger: &mut Ledger) {
    let mut recorder = Recorder::new(ledger, job.number);
    if context.jig.supply.mains.is_some() {
        steady_states(context, job, &mut recorder);
    }
    if context.depth == Depth::Full {
        transients::run(context, &job.condition, &mut recorder);
    }
}

fn steady_states(context: &SurveyContext, job: &Job, recorder: &mut Recorder) {
    let model = context.model;
    let circuit = context.circuit(&job.condition);
    let mut solver = match context.solver(&job.condition, &circuit) {
        Ok(s) => s,
        Err(why) => return recorder.unsolved(job.condition.clone(), why),
    };
    let levels: &[Level] = match context.depth {
        Depth::Full => &[Level::Nominal, Level::High, Level::Low],
        Depth::Steady => &[Level::High],
    };
    for &level in levels {
        let condition = Condition { level, ..job.condition.clone() };
        let solution = match context.solve_with(&mut solver, level) {
            Ok(s) => s,
            Err(why) => {
                recorder.unsolved(condition, why);
                continue;
            }
        };
        if job.number == 0 && level == Level::Nominal && condition.is_plain() {
            for (k, item) in model.items.iter().enumerate() {
                recorder.ledger.nominal[k] = Some(measured(item, &solution.branches));
            }
            lamps::light(context, &solver, &solution, recorder);
        }
        let at = recorder.next();
        settle(context, &circuit, condition.clone(), &solution, recorder);
        if level == Level::Low && condition.faults.is_empty() {
            lamps::strike_margins(context, &condition, recorder);
        }
        // Low mains is the harsher end only for what should work and does not: that is asked without a fault.
        let worth = level == Level::High || level == Level::Low && condition.faults.is_empty();
        if context.depth == Depth::Full && worth {
            corners(context, &condition, &circuit, &solution, at, recorder);
        }
    }
}
