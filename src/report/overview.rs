//! Several jigs at a glance: a line each, the worst first. Must not judge.

use super::brief::worst_first;
use super::page::Page;
use super::table::{self, Column};
use super::{Look, clean, counts, word};
use crate::finding::{Judgement, Verdict, actions};

/// The table. Those that could not be read are named below it, in the order they were asked for.
pub(crate) fn overview_text(judgements: &[&Judgement], unread: &[String], look: Look) -> String {
    let mut page = Page::new(look);
    let folder = shared_folder(judgements);
    page.paragraph(&format!(
        "{}{} checked, the worst first{}",
        super::plural(judgements.len(), "jig"),
        folder.as_ref().map_or_else(String::new, |f| format!(" of {}", clean(f))),
        if unread.is_empty() { String::new() } else { format!("; {} could not be read", unread.len()) }
    ));
    let rows: Vec<Vec<String>> = ordered(judgements).into_iter().map(|j| row(j, folder.as_deref())).collect();
    let columns = ["verdict", "jig", "found", "worst"].map(Column::Words);
    table::put(&mut page, &columns, &rows);
    unread.iter().for_each(|file| page.bullet(&format!("{} could not be read: see the errors", clean(file))));
    page.finish()
}

/// The worst first; those alike in the order they were asked for.
pub(crate) fn ordered<'a>(judgements: &[&'a Judgement]) -> Vec<&'a Judgement> {
    let mut ordered = judgements.to_vec();
    ordered.sort_by_key(|j| {
        let gravest = j.findings.iter().map(|f| f.signal).min();
        let many = j.findings.iter().filter(|f| Some(f.signal) == gravest).count();
        (rank(j), gravest.map_or(usize::MAX, |s| s as usize), std::cmp::Reverse(many))
    });
    ordered
}

fn rank(j: &Judgement) -> u8 {
    match (j.verdict(), j.complete()) {
        (Verdict::Stop, _) => 0,
        (_, false) => 1,
        (Verdict::Caution, true) => 2,
        (Verdict::NoFinding, true) => 3,
    }
}

/// Whether more is to be said of a jig than its line.
pub(crate) fn is_told(j: &Judgement) -> bool {
    rank(j) < 3
}

/// The folder that all of them lie in, where there are several and it is one.
fn shared_folder(judgements: &[&Judgement]) -> Option<String> {
    let folder = |j: &&Judgement| j.jig_file.rsplit_once('/').map(|(folder, _)| folder.to_string());
    let first = judgements.first().and_then(folder)?;
    judgements.iter().all(|j| folder(j).as_ref() == Some(&first)).then_some(first)
}

fn row(j: &Judgement, folder: Option<&str>) -> Vec<String> {
    let verdict = match (j.verdict(), j.complete()) {
        (Verdict::Stop, _) => j.findings.iter().map(|f| f.signal).min().map_or("", word),
        (_, false) => "not finished",
        (Verdict::Caution, true) => "CAUTION",
        (Verdict::NoFinding, true) => "–",
    };
    let findings = worst_first(j);
    let worst = actions(&findings).first().and_then(|a| a.findings.first()).map(|k| findings[*k].check.to_string());
    let worst = worst.filter(|_| rank(j) < 3).unwrap_or_default();
    // Short enough for a line: the gravest, and how many there are of all.
    let all = j.findings.len();
    let found = match counts(&j.findings).first() {
        None => "nothing".to_string(),
        Some(gravest) if gravest.starts_with(&format!("{all} ")) => gravest.clone(),
        Some(gravest) => format!("{gravest} of {all}"),
    };
    let file =
        folder.and_then(|f| j.jig_file.strip_prefix(f)).map_or(j.jig_file.as_str(), |f| f.trim_start_matches('/'));
    [verdict.to_string(), file.to_string(), found, worst].iter().map(|c| clean(c)).collect()
}
