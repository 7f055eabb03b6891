//! What is nearest to its limit in normal use, and what is over a rating and let pass.

use textwrap::core::display_width;

use super::hand::fault;
use crate::finding::{Judgement, LetPass, Quantity, Situation, Stress};
use crate::report::number::{is_noise, per_cent, show};
use crate::report::page::Page;
use crate::report::plural;

/// Rows at the most.
pub(in crate::report) const MOST: usize = 6;
/// Rows where there is more pressing to be read.
pub(super) const FEW: usize = 3;
/// The same beside what is to be looked at first, which takes room.
pub(super) const BESIDE_A_CAUTION: usize = 2;
/// Of what is let pass.
pub(super) const MOST_LET_PASS: usize = 2;
/// The same beside what is to be looked at first.
pub(super) const FEW_LET_PASS: usize = 1;
/// Below this share of its limit nothing is near to it.
const FAR: f64 = 0.2;
/// Values of like parts differ by less.
const ALIKE: f64 = 5e-3;

/// A part, or several alike, near to a limit.
pub(in crate::report) struct Near {
    /// Their names.
    pub parts: String,
    /// How much of the limit is used.
    pub used: String,
    /// Value, limit and what they are of.
    pub of: String,
}

/// The nearest rows, in per cent used: of each part its nearest, of like parts one.
pub(in crate::report) fn rows(j: &Judgement, most: usize) -> Vec<Near> {
    let mut rows: Vec<(&Stress, f64)> = j
        .stresses
        .iter()
        .filter(|s| s.kind == Situation::Normal && !is_noise(s.value, s.unit))
        // An arm of a bridge tells nothing that the whole does not.
        .filter(|s| !s.part.contains('.') || !j.stresses.iter().any(|w| s.part.split('.').next() == Some(&w.part)))
        .filter_map(|s| Some((s, s.value / s.rating?)))
        .filter(|(_, used)| *used <= 1.0)
        .collect();
    rows.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut told: Vec<(Vec<&str>, &Stress, f64)> = vec![];
    for (s, used) in rows {
        if told.iter().any(|(parts, ..)| parts.contains(&s.part.as_str())) {
            continue;
        }
        let like = told
            .iter_mut()
            .find(|(_, t, u)| t.quantity == s.quantity && t.rating == s.rating && (u - used).abs() <= ALIKE * used);
        match like {
            Some((parts, ..)) => parts.push(&s.part),
            None => told.push((vec![&s.part], s, used)),
        }
    }
    // Far from its limit is not near to it; of several that are far the nearest one is told, unless there is more pressing.
    let far = told.iter().position(|(.., used)| *used < FAR).unwrap_or(told.len());
    told.truncate(if far == 0 && most > FEW { 1 } else { far.min(most) });
    let near = |(mut parts, s, used): (Vec<&str>, &Stress, f64)| {
        parts.sort_unstable();
        let of = s.rating.map_or_else(String::new, |r| format!(" of {}", show(r, s.unit)));
        let of = format!("{}{of} {}", show(s.value, s.unit), quantity(s.quantity)).trim_end().to_string();
        Near { parts: parts.join(", "), used: per_cent(used), of }
    };
    told.into_iter().map(near).collect()
}

/// As [`rows`], on the page.
pub(super) fn put(page: &mut Page, j: &Judgement, most: usize) {
    let told = rows(j, most);
    if told.is_empty() {
        return;
    }
    page.heading("Nearest to its limit in normal use");
    // A long list of like parts wraps; it does not push the rest aside.
    let wide = told.iter().map(|n| display_width(&n.parts)).max().unwrap_or(0).min(page.look.width / 4);
    for Near { parts: name, used, of } in &told {
        let first = if display_width(name) > wide {
            page.hang("  ", "  ", name);
            " ".repeat(2 + wide)
        } else {
            format!("  {name}{}", " ".repeat(wide - display_width(name)))
        };
        page.hang(&format!("{first}  {used:>9}  "), "      ", of);
    }
}

/// What a value is of, behind its unit.
fn quantity(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Power => "",
        Quantity::VoltageRms | Quantity::CurrentRms => "r.m.s.",
        Quantity::VoltagePeak | Quantity::CurrentPeak => "peak",
        Quantity::CurrentMean => "mean",
    }
}

/// What is over a rating and why it is let pass, a line each: of a part and quantity the most lasting situation, like ones
/// together.
pub(in crate::report) fn let_pass(j: &Judgement) -> Vec<String> {
    let mut told: Vec<(Vec<&str>, &LetPass)> = vec![];
    let mut rows: Vec<&LetPass> = j.let_pass.iter().collect();
    rows.sort_by_key(|l| l.kind);
    let mut known: Vec<(&str, Quantity)> = vec![];
    rows.retain(|l| {
        let new = !known.contains(&(&l.part, l.quantity));
        known.push((&l.part, l.quantity));
        new
    });
    for l in rows {
        let like = told.iter_mut().find(|(_, t)| (t.quantity, &t.why, t.unit) == (l.quantity, &l.why, l.unit));
        match like {
            Some((parts, _)) if parts.contains(&l.part.as_str()) => {}
            Some((parts, _)) => parts.push(&l.part),
            None => told.push((vec![&l.part], l)),
        }
    }
    let line = |(parts, l): (Vec<&str>, &LetPass)| {
        let when = match l.kind {
            Situation::Normal => String::new(),
            Situation::SingleFault | Situation::Transient => format!(" ({})", fault(&l.condition)),
        };
        let value = format!("{} of {} {}", show(l.value, l.unit), show(l.rating, l.unit), quantity(l.quantity));
        format!("{}  {}{when}: {}", parts.join(", "), value.trim_end(), l.why)
    };
    told.into_iter().map(line).collect()
}

/// As [`let_pass`], on the page.
pub(in crate::report) fn put_let_pass(page: &mut Page, j: &Judgement, most: usize) {
    let told = let_pass(j);
    if told.is_empty() {
        return;
    }
    page.heading("Over a rating, and let pass");
    told.iter().take(most).for_each(|line| page.hang("  ", "    ", line));
    if told.len() > most {
        page.hang("  ", "    ", &format!("{} more: --all", plural(told.len() - most, "row")));
    }
}
