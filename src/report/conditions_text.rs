//! What was tried, on the page: what ends which fault, the list of conditions, one condition in full, pairs of faults.
//! Must not judge.

use super::clean::clean;
use super::number::show;
use super::page::Page;
use super::table::{self, Column};
use super::{counts, finding, gravest_first, plural, word};
use crate::finding::Finding;
use crate::finding::conditions::{Cleared, DoubleFaults, Replay, StepValues, Tried};

/// Pairs of faults on the page; all of them are in the JSON.
const MOST_PAIRS: usize = 20;

/// What a protective device ends, the slowest last: that is the one to think about.
pub(super) fn cleared(page: &mut Page, rows: &[Cleared]) {
    if rows.is_empty() {
        return;
    }
    page.heading("Faults that a protective device ends, and in how long at the most");
    let mut rows: Vec<&Cleared> = rows.iter().collect();
    rows.sort_by(|a, b| a.within_seconds.total_cmp(&b.within_seconds));
    let cells = rows.iter().map(|r| {
        vec![
            clean(&r.fault),
            clean(&r.by),
            show(r.within_seconds, "s"),
            show(r.amperes, "A"),
            r.conditions.to_string(),
            clean(&r.also.join(", ")),
        ]
    });
    let columns = [
        Column::Words("what happens"),
        Column::Words("ended by"),
        Column::Number("within"),
        Column::Number("at"),
        Column::Number("conditions"),
        Column::Words("may open too"),
    ];
    table::put(page, &columns, &cells.collect::<Vec<_>>());
}

/// The list of conditions.
pub(super) fn tried(page: &mut Page, rows: &[Tried]) {
    page.heading("Conditions tried");
    let cells = rows.iter().map(|r| vec![number(r).trim().to_string(), clean(in_full(r)), clean(&outcome(r))]);
    let columns = [Column::Number("no."), Column::Words("condition"), Column::Words("outcome")];
    table::put(page, &columns, &cells.collect::<Vec<_>>());
    page.paragraph("One of them in full: --only NUMBER.");
}

/// Its number, with a space before it.
fn number(r: &Tried) -> String {
    r.number.map_or_else(String::new, |number| format!(" {number}"))
}

/// A condition, with each value that is not as stated.
fn in_full(r: &Tried) -> &str {
    if r.in_full.is_empty() { "as it stands" } else { &r.in_full }
}

fn outcome(r: &Tried) -> String {
    match (r.outcome, &r.cleared_by, r.within_seconds, r.amperes, &r.why) {
        ("cleared", Some(by), Some(within), Some(amperes), _) => {
            format!("{by} opens within {} at {}", show(within, "s"), show(amperes, "A"))
        }
        ("unsolved", .., Some(why)) => format!("not solved: {why}"),
        (other, ..) => other.to_string(),
    }
}

/// One condition in full, and the findings of the check that are worst in it.
pub(super) fn replay(page: &mut Page, r: &Replay, findings: &[Finding]) {
    page.heading(&format!("Condition{}: {}", number(&r.tried), clean(in_full(&r.tried))));
    let worst: Vec<&Finding> = gravest_first(findings).into_iter().filter(|f| r.tried.is_worst_of(f)).collect();
    if worst.is_empty() {
        page.paragraph("No finding is at its worst in this condition.");
    }
    worst.into_iter().for_each(|f| finding::put(page, f));
    if let Some(why) = &r.tried.why {
        page.paragraph(&format!("It could not be solved ({}): nothing is known about it.", clean(why)));
    }
    if !r.tried.moment.is_empty() {
        page.paragraph("What belongs to a moment starts from the steady state below.");
    }
    r.states.iter().for_each(|s| state(page, s));
    if !r.others.is_empty() {
        let others: Vec<String> = r.others.iter().map(usize::to_string).collect();
        page.gap();
        page.paragraph(&format!("The same at other supplies, ways round and settings: {}.", others.join(", ")));
    }
}

fn state(page: &mut Page, s: &StepValues) {
    let mut when = clean(&s.when);
    when.replace_range(..when.len().min(1), &when[..when.len().min(1)].to_uppercase());
    page.gap();
    for o in &s.opens {
        let device = clean(&o.device);
        page.bullet(&format!("{device} opens within {} at {}", show(o.within_seconds, "s"), show(o.amperes, "A")));
    }
    if s.opens.is_empty() {
        page.bullet("no fuse, breaker or residual-current device is sure to open");
    }
    page.heading(&format!("{when}: parts"));
    let parts = s.parts.iter().map(|p| {
        let volts = [p.voltage_rms, p.voltage_peak].map(|x| show(x, "V"));
        let amperes = [p.current_rms, p.current_mean, p.current_peak].map(|x| show(x, "A"));
        [vec![clean(&p.part)], volts.to_vec(), amperes.to_vec(), vec![show(p.power, "W")]].concat()
    });
    let columns = [
        Column::Words("part"),
        Column::Number("V r.m.s."),
        Column::Number("V peak"),
        Column::Number("A r.m.s."),
        Column::Number("A mean"),
        Column::Number("A peak"),
        Column::Number("power"),
    ];
    table::put(page, &columns, &parts.collect::<Vec<_>>());
    page.heading(&format!("{when}: nets to earth"));
    let nets = s.nets.iter().map(|n| {
        let volts = [n.voltage_rms, n.voltage_peak, n.voltage_mean].map(|x| show(x, "V"));
        [vec![clean(&n.net)], volts.to_vec()].concat()
    });
    let columns =
        [Column::Words("net"), Column::Number("V r.m.s."), Column::Number("V peak"), Column::Number("V mean")];
    table::put(page, &columns, &nets.collect::<Vec<_>>());
    if s.touch.is_empty() {
        return;
    }
    page.heading(&format!("{when}: touch"));
    let touch = s.touch.iter().map(|t| {
        let volts = [t.voltage_rms, t.voltage_peak, t.voltage_dc].map(|x| show(x, "V"));
        let amperes = [t.current_rms, t.current_peak].map(|x| show(x, "A"));
        [vec![clean(&t.touchable)], volts.to_vec(), amperes.to_vec()].concat()
    });
    let columns = [
        Column::Words("touchable"),
        Column::Number("V r.m.s."),
        Column::Number("V peak"),
        Column::Number("V d.c."),
        Column::Number("A r.m.s."),
        Column::Number("A peak"),
    ];
    table::put(page, &columns, &touch.collect::<Vec<_>>());
}

/// Pairs of faults, ranked.
pub(super) fn double_faults(page: &mut Page, d: &DoubleFaults) {
    page.heading("Two faults at once: a report, not part of the verdict");
    let found: Vec<Finding> = d.ranked.iter().map(|p| p.finding.clone()).collect();
    let counted = counts(&found);
    let harm = match counted.len() {
        0 => "None of them does harm that the findings above do not tell of already.".to_string(),
        _ if d.ranked.len() == 1 => {
            format!("One pair does what neither of its faults does alone: {}.", counted.join(", "))
        }
        _ => format!("{} pairs do what neither fault does alone: {}.", d.ranked.len(), counted.join(", ")),
    };
    page.paragraph(&format!(
        "{} tried in {}, at the highest supply, values as stated, in the steady state. {harm}",
        plural(d.pairs, "pair"),
        plural(d.conditions, "condition"),
    ));
    if d.unsolved > 0 {
        page.paragraph(&format!("Of {} a condition could not be solved.", plural(d.unsolved, "pair")));
    }
    let cells = d.ranked.iter().take(MOST_PAIRS).map(|p| {
        let f = super::clean::finding(&p.finding);
        let further = if p.further == 0 { String::new() } else { format!("; {} more", p.further) };
        let what = format!("{} {} {}{further}", f.check, finding::subject(&f), finding::comparison(&f));
        vec![word(f.signal).to_string(), clean(&p.words), what.split_whitespace().collect::<Vec<_>>().join(" ")]
    });
    let columns = [Column::Words("signal"), Column::Words("faults"), Column::Words("what they do")];
    table::put(page, &columns, &cells.collect::<Vec<_>>());
    if d.ranked.len() > MOST_PAIRS {
        page.paragraph(&format!("{} more: see --format json.", d.ranked.len() - MOST_PAIRS));
    }
}
