//! Two versions of a plugin beside each other, as text. Must not compare.

use super::look::Look;
use super::page::Page;
use crate::plugin::compared::{Change, Line};
use crate::quantity::one_line;

/// What differs between two versions of a plugin.
pub(crate) struct Difference {
    /// Both of them, `ID@VERSION`.
    pub stamps: [String; 2],
    /// What they say of themselves.
    pub changes: Vec<Change>,
    /// Files by name, and whether they are new, gone or changed.
    pub files: Vec<(String, &'static str)>,
    /// Lines of `check.lua`.
    pub code: Vec<Line>,
    /// Cases of the old one that come out otherwise on the new one, a line each.
    pub old_cases: Vec<String>,
    /// Jigs on which they differ.
    pub jigs: Vec<JigDifference>,
}

/// What two versions find on one jig.
pub(crate) struct JigDifference {
    /// The jig.
    pub file: String,
    /// What the old one finds, a line each.
    pub before: Vec<String>,
    /// What the new one finds.
    pub now: Vec<String>,
}

/// What an update changes.
pub(crate) fn difference_text(d: &Difference, look: Look) -> String {
    let mut page = Page::new(look);
    page.paragraph(&format!("{} beside {}", one_line(&d.stamps[1]), one_line(&d.stamps[0])));
    page.heading(&counted("Changes in what it says, limits, numbers and settings first", d.changes.len()));
    for Change { what, before, now } in &d.changes {
        let none = |text: &str| if text.is_empty() { "none".to_string() } else { one_line(text) };
        page.bullet(&format!("{}: {} → {}", one_line(what), none(before), none(now)));
    }
    page.heading(&counted("Cases of the old version that the new one does not pass", d.old_cases.len()));
    d.old_cases.iter().for_each(|line| page.bullet(&one_line(line)));
    page.heading(&counted("Jigs of those named on which they differ", d.jigs.len()));
    for jig in &d.jigs {
        page.bullet(&one_line(&jig.file));
        jig.before.iter().filter(|l| !jig.now.contains(l)).for_each(|l| page.hang("    - ", "      ", &one_line(l)));
        jig.now.iter().filter(|l| !jig.before.contains(l)).for_each(|l| page.hang("    + ", "      ", &one_line(l)));
    }
    page.heading(&counted("Files that are not the same", d.files.len()));
    d.files.iter().for_each(|(name, how)| page.bullet(&format!("{}: {how}", one_line(name))));
    page.heading(&counted("Lines of check.lua, - as it was, + as it is, what is not seen written out", d.code.len()));
    for Line { sign, number, text } in &d.code {
        let shown = one_line(&text.replace('\t', "    "));
        page.line(&format!("{sign}{number:>4} {shown}"));
    }
    page.gap();
    page.paragraph("Only what is named here was compared; read the code that stands around a change. Read SAFETY.md.");
    page.finish()
}

fn counted(what: &str, count: usize) -> String {
    if count == 0 { format!("{what}: none") } else { format!("{what}: {count}") }
}
