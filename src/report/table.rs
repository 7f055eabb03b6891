//! Tables ruled like those of a printed standard: a heavy line above and below, a light one under the heads,
//! space between the columns. Must not know what stands in them.

use super::page::Page;
use comfy_table::{Cell, CellAlignment, ContentArrangement, LineStyle, Table, TableStyle};
use textwrap::core::display_width;

/// Only the rule under the heads is the table's; the heavy ones are drawn as wide as the table came out.
const LOOK: TableStyle = TableStyle::new().header_separator(LineStyle::none().fill('─'));
const HEAVY: &str = "━";

/// How a column stands.
#[derive(Clone, Copy)]
pub(super) enum Column {
    /// Words: to the left; given up first when the page is narrow.
    Words(&'static str),
    /// Numbers: to the right.
    Number(&'static str),
}

/// Puts a table on the page, never wider than it. Columns whose cells are all empty are left out. No rows, no table.
pub(super) fn put(page: &mut Page, columns: &[Column], rows: &[Vec<String>]) {
    if rows.is_empty() {
        return;
    }
    let heads = columns.iter().map(|c| match c {
        Column::Words(head) | Column::Number(head) => head.to_string(),
    });
    let numbers: Vec<bool> = columns.iter().map(|c| matches!(c, Column::Number(_))).collect();
    put_free(page, &heads.collect::<Vec<_>>(), &numbers, rows);
}

/// As [`put`], with heads made at run time; `numbers` tells the columns that stand to the right.
pub(super) fn put_free(page: &mut Page, heads: &[String], numbers: &[bool], rows: &[Vec<String>]) {
    let used: Vec<usize> =
        (0..heads.len()).filter(|&i| rows.iter().any(|row| row.get(i).is_some_and(|cell| !cell.is_empty()))).collect();
    let mut table = Table::new();
    table.load_style(LOOK);
    table.set_content_arrangement(ContentArrangement::Dynamic);
    // Each column carries two columns of space to its right; that of the last one is trimmed off again.
    table.set_width(u16::try_from(page.look.width).unwrap_or(u16::MAX));
    table.set_header(used.iter().map(|&i| Cell::new(&heads[i])));
    for row in rows {
        table.add_row(used.iter().map(|&i| Cell::new(row.get(i).map_or("", String::as_str))));
    }
    for (place, &i) in used.iter().enumerate() {
        if let Some(column) = table.column_mut(place) {
            column.set_padding((0, if place + 1 == used.len() { 0 } else { 2 }));
            column.set_cell_alignment(if numbers[i] { CellAlignment::Right } else { CellAlignment::Left });
        }
    }
    let lines: Vec<String> = table.lines().map(|line| line.trim_end().to_string()).collect();
    let widest = lines.iter().map(|line| display_width(line)).max().unwrap_or(0);
    let heavy = HEAVY.repeat(widest.min(page.look.width));
    page.line(&heavy);
    lines.iter().for_each(|line| page.line(line));
    page.line(&heavy);
}
