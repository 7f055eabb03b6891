//! The page of a check, put together: words from its `About`, numbers and sources from the published tables, and the two
//! example jigs. Whatever a finding of it names as its source comes from the same rows.

use include_dir::{Dir, include_dir};

use super::{About, OWN_RATING, ROOMS};
use crate::finding::{Difference, Example, Page, PageLimit, Side};
use crate::quantity::format_unit;
use crate::standard::{self, Row};

/// `NAME.fails.toml` draws a finding of the check NAME, `NAME.passes.toml` differs in little and does not.
static EXAMPLES: Dir = include_dir!("$CARGO_MANIFEST_DIR/src/checks/examples");

/// The pages of all checks, room by room.
pub(crate) fn pages() -> Vec<Page> {
    let checks = ROOMS.iter().flat_map(|(group, list)| list.iter().map(move |check| (*group, *check)));
    checks.map(|(group, c)| put(c.id.name(), group, &c.about)).collect()
}

/// The page of the check of that name.
///
/// # Errors
/// The names nearest to it, best first.
pub(crate) fn page(name: &str) -> Result<Page, Vec<String>> {
    let wanted = name.trim();
    let mut all = pages();
    match all.iter().position(|p| p.check.eq_ignore_ascii_case(wanted)) {
        Some(k) => Ok(all.swap_remove(k)),
        None => Err(standard::nearest_names(wanted, all.iter().map(|p| p.check), 3)),
    }
}

fn put(check: &'static str, group: &'static str, about: &About) -> Page {
    let mut limits = vec![];
    let mut named = vec![];
    let limit = sentence(&fill(about.limit, &mut limits, &mut named));
    let how = sentence(&fill(about.how, &mut limits, &mut named));
    named.extend(about.rows.iter().map(|r| (*r).to_string()));
    let mut sources: Vec<String> = vec![];
    for row in &named {
        for source in cited(row) {
            if !sources.contains(&source) {
                sources.push(source);
            }
        }
    }
    let (looks_at, mend) = (sentence(about.looks_at), sentence(about.mend));
    Page { check, group, looks_at, limit, limits, sources, how, mend, example: example(check) }
}

/// With a capital at its start and a stop at its end.
fn sentence(text: &str) -> String {
    let mut letters = text.trim_end_matches('.').chars();
    let first: String = letters.next().map(|c| c.to_uppercase().collect()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}

/// Where the rows of a path are published.
fn cited(path: &str) -> Vec<String> {
    if path == "jig" {
        return vec![OWN_RATING.to_string()];
    }
    standard::rows(path).unwrap_or_default().iter().map(Row::cite).collect()
}

/// Puts the numbers of the tables into a text, and notes which they were. What stands in no table stays as it is
/// written, which a test does not let pass.
fn fill(text: &str, limits: &mut Vec<PageLimit>, rows: &mut Vec<String>) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        let Some((name, after)) = after.split_once('}') else { break };
        out.push_str(before);
        let mut words = name.split(' ');
        let path = words.next().unwrap_or_default();
        let keys: Vec<&str> = words.collect();
        let found = if keys.is_empty() { number(path, limits) } else { whole_table(path, &keys, limits) };
        match found {
            Some(words) => {
                out.push_str(&words);
                let row = if keys.is_empty() { path.rsplit_once('.').map_or(path, |p| p.0) } else { path };
                rows.push(row.to_string());
            }
            None => out.push_str(&format!("{{{name}}}")),
        }
        rest = after;
    }
    out + rest
}

fn number(path: &str, limits: &mut Vec<PageLimit>) -> Option<String> {
    let limit = standard::value(path)?;
    let words = match limit.unit {
        // The bench measures distances in millimetres, however short.
        "m" if limit.value < 1.0 => format!("{} mm", format_unit(limit.value * 1e3, "")),
        // A charge has no printer of its own: the tables give it in microcoulombs.
        "C" => format!("{} µC", format_unit(limit.value * 1e6, "")),
        unit => format_unit(limit.value, unit),
    };
    let new = PageLimit { row: path.to_string(), value: limit.value, unit: limit.unit, source: limit.source };
    if !limits.iter().any(|l| l.row == new.row) {
        limits.push(new);
    }
    Some(words)
}

/// "0.5 mm²: 3 A, 0.75 mm²: 6 A": the rows that have all of the keys. Rows kept of older editions are left out.
fn whole_table(path: &str, keys: &[&str], limits: &mut Vec<PageLimit>) -> Option<String> {
    let rows = standard::rows(path)?;
    let current = rows.iter().filter(|r| !r.id.ends_with("_old") && keys.iter().all(|k| r.limit(k).is_some()));
    let words: Vec<String> = current
        .map(|r| {
            let one = |key: &&str| number(&format!("{path}.{}.{key}", r.id), limits).unwrap_or_default();
            keys.iter().map(one).collect::<Vec<_>>().join(": ")
        })
        .collect();
    (!words.is_empty()).then(|| words.join(", "))
}

fn example(check: &str) -> Example {
    let text = |which: &str| {
        EXAMPLES.get_file(format!("{check}.{which}.toml")).and_then(|f| f.contents_utf8()).unwrap_or_default()
    };
    let (fails, passes) = (text("fails"), text("passes"));
    Example { fails, passes, change: changes(fails, passes) }
}

/// The tables of two files that differ, whole, so that a changed line is seen with the part it belongs to.
fn changes(fails: &'static str, passes: &'static str) -> Vec<Difference> {
    let lines = compared(&fails.lines().collect::<Vec<_>>(), &passes.lines().collect::<Vec<_>>());
    let mut out = vec![];
    for table in lines.chunk_by(|_, next| !next.line.starts_with('[')) {
        if table.iter().any(|c| c.side != Side::Both && !c.line.trim().is_empty()) {
            out.extend(table.iter().filter(|c| !c.line.trim().is_empty()).cloned());
        }
    }
    out
}

/// Two texts line by line, along a longest common row of lines.
fn compared(a: &[&'static str], b: &[&'static str]) -> Vec<Difference> {
    // common[i][j]: lines that a from i on and b from j on have in common.
    let mut common = vec![vec![0usize; b.len() + 1]; a.len() + 1];
    for i in (0..a.len()).rev() {
        for j in (0..b.len()).rev() {
            common[i][j] = if a[i] == b[j] { common[i + 1][j + 1] + 1 } else { common[i + 1][j].max(common[i][j + 1]) };
        }
    }
    let (mut i, mut j) = (0, 0);
    let mut out = vec![];
    while i < a.len() || j < b.len() {
        if i < a.len() && j < b.len() && a[i] == b[j] {
            out.push(Difference { side: Side::Both, line: a[i] });
            (i, j) = (i + 1, j + 1);
        } else if i < a.len() && (j == b.len() || common[i + 1][j] >= common[i][j + 1]) {
            out.push(Difference { side: Side::Fails, line: a[i] });
            i += 1;
        } else {
            out.push(Difference { side: Side::Passes, line: b[j] });
            j += 1;
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_come_from_the_tables() {
        let (mut limits, mut rows) = (vec![], vec![]);
        let text = fill(
            "at most {touch.voltage_limit.elv_upper.ac_rms_v}; {cords.uk_cord area_mm2 current_a}",
            &mut limits,
            &mut rows,
        );
        assert!(text.starts_with("at most 50 V; 0.5 mm²: 3 A, 0.75 mm²: 6 A,"), "{text}");
        assert_eq!(rows, ["touch.voltage_limit.elv_upper", "cords.uk_cord"]);
        assert_eq!((limits[0].value, limits[0].unit), (50.0, "V"));
        assert_eq!(fill("{no.such.row.key}", &mut limits, &mut rows), "{no.such.row.key}");
    }

    #[test]
    fn a_changed_line_is_shown_with_its_part() {
        let (a, b) = ("x = 1\n\n[p]\nk = 1\nv = 2\n\n[q]\nk = 1\n", "x = 1\n\n[p]\nk = 1\nv = 3\n\n[q]\nk = 1\n");
        let lines: Vec<(Side, &str)> = changes(a, b).iter().map(|c| (c.side, c.line)).collect();
        assert_eq!(
            lines,
            [(Side::Both, "[p]"), (Side::Both, "k = 1"), (Side::Fails, "v = 2"), (Side::Passes, "v = 3")]
        );
        assert!(changes(a, a).is_empty());
    }
}
