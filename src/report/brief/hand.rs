//! What a hand gets on everything that can be touched, normally and after one fault.

use crate::finding::{CheckId, CheckName, Cleared, Finding, Judgement, Situation, Touch};
use crate::report::number::{is_noise, show};
use crate::report::page::Page;
use crate::standard::touch::{LimitsIn, limits};

/// A paragraph for touchables of which the same is to be told; nothing where a check was not complete enough to tell.
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
    let (pairs, single): (Vec<&str>, Vec<&str>) = names.iter().partition(|n| is_pair(n, &names));
    let (bad, fine): (Vec<&str>, Vec<&str>) =
        pairs.into_iter().partition(|n| j.touch.iter().any(|t| t.touchable == *n && over(t, j)) || charged(n, j));
    let mut told: Vec<(Vec<&str>, Vec<String>)> = vec![];
    for name in single.into_iter().chain(bad) {
        let rows: Vec<&Touch> = j.touch.iter().filter(|t| t.touchable == name).collect();
        add(&mut told, name, words(&rows, name, j));
    }
    if !fine.is_empty() {
        let worst = |kind: Situation| {
            let of = j.touch.iter().filter(|t| t.kind == kind && fine.contains(&t.touchable.as_str()));
            of.max_by(|a, b| a.current_rms.total_cmp(&b.current_rms).then(a.voltage_rms.total_cmp(&b.voltage_rms)))
        };
        let rows: Vec<&Touch> = [Situation::Normal, Situation::SingleFault].into_iter().filter_map(worst).collect();
        let name = if let [one] = fine[..] { one } else { "any other two of them" };
        add(&mut told, name, words(&rows, name, j));
    }
    told.into_iter().map(|(names, words)| (names.join(", "), words)).collect()
}

/// Things of which the same is to be told stand together.
fn add<'n>(told: &mut Vec<(Vec<&'n str>, Vec<String>)>, name: &'n str, words: Vec<String>) {
    match told.iter_mut().find(|(_, known)| *known == words) {
        Some((names, _)) => names.push(name),
        None => told.push((vec![name], words)),
    }
}

/// Whether a name is that of two things that are touched at once.
fn is_pair(name: &str, names: &[&str]) -> bool {
    names.iter().any(|one| name.strip_prefix(one).and_then(|rest| rest.strip_prefix(" to ")).is_some())
}

fn words(rows: &[&Touch], name: &str, j: &Judgement) -> Vec<String> {
    let of = |kind: Situation| rows.iter().find(|t| t.kind == kind);
    let normal = of(Situation::Normal).map_or("nothing that counts".to_string(), |t| amount(t, j));
    let mut words = vec![format!("normally {normal}")];
    words.push(match of(Situation::SingleFault) {
        // Only what comes near a limit has a row.
        None => "after one fault nothing near a limit".to_string(),
        // Where a finding tells of it, it tells of the fault too.
        Some(t) if over(t, j) => format!("after one fault {}", amount(t, j)),
        Some(t) if nothing(t) => "after one fault nothing".to_string(),
        Some(t) if of(Situation::Normal).is_some_and(|n| amount(n, j) == amount(t, j)) => {
            "after one fault no more".to_string()
        }
        Some(t) => format!("after one fault ({}) {}", fault(&t.condition), amount(t, j)),
    });
    let told = rows.iter().any(|t| over(t, j));
    let lasts = |t: &Touch| rows.iter().any(|l| l.kind != Situation::Transient && l.current_rms >= t.current_rms);
    if let Some(t) = of(Situation::Transient).filter(|t| !nothing(t) && !told && !lasts(t)) {
        words.push(until(t, &j.cleared));
    }
    if charged(name, j) {
        words.push("once unplugged the charge that stays, more than it may".into());
    }
    words
}

/// Volts that no current comes of hang in the air.
fn nothing(t: &Touch) -> bool {
    is_noise(t.current_rms, "A") && is_noise(t.current_peak, "A")
}

/// What flows and stands, and whether it may.
fn amount(t: &Touch, j: &Judgement) -> String {
    if over(t, j) {
        return format!("{} at {}, more than it may", show(t.current_rms, "A"), show(t.voltage_rms, "V"));
    }
    if nothing(t) { "nothing".into() } else { format!("{}, within its limit", size(t)) }
}

/// Low volts as such; of higher ones, behind which so little can flow, what flows.
fn size(t: &Touch) -> String {
    let low = limits(LimitsIn::Normal);
    if t.voltage_rms <= low.voltage_rms.value && t.voltage_dc.abs() <= low.voltage_dc.value {
        show(t.voltage_rms.max(t.voltage_dc.abs()), "V")
    } else {
        format!("a leak of {}", show(t.current_rms, "A"))
    }
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
    touch && same && names(f, &t.touchable)
}

/// Whether a finding is about a touchable, or about the two that a row names.
fn names(f: &Finding, touchable: &str) -> bool {
    match &f.touchables[..] {
        [one, other] => [format!("{one} to {other}"), format!("{other} to {one}")].iter().any(|both| both == touchable),
        all => all.iter().any(|one| one == touchable),
    }
}

/// Whether a charge that stays is told of it.
fn charged(name: &str, j: &Judgement) -> bool {
    j.findings.iter().any(|f| matches!(&f.check, CheckName::Core(CheckId::StoredCharge)) && names(f, name))
}

/// What is gone once a device has opened.
fn until(t: &Touch, cleared: &[Cleared]) -> String {
    let fault = fault(&t.condition);
    match cleared.iter().find(|c| c.fault == fault) {
        Some(c) => {
            // What is no part of the jig is named in common words.
            let the = if c.by.starts_with(|l: char| l.is_lowercase()) { "the " } else { "" };
            format!("{} for at most {} until {the}{} opens ({fault})", size(t), show(c.within_seconds, "s"), c.by)
        }
        None => format!("{} for a moment ({fault})", size(t)),
    }
}

/// What has failed, of a condition in words: what stands before the supply.
pub(super) fn fault(condition: &str) -> &str {
    condition.split(", mains ").next().unwrap_or(condition)
}
