//! What a hand gets on everything that can be touched, normally and after one fault.

use crate::finding::{CheckId, CheckName, Cleared, Finding, Judgement, Situation, Touch};
use crate::report::number::{is_noise, show};
use crate::report::page::Page;

/// One paragraph a touchable; nothing where a check was not complete enough to tell.
pub(super) fn put(page: &mut Page, j: &Judgement) {
    let rows = rows(j);
    if !rows.is_empty() {
        page.heading("What a hand gets");
    }
    rows.iter().for_each(|(name, words)| page.hang("  ", "    ", &format!("{name}: {}", words.join("; "))));
}

/// Each touchable, and what a hand gets on it normally, after one fault, and for a moment.
pub(in crate::report) fn rows(j: &Judgement) -> Vec<(String, Vec<String>)> {
    if j.conditions.solved == 0 || j.only {
        return vec![];
    }
    let mut names: Vec<&str> = vec![];
    for t in &j.touch {
        if !names.contains(&t.touchable.as_str()) {
            names.push(&t.touchable);
        }
    }
    let one = |name: &str| {
        let rows: Vec<&Touch> = j.touch.iter().filter(|t| t.touchable == name).collect();
        let of = |kind: Situation| rows.iter().find(|t| t.kind == kind);
        let normal = of(Situation::Normal).map_or("nothing that counts".to_string(), |t| amount(t, j));
        let mut words = vec![format!("normally {normal}")];
        words.push(match of(Situation::SingleFault) {
            // Only what comes near a limit has a row.
            None => "after one fault nothing near a limit".to_string(),
            Some(t) if nothing(t) => "after one fault nothing".to_string(),
            // Where a finding tells of it, it tells of the fault too.
            Some(t) if over(t, j) => format!("after one fault {}", amount(t, j)),
            Some(t) => format!("after one fault ({}) {}", fault(&t.condition), amount(t, j)),
        });
        let told = rows.iter().any(|t| over(t, j));
        if let Some(t) = of(Situation::Transient).filter(|t| !nothing(t) && !told) {
            words.push(until(t, &j.cleared));
        }
        (name.to_string(), words)
    };
    names.into_iter().map(one).collect()
}

fn nothing(t: &Touch) -> bool {
    is_noise(t.voltage_rms, "V") && is_noise(t.current_rms, "A")
}

/// What flows and stands, and whether it may.
fn amount(t: &Touch, j: &Judgement) -> String {
    if nothing(t) {
        return "nothing".into();
    }
    let may = if over(t, j) { "more than it may" } else { "within its limit" };
    format!("{} at {}, {may}", show(t.current_rms, "A"), show(t.voltage_rms, "V"))
}

fn over(t: &Touch, j: &Judgement) -> bool {
    j.findings.iter().any(|f| tells_of(f, t))
}

/// Whether a finding is about what a row shows.
fn tells_of(f: &Finding, t: &Touch) -> bool {
    let touch = matches!(&f.check, CheckName::Core(CheckId::TouchCurrent | CheckId::TouchVoltage));
    let normal = f.situation.as_ref().is_some_and(|s| s.faults.is_empty());
    // What is told of normal use holds after a fault, too.
    let same = normal || t.kind != Situation::Normal;
    touch && same && f.touchables.contains(&t.touchable)
}

/// What is gone once a device has opened.
fn until(t: &Touch, cleared: &[Cleared]) -> String {
    let fault = fault(&t.condition);
    let what = format!("{} at {}", show(t.current_rms, "A"), show(t.voltage_rms, "V"));
    match cleared.iter().find(|c| c.fault == fault) {
        Some(c) => format!("{what} for at most {} until the {} opens ({fault})", show(c.within_seconds, "s"), c.by),
        None => format!("{what} for a moment ({fault})"),
    }
}

/// What has failed, of a condition in words: what stands before the supply.
pub(super) fn fault(condition: &str) -> &str {
    condition.split(", mains ").next().unwrap_or(condition)
}
