//! Plugins at work, each on a thread of its own that can be left behind, side by side. Must not know what becomes of their
//! findings.

use super::folder::Plugin;
use super::manifest::SettingValue;
use super::results::{Made, read_back};
use super::view::provide;
use super::vm::{self, Bounds, Failed, Failure};
use super::what_if::Subject;
use crate::finding::Finding;
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::time::{Duration, Instant};

/// Nested sources need this much in an unoptimised build.
const STACK: usize = 8 << 20;

/// What a plugin came to.
pub(crate) type RunResult = Result<Vec<Finding>, Failed>;

/// A plugin at work.
pub(super) struct Worker {
    stop: Arc<AtomicBool>,
    answer: Receiver<RunResult>,
    started: Instant,
}

/// Starts a plugin.
pub(super) fn start(
    plugin: &Plugin,
    settings: BTreeMap<String, SettingValue>,
    subject: &Arc<Subject>,
    bounds: Bounds,
) -> Worker {
    let stop = Arc::new(AtomicBool::new(false));
    let (sender, answer) = mpsc::channel();
    let (plugin, subject, flag) = (plugin.clone(), Arc::clone(subject), Arc::clone(&stop));
    let work = move || {
        let alive = std::panic::AssertUnwindSafe(|| alone(&plugin, settings, &subject, bounds, flag));
        let outcome = std::panic::catch_unwind(alive);
        // Whoever waited may have turned away.
        let _ =
            sender.send(outcome.unwrap_or_else(|_| Err(Failed::new(Failure::Panic, "this is a fault of the program"))));
    };
    // A thread that could not be started drops `sender`, which is told as a panic below.
    let _ = std::thread::Builder::new().name("plugin".into()).stack_size(STACK).spawn(work);
    Worker { stop, answer, started: Instant::now() }
}

/// Waits for workers side by side: all have the same time, and those that are still at work then the same grace, so that ten
/// that do not stop take no longer than one.
pub(super) fn outcomes(workers: Vec<Worker>, bounds: Bounds) -> Vec<RunResult> {
    let died = || Err(Failed::new(Failure::Panic, "this is a fault of the program"));
    let time = Duration::from_millis(bounds.milliseconds);
    let in_time = |w: &Worker| match w.answer.recv_timeout(time.saturating_sub(w.started.elapsed())) {
        Ok(outcome) => Some(outcome),
        Err(RecvTimeoutError::Disconnected) => Some(died()),
        Err(RecvTimeoutError::Timeout) => {
            w.stop.store(true, Ordering::Relaxed);
            None
        }
    };
    let first: Vec<Option<RunResult>> = workers.iter().map(in_time).collect();
    let end = Instant::now() + Duration::from_millis(bounds.grace);
    let late = |w: &Worker| match w.answer.recv_timeout(end.saturating_duration_since(Instant::now())) {
        Ok(outcome) => outcome.and(Err(Failed::new(Failure::OutOfTime, ""))),
        Err(RecvTimeoutError::Disconnected) => died(),
        Err(RecvTimeoutError::Timeout) => Err(Failed::new(Failure::DoesNotStop, "its thread was left behind")),
    };
    workers.iter().zip(first).map(|(w, outcome)| outcome.unwrap_or_else(|| late(w))).collect()
}

/// Machines at work at once: what all of them together may hold of the machine is bounded by it.
const AT_ONCE: usize = 4;
/// How many times the time of one plugin all of them may take together, those left behind included.
const TURNS: u64 = 16;

/// Runs plugins, a few at a time: what they came to, in their order. When those that hang have used up the time of all, the
/// others are not started.
pub(super) fn in_turns(
    plugins: Vec<(&Plugin, BTreeMap<String, SettingValue>)>,
    subject: &Arc<Subject>,
    bounds: Bounds,
) -> Vec<RunResult> {
    let end = Instant::now() + Duration::from_millis(bounds.milliseconds.saturating_mul(TURNS));
    let (mut came, mut left_behind) = (vec![], 0);
    let mut waiting = plugins.into_iter().peekable();
    while waiting.peek().is_some() {
        let turn: Vec<_> = waiting.by_ref().take(AT_ONCE).collect();
        if Instant::now() > end || left_behind >= AT_ONCE {
            let words = "other plugins used up the time there is for all of them";
            came.extend(turn.iter().map(|_| Err(Failed::new(Failure::OutOfTime, words))));
            continue;
        }
        let workers = turn.into_iter().map(|(p, settings)| start(p, settings, subject, bounds)).collect();
        let outcomes = outcomes(workers, bounds);
        let hangs = |o: &&RunResult| matches!(o, Err(f) if f.failure == Failure::DoesNotStop);
        left_behind += outcomes.iter().filter(hangs).count();
        came.extend(outcomes);
    }
    came
}

/// One plugin in a fresh machine, on the thread it is called from: nobody can turn away from it.
pub(crate) fn alone(
    plugin: &Plugin,
    settings: BTreeMap<String, SettingValue>,
    subject: &Arc<Subject>,
    bounds: Bounds,
    stop: Arc<AtomicBool>,
) -> RunResult {
    let (manifest, made) = (Rc::new(plugin.manifest.clone()), Made::default());
    let kept = Rc::clone(&made);
    vm::run(
        &plugin.source,
        &plugin.manifest.id,
        bounds,
        stop,
        |lua, meter| provide(lua, meter, subject, &manifest, settings, &made),
        |result| read_back(&result, &kept),
    )
}

/// Runs one plugin on a jig.
pub(crate) fn one(
    plugin: &Plugin,
    settings: BTreeMap<String, SettingValue>,
    subject: &Arc<Subject>,
    bounds: Bounds,
) -> RunResult {
    let outcome = outcomes(vec![start(plugin, settings, subject, bounds)], bounds).pop();
    outcome.unwrap_or_else(|| Err(Failed::new(Failure::Panic, "this is a fault of the program")))
}
