//! What to do, in the order of doing it: findings that one change cures stand together. Pure arrangement: nothing is judged,
//! and every finding stands under exactly one action.

use super::cause::{Cause, Causes, stops_it};
use super::said::{Smoulder, SmoulderCure};
use super::{CheckId, CheckName, Finding, Harm, Said, Signal, Way};
use std::cmp::Reverse;

/// One thing to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Action {
    /// What to do, without a full stop.
    pub change: String,
    /// Whether the change was solved and judged and cures what stands under it.
    pub tried: bool,
    /// Places of its findings in the list it was made of, the gravest first.
    pub findings: Vec<usize>,
}

/// What joins findings under one change.
#[derive(Debug, Clone, PartialEq)]
enum Aim {
    /// Values that were tried.
    Tried(String),
    /// The same for several parts, each tried: the change without the part.
    TriedFor(String),
    /// What brings others.
    Cause(Cause),
    /// The protective earth comes in and reaches this; nothing: comes in at all.
    Earth,
    /// What stands between the mains and a thing that can be touched.
    Barrier(String),
    /// The heat of one fault.
    Heat(String),
    /// Its own remedy.
    Remedy(String),
}

/// Actions for the findings, the most pressing first.
pub fn actions(findings: &[Finding]) -> Vec<Action> {
    let (earthed, causes) = (Earthed::of(findings), Causes::of(findings));
    let mut groups: Vec<(Aim, Vec<usize>)> = vec![];
    for (k, f) in findings.iter().enumerate() {
        let aim = aim(f, &earthed, &causes);
        match groups.iter_mut().find(|(of, _)| *of == aim) {
            Some((_, members)) => members.push(k),
            None => groups.push((aim, vec![k])),
        }
    }
    for (_, members) in &mut groups {
        members.sort_by_key(|k| pressing(&findings[*k]));
    }
    // What stops the jig from working as drawn comes before what was found in it meanwhile.
    groups.sort_by_key(|(_, members)| {
        let meanwhile = !members.iter().any(|k| stops_it(&findings[*k]));
        members.first().map(|k| (meanwhile, pressing(&findings[*k])))
    });
    groups.into_iter().map(|(aim, members)| action(&aim, members, findings)).collect()
}

/// What stops comes first; then what hurts without a fault, after one, what burns, what wears; then the signal word, then
/// how many times the limit, in thousandths.
fn pressing(f: &Finding) -> (Signal, Harm, Signal, Reverse<u64>) {
    let class = f.signal.max(Signal::Warning);
    let times = (f.times().unwrap_or(1.0) * 1e3).min(1e15);
    // Positive and below 2^53: the cast only cuts the fraction.
    (class, f.harm(), f.signal, Reverse(times as u64))
}

/// What a solid protective earth is missing from, and the parts that break it.
#[derive(Default)]
struct Earthed<'a> {
    touchables: Vec<&'a str>,
    parts: Vec<&'a str>,
}

impl<'a> Earthed<'a> {
    fn of(findings: &'a [Finding]) -> Earthed<'a> {
        let mut out = Earthed::default();
        for f in findings.iter().filter(|f| is(f, &[CheckId::EarthNotBonded, CheckId::EarthBrokenByPart])) {
            out.touchables.extend(f.touchables.iter().map(String::as_str));
        }
        for f in findings.iter().filter(|f| is(f, &[CheckId::EarthBrokenByPart])) {
            out.parts.extend(f.parts.iter().map(String::as_str));
        }
        out
    }

    fn reaches(&self, f: &Finding) -> bool {
        !f.touchables.is_empty() && f.touchables.iter().all(|t| self.touchables.contains(&t.as_str()))
    }

    fn breaks(&self, f: &Finding) -> bool {
        !f.parts.is_empty() && f.parts.iter().all(|p| self.parts.contains(&p.as_str()))
    }
}

fn is(f: &Finding, checks: &[CheckId]) -> bool {
    matches!(&f.check, CheckName::Core(id) if checks.contains(id))
}

const BRINGS_EARTH: &[CheckId] = &[
    CheckId::EarthOpen,
    CheckId::CordCores,
    CheckId::ClassConflict,
    CheckId::EarthNotBonded,
    CheckId::EarthBrokenByPart,
];
const CURED_BY_EARTH: &[CheckId] = &[CheckId::TouchCurrent, CheckId::TouchVoltage, CheckId::InsulationTooWeak];
const BARRIER: &[CheckId] =
    &[CheckId::InsulationMissing, CheckId::InsulationTooWeak, CheckId::Clearance, CheckId::Creepage];
const TOUCHED: &[CheckId] = &[CheckId::TouchCurrent, CheckId::TouchVoltage];
const HEAT: &[CheckId] = &[CheckId::Smoulder, CheckId::BoxTemperature, CheckId::HotSurface, CheckId::PartTemperature];

fn aim(f: &Finding, earthed: &Earthed, causes: &Causes) -> Aim {
    if let Some(cure) = &f.cure {
        return match for_a_part(f) {
            Some((change, _)) => Aim::TriedFor(change.to_string()),
            None => Aim::Tried(format!("{:?}", cure.ways)),
        };
    }
    if let Some(cause) = causes.cause(f) {
        return Aim::Cause(cause);
    }
    let after_fault = f.harm() != Harm::AtOnce;
    let earth = is(f, BRINGS_EARTH)
        || is(f, CURED_BY_EARTH) && after_fault && earthed.reaches(f)
        || is(f, &[CheckId::FuseVoltage]) && earthed.breaks(f);
    if earth {
        return Aim::Earth;
    }
    if let Some(t) = f.touchables.first().filter(|_| f.touchables.len() == 1)
        && (is(f, BARRIER) || is(f, TOUCHED))
    {
        return Aim::Barrier(t.clone());
    }
    if let Some(fault) = f.situation.as_ref().and_then(|s| s.faults.first())
        && is(f, HEAT)
    {
        return Aim::Heat(fault.clone());
    }
    Aim::Remedy(f.remedy.clone())
}

fn action(aim: &Aim, members: Vec<usize>, findings: &[Finding]) -> Action {
    let of: Vec<&Finding> = members.iter().map(|k| &findings[*k]).collect();
    let change = match aim {
        Aim::Tried(_) => of.first().map_or("", |f| untold(&f.remedy)).to_string(),
        Aim::TriedFor(change) => {
            let mut parts: Vec<&str> = vec![];
            for (_, part) in of.iter().filter_map(|f| for_a_part(f)) {
                if !parts.contains(&part) {
                    parts.push(part);
                }
            }
            parts.sort_unstable();
            let last = parts.pop().unwrap_or_default();
            let all = if parts.is_empty() { last.to_string() } else { format!("{} and {last}", parts.join(", ")) };
            format!("{change} for {all}")
        }
        Aim::Cause(Cause::Joined(_)) => told(&of, &[&[CheckId::Bypassed]]),
        Aim::Cause(Cause::Weak(_)) => told(&of, &[BARRIER]),
        Aim::Cause(Cause::Unfused) => unfused(&of),
        Aim::Earth => {
            // An earthed plug with its cord is told by these already.
            let plug = of.iter().any(|f| is(f, &[CheckId::EarthOpen, CheckId::ClassConflict]));
            let told_of: Vec<&Finding> =
                of.iter().copied().filter(|f| !plug || !is(f, &[CheckId::CordCores])).collect();
            told(&told_of, &[BRINGS_EARTH])
        }
        Aim::Barrier(_) => barrier(&of),
        Aim::Heat(_) => told(&of, &[&[CheckId::Smoulder], &[CheckId::PartTemperature], &[CheckId::BoxTemperature]]),
        Aim::Remedy(remedy) => remedy.clone(),
    };
    let change = named(change, &of);
    Action { change, tried: matches!(aim, Aim::Tried(_) | Aim::TriedFor(_)), findings: members }
}

/// Most parts that are named before a change: of more, the findings under it tell.
const MOST_NAMED: usize = 4;

/// A change that names nothing of what it is about, with the parts before it: it is read by itself, too.
fn named(change: String, of: &[&Finding]) -> String {
    let mut parts: Vec<&str> = vec![];
    for part in of.iter().filter(|f| change.contains(untold(&f.remedy))).flat_map(|f| &f.parts) {
        if !parts.contains(&part.as_str()) {
            parts.push(part);
        }
    }
    let of_parts = parts.iter().any(|part| names(&change, part.split('.').next().unwrap_or(part)));
    let of_touchables = of.iter().flat_map(|f| &f.touchables).any(|thing| change.contains(thing.as_str()));
    match parts.len() {
        1..=MOST_NAMED if !of_parts && !of_touchables => format!("{}: {change}", parts.join(", ")),
        _ => change,
    }
}

/// Whether a text names a part: as a word of its own.
fn names(text: &str, part: &str) -> bool {
    let word = |c: char| c.is_alphanumeric();
    text.match_indices(part).any(|(at, _)| {
        let (before, behind) = (&text[..at], &text[at + part.len()..]);
        !before.ends_with(word) && !behind.starts_with(word)
    })
}

/// A change that was tried for the one part of a finding, "use … for R1", and the part.
fn for_a_part(f: &Finding) -> Option<(&str, &str)> {
    let (Way::Resistor { part, .. }
    | Way::Capacitor { part, .. }
    | Way::X2 { part, .. }
    | Way::Wire { part, .. }
    | Way::Rated { part, .. }
    | Way::Rectifier { part, .. }
    | Way::FuseBreaking { part, .. }) = f.cure.as_ref()?.ways.first()?
    else {
        return None;
    };
    let one = f.cure.as_ref().is_some_and(|c| c.ways.len() == 1);
    let change = untold(&f.remedy).strip_suffix(part.as_str())?.strip_suffix(" for ")?;
    one.then_some((change, part.as_str()))
}

/// A fuse where none is, and what it must open at.
fn unfused(of: &[&Finding]) -> String {
    let fuse = told(of, &[&[CheckId::NoFuse]]);
    let opens = of.iter().find_map(|f| match &f.said {
        Said::Smoulder(Smoulder { cure: SmoulderCure::FuseAt { value, part }, .. }) => Some((value, part)),
        _ => None,
    });
    match opens {
        Some((value, part)) => {
            format!("{fuse}; if it is not sure to open at {value}, a thermal fuse on {part} as well")
        }
        None => fuse,
    }
}

/// The remedies of those checks that name the change, each once; where none of them is there, of the first of the next.
fn told(of: &[&Finding], leaders: &[&[CheckId]]) -> String {
    let leading = leaders.iter().map(|checks| of.iter().filter(|f| is(f, checks)).collect::<Vec<_>>());
    let leading = leading.filter(|l| !l.is_empty()).collect::<Vec<_>>();
    let first = leading.first().map_or(of.iter().collect(), Clone::clone);
    let mut remedies: Vec<&str> = vec![];
    for f in first {
        let remedy = f.remedy.as_str();
        let known = remedies.iter().any(|r| r.contains(remedy) || remedy.starts_with(*r));
        if !known {
            remedies.retain(|r| !remedy.contains(r));
            remedies.push(remedy);
        }
    }
    remedies.join("; ")
}

/// What is to be built between the mains and what can be touched: insulation first, then how far apart.
fn barrier(of: &[&Finding]) -> String {
    let built: Vec<&Finding> =
        of.iter().copied().filter(|f| is(f, &[CheckId::InsulationMissing, CheckId::InsulationTooWeak])).collect();
    let mut parts: Vec<String> = vec![];
    if !built.is_empty() {
        parts.push(told(&built, &[]));
    } else if let Some(touched) = of.iter().find(|f| is(f, TOUCHED)) {
        parts.push(touched.remedy.clone());
    }
    let apart: Vec<&Finding> = of.iter().copied().filter(|f| is(f, &[CheckId::Clearance, CheckId::Creepage])).collect();
    // What is to be measured, is told of both.
    let stated = |f: &&Finding| f.limit.is_some();
    let (apart, unknown): (Vec<&Finding>, Vec<&Finding>) = apart.into_iter().partition(stated);
    if !unknown.is_empty() {
        parts.push(told(&unknown, &[]));
    }
    // The longer of the two is what is moved; the shorter is kept with it.
    let longest = apart.iter().max_by(|a, b| a.limit.unwrap_or(0.0).total_cmp(&b.limit.unwrap_or(0.0)));
    let thing = of.iter().find_map(|f| f.touchables.first()).map_or("it", String::as_str);
    // Of two findings of one barrier nobody knows what "them" was.
    let two = format!("move {thing} and what is live apart");
    parts.extend(longest.map(|f| f.remedy.replacen("move them apart", &two, 1)));
    parts.join("; ")
}

/// The gravest of findings, whatever is to be done first.
pub fn gravest(findings: &[Finding]) -> Option<&Finding> {
    findings.iter().min_by_key(|f| pressing(f))
}

/// A remedy without the note that it was tried.
fn untold(remedy: &str) -> &str {
    remedy.rsplit_once(" (tried").map_or(remedy, |(change, _)| change)
}
