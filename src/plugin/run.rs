//! Runs plugins, each on a thread of its own that can be left behind, side by side; puts what they found into a judgement.
//! A plugin that fails makes the check incomplete and changes nothing else.

use super::folder::Plugin;
use super::manifest::SettingValue;
use super::results::{Made, taken, tidy};
use super::view::furnish;
use super::vm::{self, Failed, Failure, Limits};
use super::what_if::Subject;
use crate::judgement::{FilePlace, Finding, Judgement, PluginRun, Signal};
use std::collections::BTreeMap;
use std::rc::Rc;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::time::{Duration, Instant};

/// Nested sources need this much in an unoptimised build.
const STACK: usize = 8 << 20;

/// What a plugin came to.
pub type Outcome = Result<Vec<Finding>, Failed>;

/// A plugin at work.
struct Worker {
    stop: Arc<AtomicBool>,
    answer: Receiver<Outcome>,
    started: Instant,
}

fn start(plugin: &Plugin, settings: BTreeMap<String, SettingValue>, subject: &Arc<Subject>, limits: Limits) -> Worker {
    let stop = Arc::new(AtomicBool::new(false));
    let (tell, answer) = mpsc::channel();
    let (plugin, subject, flag) = (plugin.clone(), Arc::clone(subject), Arc::clone(&stop));
    let work = move || {
        let alive = std::panic::AssertUnwindSafe(|| alone(&plugin, settings, &subject, limits, flag));
        let outcome = std::panic::catch_unwind(alive);
        // Whoever waited may have turned away.
        let _ =
            tell.send(outcome.unwrap_or_else(|_| Err(Failed::new(Failure::Panic, "this is a fault of the program"))));
    };
    // A thread that could not be started drops `tell`, which is told as a panic below.
    let _ = std::thread::Builder::new().name("plugin".into()).stack_size(STACK).spawn(work);
    Worker { stop, answer, started: Instant::now() }
}

impl Worker {
    fn outcome(self, limits: Limits) -> Outcome {
        let time = Duration::from_millis(limits.milliseconds).saturating_sub(self.started.elapsed());
        let died = || Err(Failed::new(Failure::Panic, "this is a fault of the program"));
        match self.answer.recv_timeout(time) {
            Ok(outcome) => return outcome,
            Err(RecvTimeoutError::Disconnected) => return died(),
            Err(RecvTimeoutError::Timeout) => self.stop.store(true, Ordering::Relaxed),
        }
        match self.answer.recv_timeout(Duration::from_millis(limits.grace)) {
            Ok(outcome) => outcome.and(Err(Failed::new(Failure::OutOfTime, ""))),
            Err(RecvTimeoutError::Disconnected) => died(),
            Err(RecvTimeoutError::Timeout) => Err(Failed::new(Failure::DoesNotStop, "its thread was left behind")),
        }
    }
}

/// One plugin in a fresh machine, on the thread it is called from.
fn alone(
    plugin: &Plugin,
    settings: BTreeMap<String, SettingValue>,
    subject: &Arc<Subject>,
    limits: Limits,
    stop: Arc<AtomicBool>,
) -> Outcome {
    let (manifest, made) = (Rc::new(plugin.manifest.clone()), Made::default());
    let kept = Rc::clone(&made);
    vm::run(
        &plugin.source,
        &plugin.manifest.id,
        limits,
        stop,
        |lua, meter| furnish(lua, meter, subject, &manifest, settings, &made),
        |result| taken(&result, &kept),
    )
}

/// Runs one plugin on a jig.
pub fn one(
    plugin: &Plugin,
    settings: BTreeMap<String, SettingValue>,
    subject: &Arc<Subject>,
    limits: Limits,
) -> Outcome {
    start(plugin, settings, subject, limits).outcome(limits)
}

/// A plugin that was found, or why it cannot be used.
#[derive(Debug, Clone, PartialEq)]
// Made once a plugin: its size does not matter.
#[allow(clippy::large_enum_variant)]
pub enum Found {
    /// It can be run.
    Ready(Plugin),
    /// It must not be run, and why: a changed byte, a known-bad record, a manifest that cannot be read.
    Stopped {
        /// Its id, or the name of its folder.
        id: String,
        /// Its version, where it is known.
        version: String,
        /// Hash of its bytes, where they could be read.
        sha256: String,
        /// Why.
        why: String,
    },
}

/// Runs every plugin that is for the jig's unit, side by side, and puts what they found into the judgement.
pub fn all(found: &[Found], subject: &Arc<Subject>, judgement: &mut Judgement, limits: Limits) {
    let jig = &subject.jig;
    let mut at_work: Vec<(&Plugin, Result<Worker, Failed>)> = vec![];
    for f in found {
        match f {
            Found::Ready(p) if p.manifest.units.contains(&jig.unit) => {
                let worker = super::settings::of(jig, &p.manifest).map(|s| start(p, s, subject, limits));
                at_work.push((p, worker.map_err(|why| Failed::new(Failure::Error, why))));
            }
            Found::Ready(p) => {
                let why = format!("for {}", p.manifest.units.join(", "));
                judgement.plugins.push(PluginRun { outcome: "skipped", why, ..run_of(p) });
            }
            Found::Stopped { id, version, sha256, why } => {
                judgement.plugins.push(PluginRun {
                    id: id.clone(),
                    version: version.clone(),
                    sha256: sha256.clone(),
                    vetted_by: vec![],
                    outcome: "failed",
                    why: why.clone(),
                });
                judgement.findings.push(failed(subject, id, why));
            }
        }
    }
    for (p, worker) in at_work {
        match worker.and_then(|w| w.outcome(limits)) {
            Ok(findings) => {
                judgement.findings.extend(findings);
                judgement.plugins.push(run_of(p));
            }
            Err(f) => {
                let why = told(p, &f);
                judgement.findings.push(failed(subject, &p.manifest.id, &why));
                judgement.plugins.push(PluginRun { outcome: "failed", why, ..run_of(p) });
            }
        }
    }
    judgement.plugins.sort_by(|a, b| (&a.id, &a.version).cmp(&(&b.id, &b.version)));
    judgement.findings.sort_by_key(|f| f.signal);
}

/// A failure in words, with file and line.
pub fn told(plugin: &Plugin, f: &Failed) -> String {
    let line = f.line.map_or(String::new(), |l| format!(":{l}"));
    let message = if f.message.is_empty() { String::new() } else { format!(": {}", tidy(&f.message)) };
    format!("{} ({}/check.lua{line}){message}", f.failure.words(), plugin.manifest.id)
}

fn run_of(p: &Plugin) -> PluginRun {
    PluginRun {
        id: p.manifest.id.clone(),
        version: p.manifest.version.to_string(),
        sha256: p.sha256.clone(),
        vetted_by: p.vetted_by.clone(),
        outcome: "ran",
        why: String::new(),
    }
}

/// A plugin that could not say anything is itself a finding.
fn failed(subject: &Subject, id: &str, why: &str) -> Finding {
    let place =
        subject.jig.places.get("jig.unit").or_else(|| subject.jig.places.get("jig")).copied().unwrap_or_default();
    Finding {
        check: "plugin-failed".into(),
        signal: Signal::Warning,
        source_of_check: "core".into(),
        parts: vec![],
        nets: vec![],
        touchables: vec![],
        condition: String::new(),
        quantity: String::new(),
        value: None,
        unit: String::new(),
        limit: None,
        margin: None,
        source: "common practice".into(),
        message: format!("the plugin {id} came to no end, so nothing is known of what it looks for: {why}"),
        remedy:
            "have the plugin mended, or ask whoever shared it; what it looks for has to be looked at by hand until then"
                .into(),
        place: FilePlace { file: subject.jig.file.clone(), line: place.line.max(1), column: place.column.max(1) },
        accepted: None,
    }
}
