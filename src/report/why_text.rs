//! The page of a check, and the list of all of them, as text. Must not know where they come from.

use super::Look;
use super::page::{INDENT, Page as Paper, wrap};
use crate::finding::{MatrixPart, Page, PluginCheck, Side};

/// Columns of a name in the list, its indent included.
const NAME: usize = 28;

/// The list of all checks, one line each. No line is wider than `look.width`.
pub(crate) fn why_list_text(pages: &[Page], look: Look) -> String {
    let mut paper = Paper::new(look);
    for group in pages.chunk_by(|a, b| a.group == b.group) {
        paper.heading(heading(group[0].group));
        for page in group {
            let first = format!("{INDENT}{:<width$}", page.check, width = NAME - INDENT.len());
            let lines = wrap(&page.looks_at, look, &first, "");
            // One line each: what does not fit is on the page.
            let cut = lines.len() > 1;
            let line = lines.into_iter().next().unwrap_or_default();
            let line = line.trim_end_matches(['.', ',', ';', ':']);
            let more = look.shown(" …");
            let room = look.width - more.chars().count();
            paper.line(&if cut { format!("{}{more}", shorter(line, room)) } else { line.to_string() });
        }
    }
    paper.gap();
    paper.paragraph("deadfront why CHECK tells of one: its limit and source, how it is worked out, how to mend it.");
    paper.finish()
}

/// At most `width` columns, whole words.
fn shorter(mut line: &str, width: usize) -> &str {
    while line.chars().count() > width {
        let Some((rest, _)) = line.rsplit_once(' ') else { break };
        line = rest;
    }
    line
}

fn heading(group: &str) -> &str {
    match group {
        "solved" => "From the solved circuit",
        "wiring" => "From the wiring itself",
        _ => "From the check itself",
    }
}

/// Who judges what a jig can state of its parts. No line is wider than `look.width`.
pub(crate) fn matrix_text(matrix: &[MatrixPart], look: Look) -> String {
    let mut paper = Paper::new(look);
    paper.paragraph(
        "What a jig can state of a part, and the checks that judge it in each situation; where none does, why not.",
    );
    for part in matrix {
        paper.heading(part.kind);
        for row in &part.rows {
            paper.line(&format!("{INDENT}{}", row.key));
            for cell in &row.cells {
                // A key that is alike in every situation needs none of them named.
                let when =
                    if row.cells.len() == 1 { String::new() } else { format!("{}: ", cell.situations.join(", ")) };
                let who =
                    if cell.checks.is_empty() { cell.why.unwrap_or_default().into() } else { cell.checks.join(", ") };
                let under = format!("{INDENT}{INDENT}");
                wrap(&format!("{when}{who}"), look, &under, &under).iter().for_each(|line| paper.line(line));
            }
        }
    }
    paper.finish()
}

/// The page of one check. No line is wider than `look.width`.
pub(crate) fn why_text(page: &Page, look: Look) -> String {
    let mut paper = Paper::new(look);
    paper.line(page.check);
    paper.note("Looks at", &page.looks_at);
    paper.note("Limit", &page.limit);
    for (k, source) in page.sources.iter().enumerate() {
        paper.note(if k == 0 { "Source" } else { "" }, source);
    }
    paper.note("How", &page.how);
    paper.note("Mend", &page.mend);
    paper.gap();
    paper.paragraph("A jig that fails (-) and its twin that passes (+); the rest of both is alike:");
    for change in &page.example.change {
        let mark = match change.side {
            Side::Both => "  ",
            Side::Fails => "- ",
            Side::Passes => "+ ",
        };
        paper.hang(&format!("{INDENT}{mark}"), &format!("{INDENT}{INDENT}{INDENT}"), change.line);
    }
    paper.finish()
}

/// What plugins say of their checks of one name. No line is wider than `look.width`.
pub(crate) fn why_plugin_text(checks: &[PluginCheck], look: Look) -> String {
    let mut paper = Paper::new(look);
    for (k, c) in checks.iter().enumerate() {
        if k > 0 {
            paper.gap();
        }
        paper.line(&c.check);
        paper.note("Looks at", &format!("{}.", c.title.trim_end_matches('.')));
        if let Some(limit) = &c.limit {
            paper.note("Limit", limit);
        }
        paper.note("Source", &c.source);
        paper.note("Why", &c.why);
        paper.note("Found by", &format!("plugin {}, on jigs of the unit {}", c.plugin, c.units.join(", ")));
    }
    paper.finish()
}
