//! What a report shows of a finding beside its words: under what it is worst, as values; and the ratings that are exceeded
//! with no finding, each with the reason. Judges nothing.

use super::conditions::row;
use super::matrix::{At, judges, reason};
use crate::finding::{Circumstance, Finding, Judgement, LetPass, Quantity, Situation, Stress, When};
use crate::jig::{Jig, PartKind};
use crate::survey::Survey;
use crate::wording;

/// Fills in what a judgement lacks once every finding is there.
pub(crate) fn tell_under(jig: &Jig, survey: &Survey, judgement: &mut Judgement) {
    for f in &mut judgement.findings {
        f.situation = circumstance(jig, survey, &f.when);
    }
    let over = judgement.stresses.iter().filter(|s| s.margin.is_some_and(|m| m < 1.0 - 1e-3));
    judgement.let_pass = over.filter_map(|s| let_pass(jig, &judgement.findings, s)).collect();
}

/// The condition in which a finding is worst, as values; nothing where it holds whatever is done.
pub(crate) fn circumstance(jig: &Jig, survey: &Survey, when: &When) -> Option<Circumstance> {
    let number = |wanted: &dyn Fn(usize) -> bool| (0..survey.ledger.tried.len()).find(|k| wanted(*k));
    let k = match when {
        When::Tried(at) => number(&|k| survey.ledger.tried[k].ordinal == *at)?,
        // Others say it in words: the condition of those words.
        When::Written(words) => {
            let said =
                |k: usize| wording::condition::words(jig, &survey.model, &survey.ledger.tried[k].condition) == *words;
            number(&said)?
        }
        When::Always | When::NominalSupply | When::FuseOpen | When::BothTerminals | When::Ambient(_) => return None,
        When::PlugReversed | When::SwitchOff { .. } | When::Switches(_) => return None,
    };
    Some(row(jig, survey, k).into())
}

/// A rating that is exceeded, where no finding tells of the part in that situation.
fn let_pass(jig: &Jig, findings: &[Finding], s: &Stress) -> Option<LetPass> {
    let rating = s.rating?;
    let (name, whole) = (s.part.as_str(), s.part.split('.').next().unwrap_or(&s.part));
    let part = jig.parts.iter().find(|p| p.name == name).or_else(|| jig.parts.iter().find(|p| p.name == whole))?;
    // An arm of a bridge tells nothing that the whole does not.
    if name != part.name && matches!(part.kind, PartKind::Bridge(_)) {
        return None;
    }
    let about = |f: &&Finding| f.parts.iter().any(|p| *p == part.name || *p == s.part);
    if findings.iter().filter(about).any(|f| unit_of(f) == s.unit && as_bad(f, s)) {
        return None;
    }
    let why = why(jig, &part.kind, s, rating);
    let (part, condition) = (s.part.clone(), s.condition.clone());
    Some(LetPass { part, quantity: s.quantity, value: s.value, unit: s.unit, rating, condition, kind: s.kind, why })
}

fn unit_of(f: &Finding) -> &str {
    f.unit.as_str()
}

/// Whether a finding speaks of what a row shows: of normal use, or of no better than it.
fn as_bad(f: &Finding, s: &Stress) -> bool {
    let normal = f.situation.as_ref().is_none_or(|c| c.kind == Situation::Normal);
    normal || s.kind != Situation::Normal
}

fn why(jig: &Jig, kind: &PartKind, s: &Stress, rating: f64) -> String {
    let own_fault = s.condition.strip_prefix(&s.part).is_some_and(|rest| rest.starts_with(" open"));
    if own_fault && !matches!(kind, PartKind::Fuse(_)) {
        return "it has failed open itself: nothing is left in it to harm".into();
    }
    let rise = jig.supply.mains.as_ref().map_or(1.0, |m| m.high / m.nominal);
    let suppressor =
        if let PartKind::Capacitor(c) = kind { c.class.is_some_and(|c| c.is_suppression()) } else { false };
    let standard = suppressor || matches!(kind, PartKind::Fuse(_) | PartKind::Switch(_));
    let by_nominal = standard && s.quantity == Quantity::VoltageRms;
    if by_nominal && s.value <= rating * rise * (1.0 + 1e-3) {
        return "no more than the mains may rise by: its rated volts are compared with the nominal supply".into();
    }
    let at = match s.kind {
        Situation::Normal => At::Use,
        Situation::SingleFault if s.condition.contains("has opened") => At::Opened,
        Situation::SingleFault => At::Fault,
        Situation::Transient if s.condition.contains("switched on") => At::SwitchOn,
        Situation::Transient => At::Opening,
    };
    let word = kind.section().name;
    let keys = keys(kind, s.quantity);
    if let Some(why) = keys.iter().find_map(|key| reason(word, key, at)) {
        return why.to_string();
    }
    let mut checks: Vec<&str> = keys.iter().flat_map(|key| judges(word, key, at)).map(|c| c.name()).collect();
    checks.dedup();
    match checks.as_slice() {
        [] => "no check judges it in this situation".into(),
        checks => format!("allowed for as long as this lasts (deadfront why {})", checks.join(", ")),
    }
}

/// The key a rating of this quantity stands under.
fn keys(kind: &PartKind, quantity: Quantity) -> &'static [&'static str] {
    use Quantity::{CurrentMean, CurrentPeak, CurrentRms, Power, VoltagePeak, VoltageRms};
    match (kind, quantity) {
        (PartKind::Filament(_), VoltageRms | VoltagePeak) => &["volts"],
        (PartKind::Wire(_), CurrentRms | CurrentMean | CurrentPeak) => &["area"],
        (PartKind::Led(_), CurrentPeak) => &["peak-current"],
        (PartKind::Neon(_), CurrentRms) => &["max-current"],
        (_, Power) => &["power"],
        (_, VoltageRms | VoltagePeak) => &["voltage"],
        (_, CurrentRms | CurrentMean | CurrentPeak) => &["current"],
    }
}
