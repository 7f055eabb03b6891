//! Conditions: what is tried on a jig, solved one by one, and the worst of everything that was found. Judges nothing.

pub mod build;
pub mod clearing;
pub mod condition;
mod corners;
pub mod faults;
pub mod lasting;
pub mod ledger;
pub mod measured;
pub mod model;
pub mod replay;
pub mod run;
pub mod transients;
mod watch;

pub use watch::Watch;

use std::sync::atomic::{AtomicUsize, Ordering};

use crate::jig::Jig;
use condition::{Condition, Level, settings, ways, words};
use ledger::{Ledger, Ordinal, Outcome};
use model::Model;
use run::{Bench, Depth, Job};

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
    /// Whether switches and loads were each varied by themselves, there being too many combinations.
    pub settings_alone: bool,
    /// What was not failed, and why.
    pub not_failed: Vec<faults::NotFailed>,
}

/// Tries everything.
pub fn survey(jig: &Jig, options: &Options) -> Survey {
    watched(jig, options, &Watch::default())
}

/// Tries everything; `watch` can be read from another thread while it goes on.
pub fn watched(jig: &Jig, options: &Options, watch: &Watch) -> Survey {
    let model = build::build(jig);
    let mut not_failed = vec![];
    let mut fault_sets: Vec<Vec<condition::Fault>> = vec![vec![]];
    if options.faults > 0 {
        let (list, spared) = faults::list(jig, &model);
        fault_sets.extend(list.into_iter().map(|f| vec![f]));
        not_failed = spared;
    }
    let bench = Bench::new(jig, &model, Depth::Full);
    let jobs: Vec<Job> =
        fault_sets.iter().flat_map(|faults| conditions(jig, faults)).enumerate().map(Job::numbered).collect();
    let threads = hands(options.threads, jobs.len());
    watch.expect(jobs.len());
    let parts = shared_out(
        threads,
        jobs.len(),
        || fresh(&bench),
        |ledger, k| {
            run::run(&bench, &jobs[k], ledger);
            watch.step();
        },
    );
    let mut ledger = fresh(&bench);
    parts.into_iter().for_each(|part| ledger.merge(part));
    ledger.tried.sort_by_key(|t| t.ordinal);
    Survey { ledger, settings_alone: !settings(jig).1, not_failed, model }
}

/// An empty ledger of the right size.
pub fn fresh(bench: &Bench) -> Ledger {
    let (jig, model) = (bench.jig, bench.model);
    Ledger::new(model.items.len(), jig.touchables.len(), model.pair_probes.len(), jig.outlets.len())
}

/// Every way round and setting in which these faults are tried, at nominal supply.
pub fn conditions(jig: &Jig, faults: &[condition::Fault]) -> Vec<Condition> {
    let ways = ways(jig);
    let one = |(switches, loads): &condition::Setting, way| Condition {
        level: Level::Nominal,
        way,
        switches: switches.clone(),
        loads: loads.clone(),
        faults: faults.to_vec(),
        corner: vec![],
        moment: String::new(),
    };
    settings(jig).0.iter().flat_map(|setting| ways.iter().map(move |way| one(setting, *way))).collect()
}

/// Threads for so many tasks: a thread costs more to start than a few conditions take.
pub fn hands(wanted: usize, tasks: usize) -> usize {
    let there = || std::thread::available_parallelism().map_or(1, usize::from);
    let wanted = if wanted == 0 { there() } else { wanted };
    wanted.min(tasks / 8 + 1)
}

/// Shares tasks `0..tasks` out to threads, each with a desk of its own, and gives the desks back.
pub fn shared_out<D: Send>(
    threads: usize,
    tasks: usize,
    desk: impl Fn() -> D + Sync,
    task: impl Fn(&mut D, usize) + Sync,
) -> Vec<D> {
    let next = AtomicUsize::new(0);
    let labour = || {
        let mut mine = desk();
        loop {
            let k = next.fetch_add(1, Ordering::Relaxed);
            if k >= tasks {
                return mine;
            }
            task(&mut mine, k);
        }
    };
    if threads <= 1 {
        return vec![labour()];
    }
    std::thread::scope(|s| {
        let others: Vec<_> = (1..threads).map(|_| s.spawn(labour)).collect();
        let mut all = vec![labour()];
        for other in others {
            match other.join() {
                Ok(desk) => all.push(desk),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        all
    })
}

impl Survey {
    /// Conditions solved, unsolved and cleared.
    pub fn count(&self) -> crate::finding::Conditions {
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

    /// A condition in words.
    pub fn words(&self, jig: &Jig, at: Ordinal) -> String {
        self.ledger.tried_at(at).map_or_else(String::new, |t| words(jig, &self.model.items, &t.condition))
    }
}
