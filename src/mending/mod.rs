//! Tries what the checks propose: writes it into the text of the jig, reads, surveys and judges that like any other jig,
//! and keeps what cures its finding and brings no other. Types no limit and prints nothing; a check knows nothing of it.
// What a kind, a fault or a link is not asked about must be said: a wildcard lets a new one pass in silence.
#![deny(clippy::wildcard_enum_match_arm)]

mod edit;
mod ended;
mod trial;

use std::collections::BTreeSet;

use crate::checks::{Change, Proposal, put_on};
use crate::finding::{CheckName, Cure, Finding, Judgement, LeftOver, Mend, Mending, Signal, Way};
use crate::jig::Jig;
use crate::survey::Survey;
use crate::wording::{self, left_over};
use edit::Edited;
use trial::{Attempt, FindingKey, Tries, keys};

/// How much may be tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effort {
    /// For the words of a report: a check stays quick.
    Words,
    /// For a mended file: until nothing more is to be done.
    File,
}

/// What came of the proposals.
#[derive(Debug, Clone)]
pub(crate) struct Mended {
    /// The judgement of the jig as it is, its remedies naming what was tried.
    pub judgement: Judgement,
    /// The text of the mended jig.
    pub text: String,
    /// What was changed in it and what is left; no file is named yet.
    pub mending: Mending,
}

/// Changes that were kept, one after the other.
struct Step {
    /// The findings they were meant for.
    meant: Vec<(FindingKey, Proposal)>,
    /// What findings they brought themselves asked for.
    besides: Vec<Proposal>,
    /// The findings that went with them.
    gone: Vec<FindingKey>,
}

/// Tries the proposals of a judged jig. `text` is the jig file, `today` an ISO date.
pub(crate) fn mend(
    text: &str,
    jig: Jig,
    survey: Survey,
    (judgement, proposals): (Judgement, Vec<Vec<Proposal>>),
    today: &str,
    effort: Effort,
) -> Mended {
    let mut first = judgement.clone();
    if proposals.iter().all(Vec::is_empty) {
        let mending = Mending { file: None, changes: vec![], left: left(&first, &BTreeSet::new()) };
        return Mended { judgement: first, text: text.to_string(), mending };
    }
    let mut tries = Tries::new(effort, &judgement, today, survey.budget);
    let mut state = Attempt::new(text, jig, survey, judgement, proposals);
    let mut steps: Vec<Step> = vec![];
    let mut failed: Vec<(FindingKey, Way)> = vec![];
    while let Some((next, step)) = one_step(&state, &mut tries, &mut failed) {
        steps.push(step);
        state = next;
    }
    reword(&mut first, &steps, &state);
    let tried: BTreeSet<FindingKey> = failed.into_iter().map(|f| f.0).collect();
    let mending = Mending { file: None, changes: changes(&steps, &state), left: left(&state.judgement, &tried) };
    Mended { judgement: first, text: state.text, mending }
}

/// The next thing to try of every finding that has one.
fn wishes(state: &Attempt, failed: &[(FindingKey, Way)]) -> Vec<(FindingKey, Proposal)> {
    let keys = keys(&state.judgement, &state.grown);
    let mut out: Vec<(FindingKey, Proposal)> = vec![];
    for ((key, proposals), f) in keys.iter().zip(&state.proposals).zip(&state.judgement.findings) {
        // What somebody has looked at and accepted stays, unless it counts all the same.
        let accepted = f.accepted.is_some() && f.signal > Signal::Warning;
        if accepted || out.iter().any(|w| w.0 == *key) {
            continue;
        }
        let next = proposals.iter().find(|p| !failed.iter().any(|(k, way)| k == key && *way == p.way));
        out.extend(next.map(|p| (key.clone(), p.clone())));
    }
    out
}

/// All wishes at once, or the first that holds by itself. `None`: nothing more to try.
fn one_step(state: &Attempt, tries: &mut Tries, failed: &mut Vec<(FindingKey, Way)>) -> Option<(Attempt, Step)> {
    loop {
        let wishes = wishes(state, failed);
        let together = compatible(&wishes);
        let done = if together.len() > 1 { attempt(state, &together, tries) } else { None };
        if done.is_some() {
            return done;
        }
        if wishes.is_empty() {
            return None;
        }
        for wish in &wishes {
            if let Some(done) = attempt(state, std::slice::from_ref(wish), tries) {
                return Some(done);
            }
            failed.push((wish.0.clone(), wish.1.way.clone()));
        }
    }
}

/// Wishes that do not speak of one key in two ways, the gravest findings first.
fn compatible(wishes: &[(FindingKey, Proposal)]) -> Vec<(FindingKey, Proposal)> {
    let mut out: Vec<(FindingKey, Proposal)> = vec![];
    for wish in wishes {
        let clashes = |taken: &Change| wish.1.changes.iter().any(|c| c.same_place(taken) && c != taken);
        if !out.iter().flat_map(|w| &w.1.changes).any(clashes) {
            out.push(wish.clone());
        }
    }
    out
}

fn attempt(state: &Attempt, wishes: &[(FindingKey, Proposal)], tries: &mut Tries) -> Option<(Attempt, Step)> {
    let mut changes: Vec<Change> = vec![];
    for c in wishes.iter().flat_map(|w| &w.1.changes) {
        if !changes.contains(c) {
            changes.push(c.clone());
        }
    }
    let wanted: Vec<FindingKey> = wishes.iter().map(|w| w.0.clone()).collect();
    let (next, besides) = trial::cures(state, &changes, &wanted, tries)?;
    let before: BTreeSet<FindingKey> = keys(&state.judgement, &state.grown).into_iter().collect();
    let after: BTreeSet<FindingKey> = keys(&next.judgement, &next.grown).into_iter().collect();
    let gone = before.difference(&after).cloned().collect();
    Some((next, Step { meant: wishes.to_vec(), besides, gone }))
}

/// Puts what was tried in the place of the remedies it cured.
fn reword(judgement: &mut Judgement, steps: &[Step], end: &Attempt) {
    let all = keys(judgement, &[]);
    for (f, key) in judgement.findings.iter_mut().zip(all) {
        let Some(step) = steps.iter().find(|s| s.gone.contains(&key)) else { continue };
        let own = step.meant.iter().filter(|m| m.0 == key).map(|m| &m.1);
        let mut ways: Vec<&Proposal> = own.collect();
        if ways.is_empty() {
            ways = step.meant.iter().map(|m| &m.1).collect();
        }
        ways.extend(&step.besides);
        let ways: Vec<&Proposal> = ways.into_iter().map(|way| latest(way, steps)).collect();
        let mut distinct: Vec<Way> = vec![];
        for way in &ways {
            let way = ended::of(way, end);
            if !distinct.contains(&way) {
                distinct.push(way);
            }
        }
        let mut mine = vec![];
        ways.iter().flat_map(|w| &w.changes).for_each(|c| put_on(&mut mine, c));
        let alone = end.changes.iter().all(|c| mine.iter().any(|m| m.same_place(c)));
        let cure = Cure { ways: distinct, alone };
        f.remedy = wording::way::cure(&cure);
        f.cure = Some(cure);
    }
}

/// What a later step put in the place of all that a proposal changes, if one did: two values of one key are not both told.
fn latest<'a>(way: &'a Proposal, steps: &'a [Step]) -> &'a Proposal {
    let mut all = steps.iter().flat_map(|s| s.meant.iter().map(|m| &m.1).chain(&s.besides));
    let replaces = |p: &&Proposal| way.changes.iter().all(|old| p.changes.iter().any(|new| new.same_place(old)));
    all.rfind(replaces).unwrap_or(way)
}

fn changes(steps: &[Step], end: &Attempt) -> Vec<Mend> {
    let mend = |(change, e): (&Change, &Edited)| {
        let mut checks: Vec<CheckName> = vec![];
        let mut because = |check: &CheckName| {
            if !checks.contains(check) {
                checks.push(check.clone());
            }
        };
        for step in steps {
            let made = |p: &Proposal| p.changes.iter().any(|c| ended::touches(c, change));
            step.meant.iter().filter(|m| made(&m.1)).for_each(|m| because(&m.0.check));
            if step.besides.iter().any(made) {
                step.meant.iter().for_each(|m| because(&m.0.check));
            }
        }
        Mend { part: e.part.clone(), key: e.key.clone(), from: e.from.clone(), to: e.to.clone(), checks }
    };
    end.changes.iter().zip(&end.edited).map(mend).filter(|m| m.from.as_ref() != Some(&m.to)).collect()
}

fn left(judgement: &Judgement, tried: &BTreeSet<FindingKey>) -> Vec<LeftOver> {
    let keys = keys(judgement, &[]);
    let one = |(f, key): (&Finding, FindingKey)| LeftOver {
        check: f.check.clone(),
        parts: f.parts.clone(),
        why: match (tried.contains(&key), f.accepted.is_some()) {
            (true, _) => left_over::tried_in_vain(f),
            (false, true) => left_over::accepted(),
            (false, false) => left_over::no_number(f),
        },
    };
    judgement.findings.iter().zip(keys).map(one).collect()
}
