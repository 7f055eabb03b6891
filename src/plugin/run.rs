//! Runs the plugins that are for a jig's unit and puts what they found into its judgement. A plugin that fails makes the
//! check incomplete and changes nothing else.

use super::find::{self, KnownPlugin};
use super::folder::Plugin;
use super::loaded::{Loaded, Stopped};
use super::results::tidy;
use super::settings;
use super::vm::{Bounds, Failed};
use super::what_if::Subject;
use super::worker;
use crate::finding::{CheckId, FilePlace, Finding, Judgement, PluginRun, Signal};
use crate::jig::{Jig, Place};
use crate::quantity::quote;
use std::sync::Arc;

/// Runs the plugins that were found for a jig, within the ordinary bounds, and says in its judgement which stood in for
/// which.
pub(crate) fn known(known: &[KnownPlugin], subject: &Arc<Subject>, judgement: &mut Judgement, today: &str) {
    let loaded: Vec<Loaded> = known.iter().map(|k| k.plugin.clone()).collect();
    all(&loaded, subject, judgement, Bounds::default(), today);
    find::report_replaced(known, &subject.jig.unit, judgement);
}

/// Runs every plugin that is for the jig's unit, side by side, and puts what they found into the judgement. `today` is an
/// ISO date, against which acceptances lapse.
pub(crate) fn all(loaded: &[Loaded], subject: &Arc<Subject>, judgement: &mut Judgement, bounds: Bounds, today: &str) {
    let jig = &subject.jig;
    let mut came = Came { subject, runs: vec![], findings: vec![] };
    let (mut at_work, mut to_run) = (vec![], vec![]);
    for l in loaded {
        match l {
            Loaded::Ready(p) if l.looks_at(&jig.unit) => match settings::of(jig, &p.manifest) {
                Ok(settings) => {
                    to_run.push((&**p, settings));
                    at_work.push(p);
                }
                Err(why) => {
                    came.did_not_run(run_of(p), why, &format!("correct [plugin.{}] in the jig file", p.manifest.id));
                }
            },
            Loaded::Ready(_) => {}
            Loaded::Stopped(stopped) => {
                let mend = "add one that may run, or remove it (`check --lock` writes a lock anew)";
                came.did_not_run(run_of_stopped(stopped), stopped.why.clone(), mend);
            }
        }
    }
    for (id, place) in absent(loaded, jig) {
        let (id, [version, sha256, none]) = (id.to_string(), [const { String::new() }; 3]);
        let why = format!("{}:{}:{} sets something for it, and it is not here", jig.file, place.line, place.column);
        let mend = format!("add the plugin, or take [plugin.{id}] out of the file");
        came.did_not_run(run_of_stopped(&Stopped { id, version, sha256, why: none }), why, &mend);
    }
    for (p, outcome) in at_work.into_iter().zip(worker::in_turns(to_run, subject, bounds)) {
        match outcome {
            Ok(own) => {
                came.findings.extend(own.into_iter().filter(|f| !told_already(p, f, &judgement.findings)));
                came.runs.push(run_of(p));
            }
            Err(failed) => {
                let what = format!("the plugin {} came to no end", p.manifest.id);
                let mend = "have the plugin mended, or ask whoever shared it";
                came.failed(run_of(p), &what, failure_words(p, &failed), mend);
            }
        }
    }
    came.findings.extend(set_for_nothing(loaded, subject, &came.runs));
    came.runs.extend(skipped(loaded, jig));
    judgement.plugins.append(&mut came.runs);
    judgement.plugins.sort_by(|a, b| (&a.id, &a.version).cmp(&(&b.id, &b.version)));
    crate::checks::add(jig, &subject.survey, judgement, came.findings, today);
}

/// Whether the core tells the same of the same parts, nets and touchables, at least as gravely: one thing is told once.
fn told_already(plugin: &Plugin, finding: &Finding, core: &[Finding]) -> bool {
    let Some(info) = plugin.manifest.checks.get(finding.check.as_str()) else { return false };
    let same = |f: &&Finding| info.told_by.iter().any(|id| f.check == *id) && f.signal <= finding.signal;
    let same: Vec<&Finding> = core.iter().filter(same).collect();
    let named = |names: fn(&Finding) -> &Vec<String>| {
        names(finding).iter().all(|one| same.iter().any(|f| names(f).contains(one)))
    };
    !same.is_empty() && named(|f| &f.parts) && named(|f| &f.touchables) && named(|f| &f.nets)
}

/// What came of plugins.
struct Came<'s> {
    subject: &'s Subject,
    runs: Vec<PluginRun>,
    findings: Vec<Finding>,
}

impl Came<'_> {
    fn did_not_run(&mut self, run: PluginRun, why: String, mend: &str) {
        let what = format!("the plugin {} did not run", run.id);
        self.failed(run, &what, why, mend);
    }

    fn failed(&mut self, run: PluginRun, what: &str, why: String, mend: &str) {
        self.findings.push(failed(self.subject, what, &why, mend));
        self.runs.push(PluginRun { outcome: "failed", why, ..run });
    }
}

/// Plugins that are for other units.
fn skipped(loaded: &[Loaded], jig: &Jig) -> Vec<PluginRun> {
    let one = |l: &Loaded| {
        let Loaded::Ready(p) = l else { return None };
        if l.looks_at(&jig.unit) {
            return None;
        }
        let set = jig.plugin_settings.iter().any(|s| s.plugin == p.manifest.id);
        let though = if set { ", though this jig sets something for it" } else { "" };
        let why = format!("for {}{though}", p.manifest.units.join(", "));
        Some(PluginRun { outcome: "skipped", why, ..run_of(p) })
    };
    loaded.iter().filter_map(one).collect()
}

/// What the jig sets for a plugin of another kind of unit: whoever wrote it counts on checks that were not made. Nothing graver can
/// be claimed: they may not have been meant for this jig.
fn set_for_nothing(loaded: &[Loaded], subject: &Subject, runs: &[PluginRun]) -> Vec<Finding> {
    let jig = &subject.jig;
    let idle = |l: &Loaded| match l {
        Loaded::Ready(p) if !l.looks_at(&jig.unit) && !runs.iter().any(|r| r.id == p.manifest.id) => {
            let set = jig.plugin_settings.iter().find(|s| s.plugin == p.manifest.id)?;
            let units = p.manifest.units.join(", ");
            let this = if jig.unit.is_empty() { "names no unit".into() } else { format!("is a {}", quote(&jig.unit)) };
            let message = format!(
                "The file sets {} for the plugin {}, which looks at {units} and at nothing else; this jig {this}, so that \
                 nothing of what it looks for was looked for",
                set.name, p.manifest.id
            );
            let remedy = format!("write the unit that is meant, or take [plugin.{}] out of the file", p.manifest.id);
            let place =
                FilePlace { file: jig.file.clone(), line: set.place.line.max(1), column: set.place.column.max(1) };
            let source = crate::standard::rules::nothing_unsolved();
            Some(Finding {
                source,
                ..Finding::written(CheckId::PluginFailed, Signal::Caution, place, [message, remedy])
            })
        }
        _ => None,
    };
    let mut found: Vec<Finding> = loaded.iter().filter_map(idle).collect();
    found.dedup();
    found
}

fn run_of_stopped(stopped: &Stopped) -> PluginRun {
    let Stopped { id, version, sha256, .. } = stopped.clone();
    PluginRun { id, version, sha256, vetted_by: vec![], outcome: "failed", why: String::new() }
}

/// Plugins the jig sets something for that were not found: what they look for is not looked at.
fn absent<'j>(loaded: &[Loaded], jig: &'j Jig) -> Vec<(&'j str, Place)> {
    let mut out: Vec<(&str, Place)> = vec![];
    for s in &jig.plugin_settings {
        let here = loaded.iter().any(|l| l.id() == s.plugin);
        if !here && !out.iter().any(|(id, _)| *id == s.plugin) {
            out.push((&s.plugin, s.place));
        }
    }
    out
}

/// A failure in words, with file and line.
pub(crate) fn failure_words(plugin: &Plugin, f: &Failed) -> String {
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
    let place = FilePlace { file: subject.jig.file.clone(), line: place.line.max(1), column: place.column.max(1) };
    let message = format!("{what}, so nothing is known of what it looks for: {why}");
    let remedy = format!("{mend}; what it looks for has to be looked at by hand until then");
    let source = crate::standard::rules::nothing_unsolved();
    Finding { source, ..Finding::written(CheckId::PluginFailed, Signal::Warning, place, [message, remedy]) }
}
