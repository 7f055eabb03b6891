//! What was written to begin from, as text, and what to do with it.

use super::clean::clean;
use super::look::Look;
use super::page::Page;
use crate::sizing::Begun;

/// The page for a terminal. No line is wider than `look.width`.
pub(crate) fn begun_text(begun: &Begun, file: &str, look: Look) -> String {
    let mut page = Page::new(look);
    let file = clean(file);
    page.paragraph(&format!("Wrote {file}: {} for {}.", begun.unit, clean(&begun.supply)));
    begun.notes.iter().for_each(|note| page.bullet(&clean(note)));
    page.paragraph(
        "It checks without DANGER or WARNING as it stands. It is a plan to begin from, and not your tool yet.",
    );
    page.heading("Change first");
    for (n, line) in begun.first.iter().enumerate() {
        page.hang(&format!("{}. ", n + 1), "   ", line);
    }
    page.heading("Then");
    page.hang("   ", "   ", &format!("deadfront check {file}"));
    page.finish()
}
