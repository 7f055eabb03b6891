//! A plugin's cases: jig files with what the plugin must find in them. Reads them, runs the plugin on each, and compares. Must
//! not print.

use super::folder::{Folder, Plugin};
use super::vm::Bounds;
use super::what_if::Subject;
use super::{run, settings, worker};
use crate::checks;
use crate::finding::{CheckId, Finding, Signal};
use crate::jig::{self, InputError, Jig, Place};
use crate::survey::budget::Budget;
use crate::survey::ledger::Outcome;
use crate::survey::unsolved::NotSolved;
use crate::survey::{self, Options, Survey};
use serde::Deserialize;
use std::collections::BTreeSet;
use std::sync::Arc;
use std::time::Duration;

/// A jig file with what a plugin must find in it.
#[derive(Debug, Clone)]
pub(crate) struct Case {
    /// File, for messages.
    pub file: String,
    /// Line of `[expect]`.
    pub line: u32,
    /// The jig.
    pub jig: Jig,
    /// Names of checks; none where the plugin must find nothing.
    pub expected: BTreeSet<String>,
    /// What is asked of some of them besides.
    pub wanted: Vec<Wanted>,
}

/// What is asked of a finding besides its check.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Wanted {
    /// Name of its check.
    pub check: String,
    /// A part that it names.
    pub part: Option<String>,
    /// How grave it is.
    pub signal: Option<Signal>,
}

impl Wanted {
    fn fits(&self, f: &Finding) -> bool {
        f.check == *self.check
            && self.part.as_ref().is_none_or(|p| f.parts.contains(p))
            && self.signal.is_none_or(|s| f.signal == s)
    }

    /// In words.
    pub(crate) fn words(&self) -> String {
        let part = self.part.as_ref().map_or_else(String::new, |p| format!(" of {p}"));
        let signal = self.signal.map_or_else(String::new, |s| format!(" as {}", s.word()));
        format!("{}{part}{signal}", self.check)
    }
}

/// What a plugin made of one case.
#[derive(Debug, Clone)]
pub(crate) struct CaseResult {
    /// File, for messages.
    pub file: String,
    /// Line of `[expect]`.
    pub line: u32,
    /// Names of checks that were expected.
    pub expected: BTreeSet<String>,
    /// What was asked of some of them besides.
    pub wanted: Vec<Wanted>,
    /// What the plugin found; why it came to no end.
    pub outcome: Result<Vec<Finding>, String>,
    /// Loose ends that the core finds in the jig: it may not be the one that is meant.
    pub loose_ends: Vec<Finding>,
}

impl CaseResult {
    /// Names of the checks that found something.
    pub(crate) fn found(&self) -> BTreeSet<String> {
        self.outcome.iter().flatten().map(|f| f.check.to_string()).collect()
    }

    /// Whether exactly the expected checks found something, and each what was asked of it besides.
    pub(crate) fn as_expected(&self) -> bool {
        self.outcome.is_ok() && self.found() == self.expected && self.unmet().next().is_none()
    }

    /// What was asked of a check that found something, and what it did not find.
    pub(crate) fn unmet(&self) -> impl Iterator<Item = &Wanted> {
        let found: Vec<&Finding> = self.outcome.iter().flatten().collect();
        let named = self.found();
        self.wanted.iter().filter(move |w| named.contains(&w.check) && !found.iter().any(|f| w.fits(f)))
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Tail {
    expect: toml::Spanned<Expect>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Expect {
    findings: Option<toml::Spanned<Vec<toml::Spanned<One>>>>,
    none: Option<toml::Spanned<bool>>,
}

/// A finding that is expected: the name of its check, or a table that says more.
#[derive(Deserialize)]
#[serde(untagged)]
enum One {
    Name(String),
    More(More),
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct More {
    check: String,
    part: Option<String>,
    signal: Option<String>,
}

const HELP: &str = "end the file with [expect] and findings = [\"check-name\"] under it, or none = true";

const SAYS_NOTHING: &str = "says not what the plugin must find";

/// Reads every case of a plugin: what ends in `.toml` under `cases/`, in the order of the names.
///
/// # Errors
/// All that is wrong with them; or that there is none.
pub(crate) fn read(folder: &Folder, plugin: &Plugin) -> Result<Vec<Case>, Vec<InputError>> {
    let (mut cases, mut errors) = (vec![], vec![]);
    for (name, bytes) in &folder.files {
        if name.starts_with("cases/") && name.ends_with(".toml") {
            match case(&folder.origin.join(name).display().to_string(), bytes, plugin) {
                Ok(case) => cases.push(case),
                Err(more) => errors.extend(more),
            }
        }
    }
    if cases.is_empty() && errors.is_empty() {
        let help = "put a jig file that it must pass and one that it must flag there, each with [expect] at its end";
        let file = folder.origin.join("cases").display().to_string();
        let message = "there is no case, so nothing shows that the plugin works".to_string();
        errors.push(InputError::of_file(file, message, help));
    }
    if errors.is_empty() { Ok(cases) } else { Err(errors) }
}

/// The number of the last line that is the header `[expect]`, from 0.
fn header(text: &str) -> Option<usize> {
    let is = |line: &str| {
        let line = line.split('#').next().unwrap_or_default().trim();
        line.strip_prefix('[').and_then(|l| l.strip_suffix(']')).is_some_and(|l| l.trim() == "expect")
    };
    text.lines().enumerate().filter(|(_, l)| is(l)).last().map(|(k, _)| k)
}

/// Parts a case: the jig file before `[expect]`, and `[expect]`. The lines keep their numbers in both.
fn case(file: &str, bytes: &[u8], plugin: &Plugin) -> Result<Case, Vec<InputError>> {
    // A file that is no text, or no jig, has an error of its own, which the reader of jigs tells.
    let none = || {
        let none = vec![InputError::of_file(file, SAYS_NOTHING, HELP)];
        Err(jig::parse(file, bytes).err().unwrap_or(none))
    };
    let Ok(text) = std::str::from_utf8(bytes) else { return none() };
    let Some(header) = header(text) else { return none() };
    let start: usize = text.split_inclusive('\n').take(header).map(str::len).sum();
    let (front, tail) = text.split_at(start);
    let line = u32::try_from(header).unwrap_or(u32::MAX - 1) + 1;
    let padded = "\n".repeat(header) + tail;
    let (wanted, mut errors) = expected(file, line, &padded, plugin);
    match jig::parse(file, front.as_bytes()) {
        Ok(jig) if !plugin.manifest.units.contains(&jig.unit) => {
            let place = jig.places.get("jig.unit").or_else(|| jig.places.get("jig")).copied().unwrap_or_default();
            let place = Place { line: place.line.max(1), column: place.column.max(1) };
            let message = format!("the plugin does not look at a jig of the unit {:?}", jig.unit);
            let help = format!("write unit = {:?}, or name the unit in plugin.toml", plugin.manifest.units[0]);
            errors.push(InputError::at(file, place, message, help));
            Err(errors)
        }
        Ok(jig) => {
            let stranger = |p: &&String| !jig.parts.iter().any(|own| own.name == **p);
            if let Some(part) = wanted.iter().filter_map(|w| w.part.as_ref()).find(stranger) {
                let message = format!("[expect] names {part:?}, which is no part of this jig");
                errors.push(InputError::at(file, Place { line, column: 1 }, message, "name a part of the file"));
            }
            let expected = wanted.iter().map(|w| w.check.clone()).collect();
            let case = Case { file: file.to_string(), line, jig, expected, wanted };
            if errors.is_empty() { Ok(case) } else { Err(errors) }
        }
        Err(more) => Err(more.into_iter().chain(errors).collect()),
    }
}

/// What `[expect]`, which begins at `line` of the text, asks for, and what is wrong with it.
fn expected(file: &str, line: u32, text: &str, plugin: &Plugin) -> (Vec<Wanted>, Vec<InputError>) {
    let (mut expected, mut errors): (Vec<Wanted>, _) = (vec![], vec![]);
    let mut wrong = |place: Place, message: String, help: &str| errors.push(InputError::at(file, place, message, help));
    let begin = Place { line, column: 1 };
    let expect = match toml::from_str::<Tail>(text) {
        Ok(Tail { expect }) => expect.into_inner(),
        Err(e) => {
            wrong(jig::place_in(text, e.span().map_or(0, |s| s.start)), e.message().to_string(), HELP);
            return (expected, errors);
        }
    };
    match (&expect.findings, &expect.none) {
        (Some(list), None) if !list.get_ref().is_empty() => {}
        (None, Some(yes)) if *yes.get_ref() => {}
        (Some(_), Some(_)) => wrong(begin, "findings and none exclude each other".into(), HELP),
        _ => wrong(begin, SAYS_NOTHING.into(), HELP),
    }
    for one in expect.findings.into_iter().flat_map(toml::Spanned::into_inner) {
        let place = jig::place_in(text, one.span().start);
        let (check, part, word) = match one.into_inner() {
            One::Name(check) => (check, None, None),
            One::More(More { check, part, signal }) => (check, part, signal),
        };
        let signal = word.as_deref().and_then(|w| Signal::ALL.into_iter().find(|s| s.word() == w));
        if let (Some(word), None) = (&word, signal) {
            let known = Signal::ALL.map(Signal::word).join(", ");
            wrong(place, format!("{word:?} is no signal word"), &format!("write one of {known}"));
        }
        let wanted = Wanted { check, part, signal };
        if !plugin.manifest.checks.contains_key(&wanted.check) {
            let known = plugin.manifest.checks.keys().cloned().collect::<Vec<_>>().join(", ");
            let help = format!("it declares {known}; what the core finds is not listed here");
            wrong(place, format!("plugin.toml declares no check {:?}", wanted.check), &help);
        } else if expected.contains(&wanted) {
            wrong(place, format!("{:?} stands here twice", wanted.check), "name each check once");
        } else {
            expected.push(wanted);
        }
    }
    (expected, errors)
}

/// Runs a plugin on a case, in a machine of its own.
pub(crate) fn run(plugin: &Plugin, case: &Case, bounds: Bounds) -> CaseResult {
    let survey = surveyed(&case.jig);
    let in_time = in_time(&survey);
    // Acceptances lapse by the day; what a plugin finds does not depend on it.
    let judgement = checks::judge(&case.jig, &survey, "0000-00-00");
    let loose_ends = judgement.findings.iter().filter(|f| f.check == CheckId::LooseEnd).cloned().collect();
    let set = settings::of(&case.jig, &plugin.manifest);
    let subject = Arc::new(Subject::new(case.jig.clone(), survey, &judgement));
    let outcome = in_time
        .and(set)
        .and_then(|set| worker::one(plugin, set, &subject, bounds).map_err(|f| run::failure_words(plugin, &f)));
    let Case { file, line, expected, wanted, .. } = case.clone();
    CaseResult { file, line, expected, wanted, outcome, loose_ends }
}

/// How long the conditions of one case may take: a case comes from a stranger.
const LONGEST_CASE: Duration = Duration::from_secs(60);

fn surveyed(jig: &Jig) -> Survey {
    survey::survey(jig, &Options { budget: Budget::from_now(LONGEST_CASE), ..Options::default() })
}

/// Whether all was tried before what a plugin finds in it says anything.
fn in_time(survey: &Survey) -> Result<(), String> {
    let late = survey.ledger.tried.iter().any(|t| t.outcome == Outcome::Unsolved(NotSolved::OutOfTime));
    if late { Err(format!("the conditions of its jig took longer than {} s", LONGEST_CASE.as_secs())) } else { Ok(()) }
}

/// A jig with what the core knows of it, on which several plugins are run by themselves.
pub(crate) struct Alone {
    subject: Arc<Subject>,
    /// What the core finds: verdict and number of findings.
    without: (String, usize),
    /// Whether that was found in time.
    in_time: Result<(), String>,
}

impl Alone {
    /// Surveys and judges it.
    pub(crate) fn new(jig: Jig) -> Alone {
        let survey = surveyed(&jig);
        let judgement = checks::judge(&jig, &survey, "0000-00-00");
        let without = (judgement.verdict().word().to_string(), judgement.findings.len());
        let in_time = in_time(&survey);
        Alone { subject: Arc::new(Subject::new(jig, survey, &judgement)), without, in_time }
    }

    /// What the core finds by itself: the verdict and how many findings.
    pub(crate) fn without(&self) -> (String, usize) {
        self.without.clone()
    }

    /// What a plugin finds, a line each: signal word, check and message; or why it came to no end.
    pub(crate) fn told_by(&self, plugin: &Plugin, bounds: Bounds) -> Vec<String> {
        let set = self.in_time.clone().and_then(|()| settings::of(&self.subject.jig, &plugin.manifest));
        let outcome = set.and_then(|set| {
            worker::one(plugin, set, &self.subject, bounds).map_err(|f| run::failure_words(plugin, &f))
        });
        match outcome {
            Ok(found) => found.iter().map(|f| format!("{} {}: {}", f.signal.word(), f.check, f.message)).collect(),
            Err(why) => vec![format!("fails: {why}")],
        }
    }
}
