//! A judgement as a page to read: verdict, findings gravest first, tables of worst values, what was not looked
//! at, cautions. Must not judge: the verdict is the judgement's own.

use super::number::{margin, show, show_some};
use super::page::Page;
use super::table::{self, Column};
use super::{CAUTIONS, Look, clean, conditions_text, counts, finding, gravest_first, plural};
use crate::finding::{Judgement, Signal, Situation, Verdict};

/// The page for a terminal. No line is wider than `look.width`; text from files and plugins is cleaned.
pub(crate) fn check_text(judgement: &Judgement, look: Look) -> String {
    let j = &clean::judgement(judgement);
    let mut page = Page::new(look);
    head(&mut page, j);
    if let Some(replay) = &j.replay {
        conditions_text::replay(&mut page, replay, &j.findings);
        cautions(&mut page);
        return page.finish();
    }
    for f in gravest_first(&j.findings) {
        page.gap();
        finding::put(&mut page, f);
    }
    stresses(&mut page, j);
    touch(&mut page, j);
    discharge(&mut page, j);
    conditions_text::cleared(&mut page, &j.cleared);
    if let Some(pairs) = &j.double_faults {
        conditions_text::double_faults(&mut page, pairs);
    }
    if let Some(tried) = &j.tried {
        conditions_text::tried(&mut page, tried);
    }
    plugins(&mut page, j);
    if !j.not_checked.is_empty() {
        page.heading("Not checked");
        j.not_checked.iter().for_each(|text| page.bullet(text));
    }
    cautions(&mut page);
    page.finish()
}

/// The cautions, at the foot.
pub(super) fn cautions(page: &mut Page) {
    page.heading("Before anyone uses this");
    CAUTIONS.iter().for_each(|text| page.bullet(text));
}

fn head(page: &mut Page, j: &Judgement) {
    page.paragraph(&format!("{} ({})", j.jig_name, j.jig_file));
    let tried = j.conditions.solved + j.conditions.unsolved;
    verdict(page, j, tried);
    if !j.complete() {
        page.paragraph(&format!("The check is not complete: {}.", gaps(j).join("; ")));
    }
    if j.verdict() != Verdict::Stop && j.complete() {
        page.paragraph("That is no proof: read below what was not checked and what nothing on paper can show.");
    }
    let solved = match j.conditions.unsolved {
        0 => format!("{} solved.", plural(tried, "condition")),
        _ => format!("{} of {} solved.", j.conditions.solved, plural(tried, "condition")),
    };
    let cleared = match j.conditions.cleared {
        0 => String::new(),
        n => format!(" In {n} of them a fuse or breaker ends the fault."),
    };
    page.paragraph(&format!("{solved}{cleared}"));
}

fn verdict(page: &mut Page, j: &Judgement, tried: usize) {
    let counted = counts(&j.findings).join(", ");
    let (words, painted) = match j.verdict() {
        Verdict::Stop => (format!("Do not plug it in: {counted}"), true),
        _ if j.only => ("One condition looked at: this is no check of the tool".to_string(), false),
        // An incomplete check must never look like a finished one.
        _ if !j.complete() => ("Do not plug it in: the check could not be finished".to_string(), false),
        Verdict::Caution => (format!("Look at these before it is used: {counted}"), true),
        Verdict::NoFinding => {
            let notices = if counted.is_empty() { String::new() } else { format!(" ({counted})") };
            let words = format!("No finding above NOTICE in the {} tried{notices}", plural(tried, "condition"));
            (words, counted.is_empty())
        }
    };
    // What no plugin has looked at belongs to the verdict: nobody reads on to the end of a good one.
    let unit = j.unit_without_checks.as_ref();
    let unit = unit.map(|u| format!(". No checks for {} are here: only the core has looked", a(u)));
    let words = words + &unit.unwrap_or_default();
    for line in super::page::wrap(&words, page.look.width, "", "") {
        page.line(&if painted { paint_words(page.look, &line) } else { line });
    }
}

/// A kind of unit with its article.
fn a(unit: &str) -> String {
    let vowel = unit.chars().next().is_some_and(|c| "aeiouAEIOU".contains(c));
    format!("{} {unit}", if vowel { "an" } else { "a" })
}

/// Colours the signal words of a line of our own words.
pub(super) fn paint_words(look: Look, line: &str) -> String {
    Signal::ALL.iter().fold(line.to_string(), |line, &signal| line.replace(super::word(signal), &look.paint(signal)))
}

/// What is missing from a check that is not complete.
fn gaps(j: &Judgement) -> Vec<String> {
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
    let rated: Vec<_> = j.stresses.iter().filter(|s| s.rating.is_some()).collect();
    if j.stresses.is_empty() {
        return;
    }
    page.heading("Stresses: worst value of each rated quantity");
    if rated.is_empty() {
        page.paragraph("No part has a rating to compare with.");
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
        page.paragraph(&format!("{} without a rating: see --format json.", plural(left_out, "row")));
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
    let rows: Vec<Vec<String>> = j
        .discharge
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
