//! Tables ruled like those of a printed standard: a heavy line above and below, a light one under the heads,
//! space between the columns. Must not know what stands in them.

use super::page::{INDENT, Page};
use comfy_table::{Cell, CellAlignment, ColumnConstraint, ContentArrangement, LineStyle, Table, TableStyle, Width};
use textwrap::core::display_width;

/// Only the rule under the heads is the table's; the heavy ones are drawn as wide as the table came out.
const LOOK: TableStyle = TableStyle::new().header_separator(LineStyle::none().fill('─'));
const HEAVY: &str = "━";

/// Columns of space between two columns.
const GAP: usize = 2;
/// Below so many columns a table becomes a list.
const NARROW: usize = 60;

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
    let look = page.look;
    let shown = |cells: &[String]| cells.iter().map(|cell| look.shown(cell).into_owned()).collect::<Vec<_>>();
    let heads = &shown(heads)[..];
    let rows = &rows.iter().map(|row| shown(row)).collect::<Vec<_>>()[..];
    let used: Vec<usize> =
        (0..heads.len()).filter(|&i| rows.iter().any(|row| row.get(i).is_some_and(|cell| !cell.is_empty()))).collect();
    let least = least_widths(heads, rows, &used);
    let needed: usize = least.iter().sum::<usize>() + GAP * used.len().saturating_sub(1);
    if page.look.width < NARROW || needed > page.look.width {
        return put_list(page, heads, rows, &used);
    }
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
            let gap = if place + 1 == used.len() { 0 } else { GAP };
            column.set_padding((0, u16::try_from(gap).unwrap_or(0)));
            // No word is broken: each column is as wide as its longest.
            let least = u16::try_from(least[place] + gap).unwrap_or(u16::MAX);
            column.set_constraint(ColumnConstraint::LowerBoundary(Width::Fixed(least)));
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

/// Columns that the longest word of each column takes.
fn least_widths(heads: &[String], rows: &[Vec<String>], used: &[usize]) -> Vec<usize> {
    let longest = |text: &str| text.split_whitespace().map(display_width).max().unwrap_or(0);
    let of = |i: usize| rows.iter().filter_map(|row| row.get(i)).map(|cell| longest(cell)).max().unwrap_or(0);
    used.iter().map(|&i| of(i).max(longest(&heads[i]))).collect()
}

/// The same where there is no room for columns: each row a paragraph, its first cell in front, the others named below.
fn put_list(page: &mut Page, heads: &[String], rows: &[Vec<String>], used: &[usize]) {
    for row in rows {
        let cells = used.iter().map(|&i| (heads[i].as_str(), row.get(i).map_or("", String::as_str)));
        for (k, (head, cell)) in cells.filter(|(_, cell)| !cell.is_empty()).enumerate() {
            let cell = cell.replace('\n', ", ");
            match (k, head) {
                (0, _) | (_, "") => page.hang(if k == 0 { "" } else { INDENT }, &INDENT.repeat(2), &cell),
                _ => page.hang(INDENT, &INDENT.repeat(2), &format!("{head}: {cell}")),
            }
        }
    }
}
