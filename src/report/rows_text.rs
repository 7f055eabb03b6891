//! A list of what a jig file may name, as text. Must not know where its rows come from.

use super::clean::clean;
use super::look::Look;
use super::page::Page;
use super::table::put_free;
use crate::finding::Rows;

/// The page for a terminal. No line is wider than `look.width`. What every row shares stands once, below.
pub(crate) fn rows_text(rows: &Rows, look: Look) -> String {
    let mut page = Page::new(look);
    page.paragraph(&rows.about);
    let heads: Vec<String> = rows.columns.iter().map(|c| c.to_string()).collect();
    let numbers = vec![false; heads.len()];
    let source = rows.columns.iter().position(|c| *c == "source");
    let mut sources: Vec<&str> = vec![];
    let mut cells: Vec<Vec<String>> = vec![];
    for row in &rows.rows {
        let mut row: Vec<String> = row.iter().map(|c| clean(c)).collect();
        if let Some((k, text)) = source.and_then(|k| Some((k, rows.rows[cells.len()].get(k)?))) {
            // A source is told once, at the foot; the row has its number.
            let n = sources.iter().position(|s| s == text).unwrap_or_else(|| {
                sources.push(text);
                sources.len() - 1
            });
            row[k] = format!("[{}]", n + 1);
        }
        cells.push(row);
    }
    put_free(&mut page, &heads, &numbers, &cells);
    for (n, source) in sources.iter().enumerate() {
        let first = format!("{:<5}", format!("[{}]", n + 1));
        page.hang(&first, "     ", &clean(source));
    }
    page.finish()
}
