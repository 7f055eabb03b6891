//! One trial: changes written, the jig read again, surveyed where the circuit changed, judged, and compared with before.
//! Must not know where a change comes from.

use std::rc::Rc;

use crate::checks::{self, Change, Proposal, Table, conditions, put_on};
use crate::finding::{CheckId, CheckName, Finding, Judgement};
use crate::jig::{self, Jig};
use crate::survey::budget::Budget;
use crate::survey::condition::Fault;
use crate::survey::{self, Options, Survey};

use super::Effort;
use super::edit::{self, Edited};

/// Findings brought by a change may ask for changes of their own, which may bring findings in turn: so often.
const DEEPEST: usize = 3;
/// Conditions solved for the words of a report, over all trials, so that a check stays quick.
const CONDITIONS_FOR_WORDS: usize = 3_000;
/// Surveys made for a mended file.
const SURVEYS_FOR_FILE: usize = 120;

/// What a finding is, apart from its numbers: so it is known again in the changed jig.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct FindingKey {
    /// The check.
    pub(super) check: CheckName,
    /// What it is about.
    subject: Subject,
}

/// What a finding is about.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Subject {
    /// Its first part.
    Part(String),
    /// What is touched.
    Touchables(Vec<String>),
    /// Nets.
    Nets(Vec<String>),
}

/// Keys of all findings. A part that was added counts as the one it belongs to (`grown`: its name, that one's name).
pub(super) fn keys(judgement: &Judgement, grown: &[(String, String)]) -> Vec<FindingKey> {
    let owner = |name: &String| grown.iter().find(|g| g.0 == *name).map_or(name, |g| &g.1).clone();
    let subject = |f: &Finding| match (f.parts.first(), f.touchables.is_empty()) {
        (Some(part), _) => Subject::Part(owner(part)),
        (None, false) => Subject::Touchables(f.touchables.clone()),
        (None, true) => Subject::Nets(f.nets.clone()),
    };
    judgement.findings.iter().map(|f| FindingKey { check: f.check.clone(), subject: subject(f) }).collect()
}

/// A jig as changed so far, with everything known about it.
#[derive(Debug, Clone)]
pub(super) struct Attempt {
    /// The jig file as it was written.
    original: Rc<str>,
    /// What is changed in it.
    pub(super) changes: Vec<Change>,
    /// One a change.
    pub(super) edited: Vec<Edited>,
    /// The changed file.
    pub(super) text: String,
    pub(super) jig: Jig,
    survey: Rc<Survey>,
    pub(super) judgement: Judgement,
    pub(super) proposals: Vec<Vec<Proposal>>,
    /// Parts that were added, each with the part it belongs to.
    pub(super) grown: Vec<(String, String)>,
}

impl Attempt {
    /// The jig as it was written.
    pub(super) fn new(
        text: &str,
        jig: Jig,
        survey: Survey,
        judgement: Judgement,
        proposals: Vec<Vec<Proposal>>,
    ) -> Attempt {
        Attempt {
            original: text.into(),
            changes: vec![],
            edited: vec![],
            text: text.to_string(),
            jig,
            survey: survey.into(),
            judgement,
            proposals,
            grown: vec![],
        }
    }
}

/// What may still be tried.
pub(super) struct Tries<'a> {
    surveys: usize,
    /// Whether what only changes ratings is judged on the survey that is there. For a file nothing is taken on trust.
    share: bool,
    today: &'a str,
    /// How long the whole check may take.
    budget: Option<Budget>,
}

impl<'a> Tries<'a> {
    /// As many as the effort allows on a jig of that many conditions.
    pub(super) fn new(effort: Effort, judgement: &Judgement, today: &'a str, budget: Option<Budget>) -> Tries<'a> {
        let conditions = (judgement.conditions.solved + judgement.conditions.unsolved).max(1);
        let surveys = match effort {
            Effort::Words => CONDITIONS_FOR_WORDS / conditions,
            Effort::File => SURVEYS_FOR_FILE,
        };
        Tries { surveys, share: effort == Effort::Words, today, budget }
    }
}

impl Tries<'_> {
    /// Whether the survey that is there serves with these changes too.
    fn shares(&self, state: &Attempt, more: &[Change]) -> bool {
        self.share && more.iter().all(|c| only_compared(&state.jig, c))
    }
}

/// Whether the circuit is the same with another value there: ratings are only compared with, never solved.
fn only_compared(jig: &Jig, change: &Change) -> bool {
    let Change::Set { table: Table::Part(name), key, .. } = change else { return false };
    let Some(part) = jig.parts.iter().find(|p| p.name == *name) else { return false };
    part.kind.only_compared().contains(key)
}

/// A jig with changes written into it, not surveyed yet.
struct Written {
    changes: Vec<Change>,
    edited: Vec<Edited>,
    text: String,
    jig: Jig,
}

fn written(state: &Attempt, more: &[Change]) -> Option<Written> {
    let mut changes = state.changes.clone();
    more.iter().for_each(|c| put_on(&mut changes, c));
    let (text, edited) = edit::apply(&state.original, &changes)?;
    let jig = jig::parse(&state.jig.file, text.as_bytes()).ok()?;
    Some(Written { changes, edited, text, jig })
}

fn change(state: &Attempt, more: &[Change], written: Written, tries: &mut Tries) -> Option<Attempt> {
    let Written { changes, edited, text, jig } = written;
    if tries.budget.is_some_and(Budget::is_spent) {
        return None;
    }
    let survey = if tries.shares(state, more) {
        state.survey.clone()
    } else {
        tries.surveys = tries.surveys.checked_sub(1)?;
        survey::survey(&jig, &Options { budget: tries.budget, ..Options::default() }).into()
    };
    let (judgement, proposals) = checks::judge_and_propose(&jig, &survey, tries.today);
    let mut grown = state.grown.clone();
    for c in more {
        if let Change::Add { behind, name, .. } = c {
            let owner = grown.iter().find(|g| g.0 == *behind).map_or(behind, |g| &g.1).clone();
            grown.push((name.clone(), owner));
        }
    }
    Some(Attempt { original: state.original.clone(), changes, edited, text, jig, survey, judgement, proposals, grown })
}

/// Whether a wanted finding shows in the changed jig under its own fault alone, in the steady state: then it will show in
/// the whole survey too, which takes a hundred times as long.
fn plainly_there(state: &Attempt, jig: &Jig, wanted: &[FindingKey], today: &str) -> bool {
    let model = survey::build::build(jig);
    let now = keys(&state.judgement, &state.grown).into_iter().zip(&state.judgement.findings);
    let situations = now.filter(|(key, _)| wanted.contains(key));
    let situations = situations.filter_map(|(_, f)| checks::circumstance(&state.jig, &state.survey, &f.when));
    let mut seen: Vec<Vec<Fault>> = vec![];
    for situation in situations.filter(|s| s.moment.is_empty()) {
        let name = situation.faults.first().map_or(conditions::NO_FAULT, String::as_str);
        let Ok(faults) = conditions::named(jig, &model, name) else { continue };
        if seen.contains(&faults) {
            continue;
        }
        let (judgement, _) =
            checks::judge_and_propose(jig, &survey::only(jig, model.clone(), &faults, state.survey.budget), today);
        if keys(&judgement, &state.grown).iter().any(|key| wanted.contains(key)) {
            return true;
        }
        seen.push(faults);
    }
    false
}

/// Findings of `after` that `before` has not, or not so grave, by number.
fn new_or_graver(before: &Attempt, after: &Attempt) -> Vec<usize> {
    let was: Vec<_> = keys(&before.judgement, &after.grown).into_iter().zip(&before.judgement.findings).collect();
    let known = |key: &FindingKey, f: &Finding| was.iter().any(|(k, old)| k == key && old.signal <= f.signal);
    let now = keys(&after.judgement, &after.grown);
    let findings = &after.judgement.findings;
    // An acceptance of a finding that is cured has nothing left to accept: that is no harm.
    (0..findings.len()).filter(|&k| findings[k].check != CheckId::Acceptance && !known(&now[k], &findings[k])).collect()
}

/// The state with the changes where every wanted finding is gone and no new or graver one has come; and what the changes
/// themselves made necessary.
pub(super) fn cures(
    state: &Attempt,
    changes: &[Change],
    wanted: &[FindingKey],
    tries: &mut Tries,
) -> Option<(Attempt, Vec<Proposal>)> {
    let first = written(state, changes)?;
    if !tries.shares(state, changes) && plainly_there(state, &first.jig, wanted, tries.today) {
        return None;
    }
    let mut next = change(state, changes, first, tries)?;
    let mut besides: Vec<Proposal> = vec![];
    for depth in 0..=DEEPEST {
        let now = keys(&next.judgement, &next.grown);
        let brought = new_or_graver(state, &next);
        let open: Vec<usize> = (0..now.len()).filter(|k| brought.contains(k) || wanted.contains(&now[*k])).collect();
        if open.is_empty() {
            return Some((next, besides));
        }
        // What does not cure what it was meant for is no cure, whatever is added to it.
        if depth == DEEPEST || depth == 0 && now.iter().any(|k| wanted.contains(k)) {
            return None;
        }
        let mut more: Vec<Change> = vec![];
        for k in open {
            let proposal = next.proposals[k].first()?;
            if proposal.changes.iter().any(|c| more.iter().any(|m| m.same_place(c) && m != c)) {
                return None;
            }
            proposal.changes.iter().for_each(|c| put_on(&mut more, c));
            if !besides.contains(proposal) {
                besides.push(proposal.clone());
            }
        }
        let further = written(&next, &more)?;
        next = change(&next, &more, further, tries)?;
    }
    None
}
