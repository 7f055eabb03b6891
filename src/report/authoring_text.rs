//! What was made, tried or listed of plugins, as text. Must not run or look for a plugin.

use super::clean::clean;
use super::look::Look;
use super::page::Page;
use super::plural;
use super::table::{Column, put};
use crate::finding::FilePlace;
use serde::Serialize;
use std::path::Path;

/// What stands under a trial from which somebody may take that a plugin can be relied upon.
const CAUTION: &str = "Cases show what a plugin does on these jigs, not that it finds every hazard. Read SAFETY.md.";

/// A plugin that is there.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub(crate) struct Listed {
    /// Id.
    pub id: String,
    /// Version; empty where it could not be read.
    pub version: String,
    /// One line.
    pub title: String,
    /// Kinds of unit it is for.
    pub units: Vec<String>,
    /// `shipped`, `added` or `named`.
    pub from: &'static str,
    /// Hash of its files.
    pub sha256: String,
    /// Shops that vetted these bytes.
    pub vetted_by: Vec<String>,
    /// What it stands in for; empty where it is the only one of its id.
    pub instead: String,
    /// Why it must not run; empty where it may.
    pub stopped: String,
}

/// The cases of a plugin, run.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Trial {
    /// `ID@VERSION`.
    pub plugin: String,
    /// Its cases.
    pub cases: Vec<TrialCase>,
    /// What they leave open.
    pub notes: Vec<String>,
}

/// One case, run.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TrialCase {
    /// File.
    pub file: String,
    /// Line of `[expect]`.
    pub line: u32,
    /// Names of checks.
    pub expected: Vec<String>,
    /// Names of checks.
    pub found: Vec<String>,
    /// Expected and not found.
    pub missing: Vec<String>,
    /// Found and not expected: where, and what was found.
    pub surplus: Vec<(FilePlace, String)>,
    /// Why the plugin came to no end.
    pub failed: Option<String>,
}

impl TrialCase {
    fn as_expected(&self) -> bool {
        self.failed.is_none() && self.missing.is_empty() && self.surplus.is_empty()
    }
}

/// A plugin that was made.
pub(crate) fn made_text(folder: &Path, files: &[&str], look: Look) -> String {
    let mut page = Page::new(look);
    let at = clean(&folder.display().to_string());
    page.paragraph(&format!("Made {at}"));
    page.note("Holds", &files.join(", "));
    page.note("Next", &format!("deadfront plugin try {at}"));
    page.finish()
}

/// The plugins there are.
pub(crate) fn listed_text(list: &[Listed], remarks: &[String], look: Look) -> String {
    let mut page = Page::new(look);
    if list.is_empty() {
        page.paragraph("There is no plugin.");
        return page.finish();
    }
    let row = |l: &Listed| {
        let vetted = if l.vetted_by.is_empty() { "nobody".to_string() } else { l.vetted_by.join(", ") };
        let bytes: String = l.sha256.chars().take(12).collect();
        let why =
            [&l.stopped, &l.instead].into_iter().filter(|w| !w.is_empty()).cloned().collect::<Vec<_>>().join("; ");
        let cells = [l.id.clone(), l.version.clone(), l.units.join(", "), l.from.to_string(), vetted, bytes, why];
        cells.iter().map(|c| clean(c)).collect()
    };
    let columns = [
        Column::Words("plugin"),
        Column::Words("version"),
        Column::Words("units"),
        Column::Words("from"),
        Column::Words("vetted by"),
        Column::Words("sha256"),
        Column::Words("why"),
    ];
    put(&mut page, &columns, &list.iter().map(row).collect::<Vec<_>>());
    if !remarks.is_empty() {
        page.gap();
        remarks.iter().for_each(|r| page.bullet(&clean(r)));
    }
    page.finish()
}

/// What a plugin made of its cases.
pub(crate) fn trial_text(trial: &Trial, look: Look) -> String {
    let mut page = Page::new(look);
    let good = trial.cases.iter().filter(|c| c.as_expected()).count();
    let all = trial.cases.len();
    page.paragraph(&format!("{}: {good} of {} as expected", clean(&trial.plugin), plural(all, "case")));
    page.gap();
    let names = |list: &[String]| if list.is_empty() { "none".to_string() } else { list.join(", ") };
    let row = |c: &TrialCase| {
        let found = if c.failed.is_some() { "failed".to_string() } else { names(&c.found) };
        let came = if c.as_expected() { "as expected" } else { "differs" };
        let file = Path::new(&c.file).file_name().map_or(c.file.clone(), |n| n.to_string_lossy().into_owned());
        [file, names(&c.expected), found, came.to_string()].iter().map(|t| clean(t)).collect()
    };
    let columns = [Column::Words("case"), Column::Words("expected"), Column::Words("found"), Column::Words("came out")];
    put(&mut page, &columns, &trial.cases.iter().map(row).collect::<Vec<_>>());
    let mut told = vec![];
    for c in &trial.cases {
        let at = format!("{}:{}", c.file, c.line);
        told.extend(c.failed.iter().map(|why| format!("{at}: the plugin failed: {why}")));
        told.extend(c.missing.iter().map(|name| format!("{at}: {name} was expected and not found")));
        let surplus =
            c.surplus.iter().map(|(p, what)| format!("{}:{}:{}: not expected: {what}", p.file, p.line, p.column));
        told.extend(surplus);
    }
    if !told.is_empty() {
        page.heading("What differs");
        told.iter().for_each(|t| page.bullet(&clean(t)));
    }
    if !trial.notes.is_empty() {
        page.heading("What the cases leave open");
        trial.notes.iter().for_each(|n| page.bullet(&clean(n)));
    }
    page.gap();
    page.paragraph(CAUTION);
    page.finish()
}
