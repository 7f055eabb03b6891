//! A judgement as a page to read: verdict, findings gravest first, tables of worst values, what was not looked
//! at, cautions. Must not judge: the verdict is the judgement's own.

use super::number::{is_noise, margin, show, show_some};
use super::page::Page;
use super::table::{self, Column};
use super::{CAUTIONS, Look, brief, clean, conditions_text, finding, gravest_first, mending_text, plural};
use crate::finding::{Judgement, Mending, Situation, Stress};

/// The page of every table, for a terminal. No line is wider than `look.width`; text from files and plugins is cleaned.
pub(crate) fn check_text(judgement: &Judgement, mending: Option<&Mending>, look: Look) -> String {
    let j = &clean::judgement(judgement);
    let mut page = Page::new(look);
    brief::first(&mut page, j, true);
    if let Some(replay) = &j.replay {
        conditions_text::replay(&mut page, replay, &j.findings);
    } else {
        tables(&mut page, j);
    }
    if let Some(mending) = mending {
        mending_text::put(&mut page, mending);
    }
    cautions(&mut page);
    page.gap();
    brief::last(&mut page, j);
    page.finish()
}

fn tables(page: &mut Page, j: &Judgement) {
    for f in gravest_first(&j.findings) {
        page.gap();
        finding::put(page, f);
    }
    stresses(page, j);
    touch(page, j);
    discharge(page, j);
    brief::closest::put_let_pass(page, j, usize::MAX);
    conditions_text::cleared(page, &j.cleared);
    if let Some(pairs) = &j.double_faults {
        conditions_text::double_faults(page, pairs);
    }
    if let Some(tried) = &j.tried {
        conditions_text::tried(page, tried);
    }
    plugins(page, j);
    not_checked(page, j, usize::MAX);
}

/// What was not looked at, in at most so many lines.
pub(super) fn not_checked(page: &mut Page, j: &Judgement, most: usize) {
    if j.not_checked.is_empty() {
        return;
    }
    page.heading("Not looked at");
    j.not_checked.iter().take(most).for_each(|text| page.bullet(text));
    if j.not_checked.len() > most {
        page.bullet(&format!("{} more: --all", j.not_checked.len() - most));
    }
}

/// The cautions, at the foot.
pub(super) fn cautions(page: &mut Page) {
    page.heading("Before anyone uses this");
    CAUTIONS.iter().for_each(|text| page.bullet(text));
}

/// How much was tried.
pub(super) fn tried_words(j: &Judgement) -> String {
    let tried = j.conditions.solved + j.conditions.unsolved;
    let solved = match j.conditions.unsolved {
        0 => format!("{} solved", plural(tried, "condition")),
        _ => format!("{} of {} solved", j.conditions.solved, plural(tried, "condition")),
    };
    let cleared = match j.conditions.cleared {
        0 => String::new(),
        n => format!(", {n} ended by a fuse or breaker"),
    };
    format!("{solved}{cleared}.")
}

/// What is missing from a check that is not complete.
pub(super) fn gaps(j: &Judgement) -> Vec<String> {
    let mut gaps = Vec::new();
    if j.only {
        gaps.push("only what was asked for was tried, at the highest supply and with values as stated".to_string());
    }
    if j.conditions.unsolved > 0 {
        gaps.push(format!("{} could not be solved", plural(j.conditions.unsolved, "condition")));
    }
    if j.conditions.solved == 0 {
        gaps.push("no condition was solved".to_string());
    }
    gaps.extend(j.plugins.iter().filter(|p| p.outcome == "failed").map(|p| format!("plugin {} failed", p.id)));
    gaps
}

/// Words for the quantities of `stresses`, and of findings that use the same names.
pub(super) fn quantity_words(quantity: &str) -> String {
    match quantity {
        "voltage_rms" => "voltage r.m.s.".to_string(),
        "voltage_peak" => "voltage peak".to_string(),
        "current_rms" => "current r.m.s.".to_string(),
        "current_mean" => "current mean".to_string(),
        "current_peak" => "current peak".to_string(),
        other => other.replace('_', " "),
    }
}

fn kind_words(kind: Situation) -> &'static str {
    match kind {
        Situation::Normal => "no fault",
        Situation::SingleFault => "one fault",
        Situation::Transient => "transient",
    }
}

/// "one fault: R2 shorted, high mains".
fn condition_words(kind: Situation, condition: &str) -> String {
    match condition {
        "" => kind_words(kind).to_string(),
        text => format!("{}: {text}", kind_words(kind)),
    }
}

fn stresses(page: &mut Page, j: &Judgement) {
    let counts = |s: &&Stress| s.rating.is_some() && !is_noise(s.value, s.unit);
    let rated: Vec<_> = j.stresses.iter().filter(counts).collect();
    if j.stresses.is_empty() {
        return;
    }
    page.heading("Stresses: worst value of each rated quantity");
    if rated.is_empty() {
        page.paragraph("No part has a rating to compare with, or nothing stands on those that have.");
        return;
    }
    let mut last = ("", None);
    let rows: Vec<Vec<String>> = rated
        .iter()
        .map(|s| {
            // A name is written once for all its rows: the eye finds the groups.
            let (same_part, same_both) = (s.part == last.0, (s.part.as_str(), Some(s.quantity)) == last);
            last = (&s.part, Some(s.quantity));
            vec![
                if same_part { String::new() } else { s.part.clone() },
                if same_both { String::new() } else { quantity_words(s.quantity.name()) },
                if same_both { String::new() } else { show_some(s.nominal, s.unit) },
                show(s.value, s.unit),
                show_some(s.rating, s.unit),
                margin(s.margin),
                condition_words(s.kind, &s.condition),
            ]
        })
        .collect();
    let columns = [
        Column::Words("part"),
        Column::Words("quantity"),
        Column::Number("nominal"),
        Column::Number("worst"),
        Column::Number("rating"),
        Column::Number("margin"),
        Column::Words("condition"),
    ];
    table::put(page, &columns, &rows);
    let left_out = j.stresses.len() - rated.len();
    if left_out > 0 {
        page.paragraph(&format!("{} without a rating or of nothing: see --format json.", plural(left_out, "row")));
    }
}

fn touch(page: &mut Page, j: &Judgement) {
    if j.touch.is_empty() {
        return;
    }
    page.heading("Touch: open-circuit voltage, and current through a body");
    let rows: Vec<Vec<String>> = j
        .touch
        .iter()
        .map(|t| {
            vec![
                t.touchable.clone(),
                show(t.voltage_rms, "V"),
                show(t.voltage_peak, "V"),
                show(t.voltage_dc, "V"),
                show(t.current_rms, "A"),
                show(t.current_peak, "A"),
                condition_words(t.kind, &t.condition),
            ]
        })
        .collect();
    let columns = [
        Column::Words("touchable"),
        Column::Number("V r.m.s."),
        Column::Number("V peak"),
        Column::Number("V d.c."),
        Column::Number("A r.m.s."),
        Column::Number("A peak"),
        Column::Words("condition"),
    ];
    table::put(page, &columns, &rows);
}

fn discharge(page: &mut Page, j: &Judgement) {
    if j.discharge.is_empty() {
        return;
    }
    page.heading("Charge left after unplugging");
    let left: Vec<_> = j.discharge.iter().filter(|d| !is_noise(d.volts, "V")).collect();
    if left.is_empty() {
        return page.paragraph("None anywhere.");
    }
    let rows: Vec<Vec<String>> = left
        .iter()
        .map(|d| {
            let [a, b] = &d.between;
            vec![format!("{a} to {b}"), show(d.seconds, "s"), show(d.volts, "V"), d.condition.clone()]
        })
        .collect();
    let columns =
        [Column::Words("between"), Column::Number("after"), Column::Number("left"), Column::Words("condition")];
    table::put(page, &columns, &rows);
}

fn plugins(page: &mut Page, j: &Judgement) {
    // Those for other units are in the JSON; whoever named one of them is told under what was not checked.
    let looked: Vec<_> = j.plugins.iter().filter(|p| p.outcome != "skipped").collect();
    if looked.is_empty() {
        return;
    }
    page.heading("Plugins");
    let rows: Vec<Vec<String>> = looked
        .iter()
        .map(|p| {
            let vetted = if p.vetted_by.is_empty() { "nobody".to_string() } else { p.vetted_by.join(", ") };
            let bytes: String = p.sha256.chars().take(12).collect();
            vec![p.id.clone(), p.version.clone(), p.outcome.to_string(), vetted, bytes, p.why.clone()]
        })
        .collect();
    let columns = [
        Column::Words("plugin"),
        Column::Words("version"),
        Column::Words("outcome"),
        Column::Words("vetted by"),
        Column::Words("sha256"),
        Column::Words("why"),
    ];
    table::put(page, &columns, &rows);
}
