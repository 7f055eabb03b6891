//! The verdict, first and last on the page, and what it is the verdict of.

use crate::finding::{Finding, Judgement, Verdict, actions, gravest};
use crate::report::page::{Page, wrap};
use crate::report::{check_text, counts, gravest_first, word};

/// The verdict, the jig, how much was tried, and what keeps the check from being complete.
pub(crate) fn first(page: &mut Page, j: &Judgement, all: bool) {
    verdict(page, j);
    page.paragraph(&format!("{} ({})", j.jig_name, j.jig_file));
    let hint = if all || j.replay.is_some() { "" } else { " --all prints every value." };
    page.paragraph(&format!("{}{hint}", check_text::tried_words(j)));
    incomplete(page, j);
}

/// What keeps the check from being complete, or from knowing the kind of tool. It belongs to the verdict: nobody reads on to
/// the end of a good one.
fn incomplete(page: &mut Page, j: &Judgement) {
    if let Some(unit) = &j.unit_without_checks {
        let vowel = unit.chars().next().is_some_and(|c| "aeiouAEIOU".contains(c));
        let a = if vowel { "an" } else { "a" };
        page.paragraph(&format!("No checks for {a} {unit} are here: only the core has looked."));
    }
    for run in j.plugins.iter().filter(|r| r.outcome == "ran" && r.why.starts_with("in place of")) {
        page.paragraph(&format!("The plugin {} {} ran {}.", run.id, run.version, run.why));
    }
    if !j.complete() {
        page.paragraph(&format!("The check is not complete: {}.", check_text::gaps(j).join("; ")));
    }
}

/// What is worst and what to change first, and the verdict.
pub(crate) fn last(page: &mut Page, j: &Judgement) {
    if matches!(j.verdict(), Verdict::Stop | Verdict::Caution) && j.replay.is_none() {
        let findings = worst_first(j);
        // A CAUTION is told in full a screen above: what to change is enough.
        if let Some(f) = gravest(&findings).filter(|_| j.verdict() == Verdict::Stop) {
            page.paragraph(&format!("Worst: {} ({}, line {}).", f.message, f.check, f.place.line));
        }
        if let Some(first) = actions(&findings).first() {
            page.paragraph(&format!("Change first: {}.", first.change.trim_end_matches('.')));
        }
    }
    incomplete(page, j);
    verdict(page, j);
}

/// The findings as JSON orders them, which is the order that actions count in.
pub(crate) fn worst_first(j: &Judgement) -> Vec<Finding> {
    gravest_first(&j.findings).into_iter().cloned().collect()
}

pub(crate) fn verdict(page: &mut Page, j: &Judgement) {
    for (k, line) in wrap(&verdict_line(j), page.look, "", "").iter().enumerate() {
        let gravest = j.findings.iter().map(|f| f.signal).min();
        match gravest.and_then(|s| Some((s, line.strip_prefix(word(s)).filter(|_| k == 0)?))) {
            Some((signal, rest)) => page.line(&format!("{}{rest}", page.look.paint(signal))),
            None => page.line(line),
        }
    }
}

/// The verdict in a line: what to do about the tool, and how much was found.
pub(crate) fn verdict_line(j: &Judgement) -> String {
    let counted = counts(&j.findings).join(", ");
    let behind = if counted.is_empty() { String::new() } else { format!(": {counted}") };
    let gravest = j.findings.iter().map(|f| f.signal).min().map_or("", word);
    match j.verdict() {
        Verdict::Stop => format!("{gravest} Do not plug it in{behind}"),
        _ if j.only => "One condition looked at: this is no check of the tool".to_string(),
        // An incomplete check must never look like a finished one.
        _ if !j.complete() => {
            format!("Do not plug it in: the check could not be finished{}", behind.replace(": ", ", "))
        }
        Verdict::Caution => format!("{gravest} Look at these before it is used{behind}"),
        Verdict::NoFinding => {
            format!("Nothing graver than NOTICE found{behind}. That is no proof")
        }
    }
}
