//! One finding in words: a first line that stands alone, then what it means, where it is worst, the limit and
//! its source, what to change, where it stands in the file. Must not judge.

use super::look::Look;
use super::number::{margin, show, show_apart};
use super::page::{INDENT, Page, wrap};
use crate::finding::{CORE, Finding, Wave};
use std::cmp::Ordering;
use textwrap::core::display_width;

/// Names on the first line before "and 2 more".
const NAMES: usize = 3;

/// The finding, in full.
pub(super) fn put(page: &mut Page, f: &Finding) {
    first_line(page, f);
    page.hang(INDENT, INDENT, &f.message);
    page.note("Worst in", &f.condition);
    limit(page, f);
    page.note("Change", &f.remedy);
    page.note("Parts", &when(f.parts.len() > NAMES, &f.parts));
    let named_first = f.parts.is_empty();
    page.note("Touchable", &when(!named_first || f.touchables.len() > NAMES, &f.touchables));
    let nets_first = named_first && f.touchables.is_empty();
    page.note("Nets", &when(!nets_first || f.nets.len() > NAMES, &f.nets));
    page.note("Place", &format!("{}:{}:{}", f.place.file, f.place.line, f.place.column));
    if f.source_of_check != CORE {
        page.note("Found by", &format!("plugin {}", f.source_of_check));
    }
    if let Some(a) = &f.accepted {
        let counts = match f.signal {
            crate::finding::Signal::Danger | crate::finding::Signal::Warning => "; it counts all the same",
            _ => "",
        };
        page.note("Accepted", &format!("by {} until {}: “{}”{counts}", a.by, a.until, a.reason));
    }
}

/// The first line alone: `WARNING  resistor-voltage  R1  260 V r.m.s. > 250 V`.
pub(super) fn first_line(page: &mut Page, f: &Finding) {
    let accepted = if f.accepted.is_some() { "(accepted)".to_string() } else { String::new() };
    let fields = [super::word(f.signal).to_string(), f.check.to_string(), subject(f), comparison(f), accepted];
    for (i, line) in set(&fields, page.look).iter().enumerate() {
        match line.strip_prefix(super::word(f.signal)).filter(|_| i == 0) {
            Some(tail) => page.line(&format!("{}{tail}", page.look.paint(f.signal))),
            None => page.line(line),
        }
    }
}

/// Fields beside each other, two columns apart; those that do not fit go on below, indented.
fn set(fields: &[String], look: Look) -> Vec<String> {
    let indent = INDENT.repeat(2);
    let mut lines: Vec<String> = vec![String::new()];
    for field in fields.iter().filter(|field| !field.is_empty()).map(|field| look.shown(field)) {
        let Some(last) = lines.last_mut() else { break };
        let gap = if last.is_empty() { "" } else { INDENT };
        if display_width(last) + gap.len() + display_width(&field) <= look.width {
            last.push_str(&format!("{gap}{field}"));
        } else {
            lines.extend(wrap(&field, look, &indent, &indent));
        }
    }
    lines
}

fn when(wanted: bool, names: &[String]) -> String {
    if wanted { names.join(", ") } else { String::new() }
}

pub(super) fn subject(f: &Finding) -> String {
    let names = [&f.parts, &f.touchables, &f.nets].into_iter().find(|n| !n.is_empty());
    let names = names.map_or(&[][..], Vec::as_slice);
    match names.len() {
        0..=NAMES => names.join(", "),
        n => format!("{} and {} more", names[..NAMES].join(", "), n - NAMES),
    }
}

pub(super) fn comparison(f: &Finding) -> String {
    let wave = f.quantity.wave().map_or("", wave);
    match (f.value, f.limit) {
        (Some(value), Some(limit)) => {
            let (left, right) = show_apart(value, limit, &f.unit);
            let sign = match value.partial_cmp(&limit) {
                Some(Ordering::Greater) => ">",
                Some(Ordering::Less) => "<",
                Some(Ordering::Equal) => "=",
                None => "against",
            };
            format!("{left}{wave} {sign} {right}")
        }
        (Some(value), None) => format!("{}{wave}", show(value, &f.unit)),
        (None, Some(limit)) => format!("limit {}{wave}", show(limit, &f.unit)),
        (None, None) => String::new(),
    }
}

/// How a value is measured, behind it.
fn wave(wave: Wave) -> &'static str {
    match wave {
        Wave::Rms => " r.m.s.",
        Wave::Peak => " peak",
        Wave::Mean => " mean",
        Wave::Dc => " d.c.",
    }
}

/// `Limit     voltage r.m.s. 250 V, margin 0.96; IEC 60115-1, 2.2.4`, or what of it there is.
fn limit(page: &mut Page, f: &Finding) {
    let quantity = super::check_text::quantity_words(f.quantity.name());
    let Some(limit) = f.limit else {
        let value = f.value.map(|value| format!("{quantity} {}", show(value, &f.unit)));
        page.note("Value", &value.unwrap_or_default());
        return page.note("Source", &f.source);
    };
    let limit = f.value.map_or_else(|| show(limit, &f.unit), |value| show_apart(value, limit, &f.unit).1);
    let margin = f.margin.map_or_else(String::new, |m| format!(", margin {}", margin(Some(m))));
    let source = if f.source.is_empty() { String::new() } else { format!("; {}", f.source) };
    page.note("Limit", &format!("{quantity} {limit}{margin}{source}"));
}
