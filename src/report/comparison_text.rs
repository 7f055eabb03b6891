//! Two jigs beside each other, as text. Must not compare.

use super::clean::clean;
use super::look::Look;
use super::number::per_cent;
use super::page::Page;
use super::table::{self, Column};
use super::{finding, plural, word};
use crate::finding::comparison::{Comparison, Moved, OneOfTwo};
use crate::finding::{Finding, Situation, Verdict};

/// Rows of what moved.
const MOST_MOVED: usize = 12;

/// The page for a terminal. No line is wider than `look.width`; text from files is cleaned.
pub(crate) fn comparison_text(c: &Comparison, look: Look) -> String {
    let mut page = Page::new(look);
    page.paragraph(&format!("Old  {}", side(&c.old)));
    page.paragraph(&format!("New  {}", side(&c.new)));
    changes(&mut page, c);
    findings(&mut page, "Gone", "No finding is gone.", &c.gone);
    findings(&mut page, "Come", "No finding has come.", &c.come);
    moved(&mut page, &c.moved);
    page.gap();
    page.paragraph(&format!(
        "{} gone, {} come: {}",
        plural(c.gone.len(), "finding"),
        plural(c.come.len(), "finding"),
        side(&c.new)
    ));
    page.finish()
}

fn side(side: &OneOfTwo) -> String {
    let verdict = match (side.verdict, side.complete) {
        (Verdict::Stop, _) => "do not plug it in",
        (_, false) => "the check could not be finished",
        (Verdict::Caution, true) => "look at its findings before it is used",
        (Verdict::NoFinding, true) => "nothing graver than NOTICE found",
    };
    format!("{}: {verdict}", clean(&side.file))
}

fn changes(page: &mut Page, c: &Comparison) {
    page.heading("Written differently");
    if c.changes.is_empty() {
        return page.paragraph("Nothing but comments and order.");
    }
    let cell = |text: &Option<String>| text.as_deref().map_or("–".to_string(), clean);
    let rows: Vec<Vec<String>> =
        c.changes.iter().map(|x| vec![clean(&x.what), clean(&x.key), cell(&x.from), cell(&x.to)]).collect();
    table::put(page, &["what", "key", "was", "is now"].map(Column::Words), &rows);
}

fn findings(page: &mut Page, heading: &str, none: &str, list: &[Finding]) {
    page.heading(heading);
    if list.is_empty() {
        return page.paragraph(none);
    }
    for f in list {
        let f = super::clean::finding(f);
        let about = [finding::subject(&f), finding::comparison(&f)].join(" ");
        page.hang("  ", "    ", &format!("{} {} {}: {}", word(f.signal), f.check, about.trim(), f.message));
    }
}

fn moved(page: &mut Page, all: &[Moved]) {
    page.heading("Moved against a limit (100 % is the whole rating)");
    if all.is_empty() {
        return page.paragraph("Nothing by more than a hundredth of its rating.");
    }
    let rows: Vec<Vec<String>> = all
        .iter()
        .take(MOST_MOVED)
        .map(|m| {
            let when = match m.kind {
                Situation::Normal => "in normal use",
                Situation::SingleFault => "after one fault",
                Situation::Transient => "for a moment",
            };
            let way = if m.used_now > m.used_before { "nearer" } else { "farther" };
            let quantity = super::check_text::quantity_words(m.quantity.name());
            vec![clean(&m.part), quantity, when.into(), per_cent(m.used_before), per_cent(m.used_now), way.into()]
        })
        .collect();
    let columns = [
        Column::Words("part"),
        Column::Words("quantity"),
        Column::Words("when"),
        Column::Number("was"),
        Column::Number("is now"),
        Column::Words("limit is"),
    ];
    table::put(page, &columns, &rows);
    if all.len() > MOST_MOVED {
        page.paragraph(&format!("{} more: see --format json.", all.len() - MOST_MOVED));
    }
}
