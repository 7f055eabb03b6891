//! Conditions: what is tried on a jig, solved one by one, and the worst of everything that was found. Judges nothing.

pub mod clearing;
pub mod condition;
mod corners;
pub mod faults;
pub mod lasting;
pub mod ledger;
pub mod model;
pub mod run;
mod transients;

use std::sync::atomic::{AtomicUsize, Ordering};

use crate::jig::Jig;
use condition::{Condition, Level, settings, ways, words};
use ledger::{Ledger, Ordinal, Outcome};
use model::Model;
use run::{Bench, Job};

/// How much to try.
#[derive(Debug, Clone, Copy)]
pub struct Options {
    /// Faults at a time: 0 or 1.
    pub faults: u8,
    /// Threads; 0 = as many as the machine has, at most two jobs' worth.
    pub threads: usize,
}

impl Default for Options {
    fn default() -> Self {
        Options { faults: 1, threads: 0 }
    }
}

/// A surveyed jig.
#[derive(Debug, Clone)]
pub struct Survey {
    /// The jig as a circuit.
    pub model: Model,
    /// What was found.
    pub ledger: Ledger,
    /// What was left out, in words.
    pub not_checked: Vec<String>,
}

/// Tries everything.
pub fn survey(jig: &Jig, options: &Options) -> Survey {
    let model = model::build(jig);
    let bench = Bench::new(jig, &model);
    let (settings, complete) = settings(jig);
    let mut not_checked = model.assumptions.clone();
    if !complete {
        not_checked.push(
            "there are too many switch positions and loads for every combination: each was varied by itself".into(),
        );
    }
    let mut fault_sets: Vec<Vec<condition::Fault>> = vec![vec![]];
    if options.faults > 0 {
        let (list, spared) = faults::list(jig, &model);
        fault_sets.extend(list.into_iter().map(|f| vec![f]));
        not_checked.extend(spared);
    }
    let mut jobs = vec![];
    for faults in &fault_sets {
        for (switches, loads) in &settings {
            for way in ways(jig) {
                let condition = Condition {
                    level: Level::Nominal,
                    way,
                    switches: switches.clone(),
                    loads: loads.clone(),
                    faults: faults.clone(),
                    corner: vec![],
                    moment: String::new(),
                };
                jobs.push(Job { number: jobs.len() as u32, condition });
            }
        }
    }
    let threads = match options.threads {
        0 => std::thread::available_parallelism().map_or(1, usize::from),
        n => n,
    };
    // A thread costs more to start than a few conditions take.
    let threads = threads.min(jobs.len() / 8 + 1);
    let ledger = work(&bench, &jobs, threads);
    Survey { ledger, not_checked, model }
}

fn work(bench: &Bench, jobs: &[Job], threads: usize) -> Ledger {
    let (jig, model) = (bench.jig, bench.model);
    let fresh = || Ledger::new(model.items.len(), jig.touchables.len(), model.pair_probes.len(), jig.outlets.len());
    let next = AtomicUsize::new(0);
    let labour = || {
        let mut ledger = fresh();
        while let Some(job) = jobs.get(next.fetch_add(1, Ordering::Relaxed)) {
            run::run(bench, job, &mut ledger);
        }
        ledger
    };
    let mut whole = if threads <= 1 {
        labour()
    } else {
        std::thread::scope(|s| {
            let hands: Vec<_> = (1..threads).map(|_| s.spawn(labour)).collect();
            let mut whole = labour();
            for h in hands {
                match h.join() {
                    Ok(l) => whole.merge(l),
                    Err(panic) => std::panic::resume_unwind(panic),
                }
            }
            whole
        })
    };
    whole.tried.sort_by_key(|t| t.ordinal);
    whole
}

impl Survey {
    /// Conditions solved, unsolved and cleared.
    pub fn count(&self) -> crate::judgement::Conditions {
        let mut n = crate::judgement::Conditions::default();
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

    /// A condition in words.
    pub fn words(&self, jig: &Jig, at: Ordinal) -> String {
        self.ledger.tried_at(at).map_or_else(String::new, |t| words(jig, &self.model.items, &t.condition))
    }
}
