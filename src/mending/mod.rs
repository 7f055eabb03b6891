//! Tries what the checks propose: writes it into the text of the jig, reads, surveys and judges that like any other jig,
//! and keeps what cures its finding and brings no other. Types no limit and prints nothing; a check knows nothing of it.

mod edit;
mod trial;

use std::collections::BTreeSet;

use crate::checks::{Change, Proposal};
use crate::jig::Jig;
use crate::judgement::{Finding, Judgement, LeftOver, Mend, Mending, Signal};
use crate::survey::Survey;
use edit::Edited;
use trial::{Key, State, Tries, keys};

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
pub struct Mended {
    /// The judgement of the jig as it is, its remedies naming what was tried.
    pub judgement: Judgement,
    /// The text of the mended jig.
    pub text: String,
    /// What was changed in it and what is left; no file is named yet.
    pub mending: Mending,
}

/// Changes that were kept, one after the other.
struct Step {
    /// The findings they were meant for, with their words.
    meant: Vec<(Key, String)>,
    /// Changes that findings they brought themselves asked for, in words.
    besides: Vec<String>,
    /// The findings that went with them.
    gone: Vec<Key>,
    /// What was edited.
    edited: Vec<Edited>,
}

/// Tries the proposals of a judged jig. `text` is the jig file, `today` an ISO date.
pub fn mend(
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
    let mut tries = Tries::new(effort, &judgement, today);
    let mut state = State::new(text, jig, survey, judgement, proposals);
    let mut steps: Vec<Step> = vec![];
    let mut failed: BTreeSet<(Key, String)> = BTreeSet::new();
    while let Some((next, step)) = one_step(&state, &mut tries, &mut failed) {
        steps.push(step);
        state = next;
    }
    reword(&mut first, &steps);
    let tried: BTreeSet<Key> = failed.into_iter().map(|f| f.0).collect();
    let mending = Mending { file: None, changes: changes(&steps), left: left(&state.judgement, &tried) };
    Mended { judgement: first, text: state.text, mending }
}

/// The next thing to try of every finding that has one.
fn wishes(state: &State, failed: &BTreeSet<(Key, String)>) -> Vec<(Key, Proposal)> {
    let keys = keys(&state.judgement, &state.grown);
    let mut out: Vec<(Key, Proposal)> = vec![];
    for ((key, proposals), f) in keys.iter().zip(&state.proposals).zip(&state.judgement.findings) {
        // What somebody has looked at and accepted stays, unless it counts all the same.
        let accepted = f.accepted.is_some() && f.signal > Signal::Warning;
        if accepted || out.iter().any(|w| w.0 == *key) {
            continue;
        }
        let next = proposals.iter().find(|p| !failed.contains(&(key.clone(), p.words.clone())));
        out.extend(next.map(|p| (key.clone(), p.clone())));
    }
    out
}

/// All wishes at once, or the first that holds by itself. `None`: nothing more to try.
fn one_step(state: &State, tries: &mut Tries, failed: &mut BTreeSet<(Key, String)>) -> Option<(State, Step)> {
    loop {
        let wishes = wishes(state, failed);
        let together = compatible(&wishes);
        if together.len() > 1 {
            if let Some(done) = attempt(state, &together, tries) {
                return Some(done);
            }
        }
        let first = wishes.first()?;
        for wish in &wishes {
            if let Some(done) = attempt(state, std::slice::from_ref(wish), tries) {
                return Some(done);
            }
            failed.insert((wish.0.clone(), wish.1.words.clone()));
        }
        debug_assert!(failed.contains(&(first.0.clone(), first.1.words.clone())));
    }
}

/// Wishes that do not speak of one key in two ways, the gravest findings first.
fn compatible(wishes: &[(Key, Proposal)]) -> Vec<(Key, Proposal)> {
    let mut out: Vec<(Key, Proposal)> = vec![];
    for wish in wishes {
        let clashes = |taken: &Change| wish.1.changes.iter().any(|c| c.same_place(taken) && c != taken);
        if !out.iter().flat_map(|w| &w.1.changes).any(clashes) {
            out.push(wish.clone());
        }
    }
    out
}

fn attempt(state: &State, wishes: &[(Key, Proposal)], tries: &mut Tries) -> Option<(State, Step)> {
    let mut changes: Vec<Change> = vec![];
    for c in wishes.iter().flat_map(|w| &w.1.changes) {
        if !changes.contains(c) {
            changes.push(c.clone());
        }
    }
    let wanted: Vec<Key> = wishes.iter().map(|w| w.0.clone()).collect();
    let (next, edited, besides) = trial::cures(state, &changes, &wanted, tries)?;
    let before: BTreeSet<Key> = keys(&state.judgement, &state.grown).into_iter().collect();
    let after: BTreeSet<Key> = keys(&next.judgement, &next.grown).into_iter().collect();
    let gone = before.difference(&after).cloned().collect();
    let meant = wishes.iter().map(|w| (w.0.clone(), w.1.words.clone())).collect();
    Some((next, Step { meant, besides, gone, edited }))
}

/// Puts what was tried in the place of the remedies it cured.
fn reword(judgement: &mut Judgement, steps: &[Step]) {
    let alone = steps.len() == 1 && steps[0].meant.iter().all(|m| m.1 == steps[0].meant[0].1);
    let all = keys(judgement, &[]);
    for (f, key) in judgement.findings.iter_mut().zip(all) {
        let Some(step) = steps.iter().find(|s| s.gone.contains(&key)) else { continue };
        let own = step.meant.iter().find(|m| m.0 == key).map(|m| m.1.clone());
        let mut words = match own {
            Some(own) => vec![own],
            None => {
                let mut all: Vec<String> = step.meant.iter().map(|m| m.1.clone()).collect();
                all.dedup();
                all
            }
        };
        words.extend(step.besides.iter().cloned());
        let how = if alone { "" } else { ", together with the other changes marked “tried”" };
        f.remedy = format!("{} (tried{how}: this finding goes, no new one comes)", words.join(", and "));
    }
}

fn changes(steps: &[Step]) -> Vec<Mend> {
    let mut out: Vec<Mend> = vec![];
    for step in steps {
        let mut checks: Vec<String> = step.gone.iter().map(|k| k.check.clone()).collect();
        checks.dedup();
        for e in &step.edited {
            match out.iter_mut().find(|m| m.part == e.part && m.key == e.key) {
                Some(m) => {
                    m.to.clone_from(&e.to);
                    m.checks.extend(checks.iter().filter(|c| !m.checks.contains(c)).cloned().collect::<Vec<_>>());
                }
                None => out.push(Mend {
                    part: e.part.clone(),
                    key: e.key.clone(),
                    from: e.from.clone(),
                    to: e.to.clone(),
                    checks: checks.clone(),
                }),
            }
        }
    }
    out.retain(|m| m.from.as_ref() != Some(&m.to));
    out
}

fn left(judgement: &Judgement, tried: &BTreeSet<Key>) -> Vec<LeftOver> {
    let keys = keys(judgement, &[]);
    let one = |(f, key): (&Finding, Key)| LeftOver {
        check: f.check.clone(),
        parts: f.parts.clone(),
        why: match (tried.contains(&key), f.accepted.is_some()) {
            (true, _) => format!("what was tried did not cure it or brought another finding: {}", f.remedy),
            (false, true) => "accepted in the file".to_string(),
            (false, false) => format!("no number cures it, it needs hands: {}", f.remedy),
        },
    };
    judgement.findings.iter().zip(keys).map(one).collect()
}
