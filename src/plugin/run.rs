//! Runs plugins, each on a thread of its own that can be left behind, side by side; puts what they found into a judgement.
//! A plugin that fails makes the check incomplete and changes nothing else.

use super::folder::Plugin;
use super::manifest::SettingValue;
use super::results::{Made, taken, tidy};
use super::view::furnish;
use super::vm::{self, Failed, Failure, Limits};
use super::what_if::Subject;
use crate::finding::{CheckId, FilePlace, Finding, Judgement, PluginRun, Signal};
use crate::jig::{Jig, Place};
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

/// Waits for workers side by side: all have the same time, and those that are still at work then the same grace, so that ten
/// that do not stop take no longer than one.
fn outcomes(workers: Vec<Worker>, limits: Limits) -> Vec<Outcome> {
    let died = || Err(Failed::new(Failure::Panic, "this is a fault of the program"));
    let time = Duration::from_millis(limits.milliseconds);
    let in_time = |w: &Worker| match w.answer.recv_timeout(time.saturating_sub(w.started.elapsed())) {
        Ok(outcome) => Some(outcome),
        Err(RecvTimeoutError::Disconnected) => Some(died()),
        Err(RecvTimeoutError::Timeout) => {
            w.stop.store(true, Ordering::Relaxed);
            None
        }
    };
    let first: Vec<Option<Outcome>> = workers.iter().map(in_time).collect();
    let end = Instant::now() + Duration::from_millis(limits.grace);
    let late = |w: &Worker| match w.answer.recv_timeout(end.saturating_duration_since(Instant::now())) {
        Ok(outcome) => outcome.and(Err(Failed::new(Failure::OutOfTime, ""))),
        Err(RecvTimeoutError::Disconnected) => died(),
        Err(RecvTimeoutError::Timeout) => Err(Failed::new(Failure::DoesNotStop, "its thread was left behind")),
    };
    workers.iter().zip(first).map(|(w, outcome)| outcome.unwrap_or_else(|| late(w))).collect()
}

/// One plugin in a fresh machine, on the thread it is called from: nobody can turn away from it.
pub fn alone(
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
    let outcome = outcomes(vec![start(plugin, settings, subject, limits)], limits).pop();
    outcome.unwrap_or_else(|| Err(Failed::new(Failure::Panic, "this is a fault of the program")))
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

/// Runs every plugin that is for the jig's unit, side by side, and puts what they found into the judgement. `today` is an
/// ISO date, against which acceptances lapse.
pub fn all(found: &[Found], subject: &Arc<Subject>, judgement: &mut Judgement, limits: Limits, today: &str) {
    let jig = &subject.jig;
    let (mut at_work, mut workers, mut findings) = (vec![], vec![], vec![]);
    let mut fails = |run: PluginRun, why: String, mend: &str, findings: &mut Vec<Finding>| {
        findings.push(failed(subject, &format!("the plugin {} did not run", run.id), &why, mend));
        judgement.plugins.push(PluginRun { outcome: "failed", why, ..run });
    };
    for f in found {
        match f {
            Found::Ready(p) if p.manifest.units.contains(&jig.unit) => match super::settings::of(jig, &p.manifest) {
                Ok(settings) => {
                    workers.push(start(p, settings, subject, limits));
                    at_work.push(p);
                }
                Err(why) => {
                    let mend = format!("correct [plugin.{}] in the jig file", p.manifest.id);
                    fails(run_of(p), why, &mend, &mut findings);
                }
            },
            Found::Ready(_) => {}
            Found::Stopped { id, version, sha256, why } => {
                let (id, version, sha256) = (id.clone(), version.clone(), sha256.clone());
                let run = PluginRun { id, version, sha256, vetted_by: vec![], outcome: "failed", why: String::new() };
                fails(
                    run,
                    why.clone(),
                    "add one that may run, or remove it (`check --lock` writes a lock anew)",
                    &mut findings,
                );
            }
        }
    }
    for (id, place) in absent(found, jig) {
        let run = PluginRun {
            id: id.to_string(),
            version: String::new(),
            sha256: String::new(),
            vetted_by: vec![],
            outcome: "failed",
            why: String::new(),
        };
        let at = format!("{}:{}:{}", jig.file, place.line, place.column);
        let why = format!("{at} sets something for it, and it is not here");
        fails(run, why, &format!("add the plugin, or take [plugin.{id}] out of the file"), &mut findings);
    }
    for (p, outcome) in at_work.into_iter().zip(outcomes(workers, limits)) {
        match outcome {
            Ok(own) => {
                findings.extend(own);
                judgement.plugins.push(run_of(p));
            }
            Err(f) => {
                let why = told(p, &f);
                let what = format!("the plugin {} came to no end", p.manifest.id);
                findings.push(failed(subject, &what, &why, "have the plugin mended, or ask whoever shared it"));
                judgement.plugins.push(PluginRun { outcome: "failed", why, ..run_of(p) });
            }
        }
    }
    for f in found {
        let Found::Ready(p) = f else { continue };
        if !p.manifest.units.contains(&jig.unit) {
            let set = jig.plugin_settings.iter().any(|s| s.plugin == p.manifest.id);
            let though = if set { ", though this jig sets something for it" } else { "" };
            let why = format!("for {}{though}", p.manifest.units.join(", "));
            judgement.plugins.push(PluginRun { outcome: "skipped", why, ..run_of(p) });
        }
    }
    judgement.plugins.sort_by(|a, b| (&a.id, &a.version).cmp(&(&b.id, &b.version)));
    crate::checks::add(jig, &subject.survey, judgement, findings, today);
}

/// Plugins the jig sets something for that were not found: what they look for is not looked at.
fn absent<'j>(found: &[Found], jig: &'j Jig) -> Vec<(&'j str, Place)> {
    let mut out: Vec<(&str, Place)> = vec![];
    for s in &jig.plugin_settings {
        let here = found.iter().any(|f| match f {
            Found::Ready(p) => p.manifest.id == s.plugin,
            Found::Stopped { id, .. } => *id == s.plugin,
        });
        if !here && !out.iter().any(|(id, _)| *id == s.plugin) {
            out.push((&s.plugin, s.place));
        }
    }
    out
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
fn failed(subject: &Subject, what: &str, why: &str, mend: &str) -> Finding {
    let place =
        subject.jig.places.get("jig.unit").or_else(|| subject.jig.places.get("jig")).copied().unwrap_or_default();
    Finding {
        check: CheckId::PluginFailed.into(),
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
        source: crate::standard::rules::nothing_unsolved(),
        message: format!("{what}, so nothing is known of what it looks for: {why}"),
        remedy: format!("{mend}; what it looks for has to be looked at by hand until then"),
        place: FilePlace { file: subject.jig.file.clone(), line: place.line.max(1), column: place.column.max(1) },
        accepted: None,
    }
}
