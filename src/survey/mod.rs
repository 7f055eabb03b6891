//! Conditions: what is tried on a jig, solved one by one, and the worst of everything that was found. Values only: judges
//! nothing, words nothing.
// What a kind, a fault or a link is not asked about must be said: a wildcard lets a new one pass in silence.
#![deny(clippy::wildcard_enum_match_arm)]

pub(crate) mod budget;
pub(crate) mod build;
pub(crate) mod by_kind;
pub(crate) mod clearing;
pub(crate) mod condition;
pub(crate) mod context;
mod corners;
pub(crate) mod emptying;
pub(crate) mod faults;
pub(crate) mod few;
pub(crate) mod glow;
pub(crate) mod gravest;
pub(crate) mod handled;
pub(crate) mod heat;
pub(crate) mod in_use;
mod lamps;
pub(crate) mod lasting;
pub(crate) mod ledger;
pub(crate) mod measured;
pub(crate) mod model;
mod pulses;
mod put_on;
mod recorder;
pub(crate) mod records;
mod relays;
pub(crate) mod replay;
pub(crate) mod rig;
pub(crate) mod run;
pub(crate) mod settings;
mod settle;
pub(crate) mod slow;
mod switch_on;
pub(crate) mod thermal;
pub(crate) mod threads;
mod touch;
pub(crate) mod traces;
pub(crate) mod transients;
pub(crate) mod unplug;
pub(crate) mod unsolved;
mod watch;
mod watts;

pub use watch::{Stage, Watch};

use crate::jig::Jig;
use crate::standard::Level;
use budget::{Budget, MOST_CONDITIONS};
use condition::{Condition, Fault, Moment, Orientation};
use context::{Depth, SurveyContext};
use ledger::{Ledger, Outcome};
use model::Model;
use recorder::Recorder;
use run::Job;
use settings::{Setting, orientations, settings};
use unsolved::NotSolved;

/// How much to try.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Options {
    /// Faults at a time: 0 or 1.
    pub faults: u8,
    /// Threads; 0 = as many as the machine has, at most two jobs' worth.
    pub threads: usize,
    /// How long it may take.
    pub budget: Option<Budget>,
}

impl Default for Options {
    fn default() -> Self {
        Options { faults: 1, threads: 0, budget: None }
    }
}

/// A surveyed jig.
#[derive(Debug, Clone)]
pub(crate) struct Survey {
    /// The jig as a circuit.
    pub model: Model,
    /// What was found.
    pub ledger: Ledger,
    /// Whether switches and loads were each varied by themselves, there being too many combinations.
    pub settings_alone: bool,
    /// What was not failed, and why.
    pub not_failed: Vec<faults::NotFailed>,
    /// How long it might take.
    pub budget: Option<Budget>,
}

/// Tries everything.
pub(crate) fn survey(jig: &Jig, options: &Options) -> Survey {
    watched(jig, options, &Watch::default())
}

/// Tries everything; `watch` can be read from another thread while it goes on.
pub(crate) fn watched(jig: &Jig, options: &Options, watch: &Watch) -> Survey {
    surveyed(jig, options, watch, few::Thrift::default())
}

/// Tries everything, saving corners of the tolerances so.
pub(crate) fn surveyed(jig: &Jig, options: &Options, watch: &Watch, thrift: few::Thrift) -> Survey {
    let mut model = build::build(jig);
    model.base.until = options.budget.map(|b| b.until);
    let mut not_failed = vec![];
    let mut fault_sets: Vec<Vec<Fault>> = vec![vec![]];
    if options.faults > 0 {
        let (list, spared) = faults::list(jig, &model);
        fault_sets.extend(list.into_iter().map(|f| vec![f]));
        not_failed = spared;
    }
    let mut context = SurveyContext::new(jig, &model, Depth::Full);
    context.thrift = thrift;
    let mut ledger = everything(context, &fault_sets, options, watch);
    if options.budget.is_some_and(Budget::is_spent) {
        tell_out_of_time(jig, &mut ledger);
    } else {
        // What is asked of single conditions from here on would be missed in silence if it came too late.
        model.base.until = None;
    }
    Survey { ledger, settings_alone: !settings(jig).1, not_failed, model, budget: options.budget }
}

/// Every condition with these faults, and the corners that are asked for once all are known.
fn everything(mut context: SurveyContext, fault_sets: &[Vec<Fault>], options: &Options, watch: &Watch) -> Ledger {
    let (jig, budget) = (context.jig, options.budget);
    let settings = every_setting(jig);
    context.solve_sound(&conditions_in(&settings, &[]));
    let context = context;
    let all = fault_sets.iter().flat_map(|faults| conditions_in(&settings, faults)).take(MOST_CONDITIONS);
    let jobs: Vec<Job> = all
        .filter(|c| !in_use::is_double(&context, c) && !relays::pull_in(&context, c))
        .enumerate()
        .map(Job::numbered)
        .collect();
    watch.expect(jobs.len());
    let mut ledger = fresh(&context);
    // What is without a fault comes first where faults are compared with it.
    let sound = if context.has_many() { jobs.iter().take_while(|j| j.condition.faults.is_empty()).count() } else { 0 };
    for part in [&jobs[..sound], &jobs[sound..]] {
        shared(&context, options.threads, part.len(), watch, &mut ledger, |ledger, k| {
            let job = &part[k];
            if budget.is_some_and(Budget::is_spent) {
                Recorder::new(ledger, job.number).unsolved(job.condition.clone(), NotSolved::OutOfTime);
            } else {
                run::run(&context, job, ledger);
            }
        });
    }
    ledger.tried.sort_by_key(|t| t.ordinal);
    let rest = few::rest(&ledger);
    watch.expect(rest.len());
    shared(&context, options.threads, rest.len(), watch, &mut ledger, |ledger, k| {
        let job = Job::numbered((jobs.len() + k, rest[k].condition.clone()));
        rest[k].run(&context, &mut Recorder::new(ledger, job.number));
    });
    ledger.tried.sort_by_key(|t| t.ordinal);
    let of = fault_sets.len().saturating_mul(settings.len());
    if of > MOST_CONDITIONS {
        let beyond = conditions_in(&settings[..1], &fault_sets[fault_sets.len() - 1]);
        tell_unsolved(&mut ledger, beyond, NotSolved::TooManyConditions { most: MOST_CONDITIONS, of });
    }
    ledger
}

/// Files that time ran out, where nothing that was filed says so: what is asked besides the conditions may have come too late.
fn tell_out_of_time(jig: &Jig, ledger: &mut Ledger) {
    let told = ledger.tried.iter().any(|t| t.outcome == Outcome::Unsolved(NotSolved::OutOfTime));
    if !told {
        tell_unsolved(ledger, conditions(jig, &[]), NotSolved::OutOfTime);
    }
}

/// Files the first of these conditions as not solved, behind all others.
fn tell_unsolved(ledger: &mut Ledger, conditions: Vec<Condition>, why: NotSolved) {
    let number = ledger.tried.last().map_or(0, |t| t.ordinal.0.saturating_add(1));
    if let Some(condition) = conditions.into_iter().next() {
        Recorder::new(ledger, number).unsolved(condition, why);
    }
}

/// Tries nothing but these faults: in every setting, at the highest supply, values as stated, in the steady state.
pub(crate) fn only(jig: &Jig, mut model: Model, faults: &[Fault], budget: Option<Budget>) -> Survey {
    model.base.until = budget.map(|b| b.until);
    let context = SurveyContext::new(jig, &model, Depth::Steady);
    let mut ledger = fresh(&context);
    for job in conditions(jig, faults).into_iter().enumerate().map(Job::numbered) {
        run::run(&context, &job, &mut ledger);
    }
    Survey { ledger, settings_alone: !settings(jig).1, not_failed: vec![], model, budget }
}

/// Shares tasks out among threads and gathers what each found in `ledger`.
fn shared(
    context: &SurveyContext,
    threads: usize,
    tasks: usize,
    watch: &Watch,
    ledger: &mut Ledger,
    task: impl Fn(&mut Ledger, usize) + Sync,
) {
    let parts = threads::shared_out(
        threads::threads_for(threads, tasks),
        tasks,
        || fresh(context),
        |ledger, k| {
            task(ledger, k);
            watch.step();
        },
    );
    parts.into_iter().for_each(|part| ledger.merge(part));
}

/// An empty ledger of the right size.
pub(crate) fn fresh(context: &SurveyContext) -> Ledger {
    let (jig, model) = (context.jig, context.model);
    Ledger::new(model.items.len(), jig.touchables.len(), model.pair_probes.len(), jig.outlets.len())
}

/// Every setting of switches and loads, each with every orientation of the plug.
fn every_setting(jig: &Jig) -> Vec<(Setting, Orientation)> {
    let orientations = orientations(jig);
    let all = settings(jig).0.into_iter();
    all.flat_map(|setting| orientations.iter().map(move |o| (setting.clone(), *o))).collect()
}

/// These faults in these settings, at nominal supply.
fn conditions_in(settings: &[(Setting, Orientation)], faults: &[Fault]) -> Vec<Condition> {
    let one = |((switches, loads), orientation): &(Setting, Orientation)| Condition {
        level: Level::Nominal,
        orientation: *orientation,
        switches: switches.clone(),
        loads: loads.clone(),
        faults: faults.to_vec(),
        corner: vec![],
        moment: Moment::Steady,
    };
    settings.iter().map(one).collect()
}

/// Every orientation of the plug and setting in which these faults are tried, at nominal supply.
pub(crate) fn conditions(jig: &Jig, faults: &[Fault]) -> Vec<Condition> {
    conditions_in(&every_setting(jig), faults)
}

impl Survey {
    /// Conditions solved, unsolved and cleared.
    pub(crate) fn count(&self) -> crate::finding::Conditions {
        let mut n = crate::finding::Conditions::default();
        for t in &self.ledger.tried {
            match t.outcome {
                Outcome::Solved => n.solved += 1,
                Outcome::Cleared { .. } => {
                    n.solved += 1;
                    n.cleared += 1;
                }
                Outcome::Unsolved(_) => n.unsolved += 1,
            }
        }
        n
    }
}
