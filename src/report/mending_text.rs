//! What a mending changed and what it left, behind the report of the jig as it is. Must not judge.

use super::page::Page;
use super::table::{self, Column};
use super::{clean, plural};
use crate::finding::{CheckName, Mending};

/// Puts it on a page; text from files is cleaned.
pub(super) fn put(page: &mut Page, mending: &Mending) {
    let m = &clean::mending(mending);
    page.heading(if m.file.is_some() { "Mended" } else { "Not mended" });
    match &m.file {
        Some(file) => page.paragraph(&format!(
            "{file} is written, with {}. It is a plan, not a tool: fit the parts it names, then check that file and what you \
             have built.",
            plural(m.changes.len(), "change")
        )),
        None => page.paragraph("No change of a number cures a finding of this jig, so no file was written."),
    }
    if !m.changes.is_empty() {
        let rows: Vec<Vec<String>> = m
            .changes
            .iter()
            .map(|c| {
                let checks: Vec<&str> = c.checks.iter().map(CheckName::as_str).collect();
                let from = c.from.clone().unwrap_or_else(|| "–".to_string());
                vec![c.part.clone(), c.key.clone(), from, c.to.clone(), checks.join(", ")]
            })
            .collect();
        let columns = ["part", "key", "was", "is now", "because of"].map(Column::Words);
        table::put(page, &columns, &rows);
    }
    if !m.left.is_empty() {
        page.heading("Left to be done");
        for l in &m.left {
            let parts = if l.parts.is_empty() { String::new() } else { format!(" ({})", l.parts.join(", ")) };
            page.bullet(&format!("{}{parts}: {}", l.check, l.why));
        }
    }
}
