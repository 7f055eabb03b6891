//! A sizing as a page to read: the choice, the candidates side by side, what the checks find on them and why
//! they are as they are. Must not choose.

use super::check_text::cautions;
use super::number::{margin, show, show_some};
use super::page::Page;
use super::table;
use super::{Look, clean, counts, finding, gravest_first};
use crate::finding::{Candidate, Sizing};

/// Columns of the table that a candidate needs, and those of the words at its left.
const CANDIDATE_COLUMNS: usize = 16;
const WORDS_COLUMNS: usize = 28;

/// The page for a terminal. No line is wider than `look.width`.
pub(crate) fn size_text(sizing: &Sizing, look: Look) -> String {
    let s = &clean::sizing(sizing);
    let mut page = Page::new(look);
    page.paragraph(&format!("Dropper for {}", s.task));
    page.paragraph(&choice(s));
    if s.chosen_candidate().is_some() && s.exit_status() != 0 {
        page.paragraph("Do not build it as it is: see what the checks find on it.");
    }
    s.why.iter().for_each(|text| page.bullet(text));
    let numbered: Vec<(usize, &Candidate)> = s.candidates.iter().enumerate().collect();
    // As many side by side as fit; the rest in further tables below.
    let beside = (look.width.saturating_sub(WORDS_COLUMNS) / CANDIDATE_COLUMNS).max(1);
    for group in numbered.chunks(beside) {
        page.gap();
        side_by_side(&mut page, s, group);
    }
    for (index, candidate) in numbered {
        about(&mut page, s, index, candidate);
    }
    cautions(&mut page);
    page.finish()
}

fn choice(s: &Sizing) -> String {
    let (Some(c), Some(index)) = (s.chosen_candidate(), s.chosen) else {
        return "No design will do: do not build any of these.".to_string();
    };
    format!("Chosen: no. {}, {}, {} each", index + 1, resistors(c), each_rating(c))
}

fn resistors(c: &Candidate) -> String {
    format!("{} × {}", c.count, show(c.each_ohm, "Ω"))
}

fn each_rating(c: &Candidate) -> String {
    format!("{} {}", show(c.each_power_w, "W"), show(c.each_voltage_v, "V"))
}

fn name(s: &Sizing, index: usize) -> String {
    let mark = if s.chosen == Some(index) { " (chosen)" } else { "" };
    format!("no. {}{mark}", index + 1)
}

fn percent(fraction: Option<f64>) -> String {
    show_some(fraction.map(|f| f * 100.0), "%")
}

type Cells<'a> = Box<dyn Fn(&Candidate) -> String + 'a>;

fn side_by_side(page: &mut Page, s: &Sizing, group: &[(usize, &Candidate)]) {
    let mut rows: Vec<(String, Cells)> = vec![
        ("resistors in series".into(), Box::new(resistors)),
        ("whole string".into(), Box::new(|c| show(c.resistance_ohm, "Ω"))),
        ("rating of each".into(), Box::new(each_rating)),
        ("lamp current, mean".into(), Box::new(|c| show(c.lamp_current_mean_a, "A"))),
        ("lamp current, r.m.s.".into(), Box::new(|c| show(c.lamp_current_rms_a, "A"))),
        ("lamp current, peak".into(), Box::new(|c| show(c.lamp_current_peak_a, "A"))),
        ("string takes, nominal".into(), Box::new(|c| show(c.dissipation_w.nominal, "W"))),
        ("  high supply".into(), Box::new(|c| show(c.dissipation_w.high_supply, "W"))),
        ("  lamp shorted".into(), Box::new(|c| show_some(c.dissipation_w.lamp_shorted, "W"))),
        ("  one resistor shorted".into(), Box::new(|c| show_some(c.dissipation_w.one_resistor_shorted, "W"))),
        ("strike margin, low supply".into(), Box::new(|c| margin(c.strike_margin))),
        ("flashes a second".into(), Box::new(|c| show_some(c.flashes_per_second, ""))),
        ("lit, share of the time".into(), Box::new(|c| percent(c.lit_fraction))),
    ];
    let mut labels: Vec<&'static str> = Vec::new();
    for extra in group.iter().flat_map(|(_, c)| &c.extras) {
        if !labels.contains(&extra.label) {
            labels.push(extra.label);
        }
    }
    for label in labels {
        let value = move |c: &Candidate| {
            let extra = c.extras.iter().find(|e| e.label == label);
            extra.map_or_else(|| "–".to_string(), |e| show(e.value, e.unit))
        };
        rows.push((label.into(), Box::new(value)));
    }
    rows.push(("checks find".into(), Box::new(counts_below)));
    let mut heads = vec!["candidate".to_string()];
    heads.extend(group.iter().map(|(index, _)| name(s, *index)));
    let numbers: Vec<bool> = (0..heads.len()).map(|i| i > 0).collect();
    let rows: Vec<Vec<String>> = rows
        .into_iter()
        .map(|(label, cell)| std::iter::once(label).chain(group.iter().map(|(_, c)| cell(c))).collect())
        .collect();
    table::put_free(page, &heads, &numbers, &rows);
}

/// The counts, one below the other.
fn counts_below(c: &Candidate) -> String {
    let counted = counts(&c.findings);
    if counted.is_empty() { "nothing".to_string() } else { counted.join("\n") }
}

/// What is to be said of one candidate: its findings (in full for the chosen one, else the first line) and why.
fn about(page: &mut Page, s: &Sizing, index: usize, c: &Candidate) {
    if c.findings.is_empty() && c.why.is_empty() {
        return;
    }
    page.heading(&name(s, index));
    c.why.iter().for_each(|text| page.bullet(text));
    for f in gravest_first(&c.findings) {
        if s.chosen == Some(index) {
            finding::put(page, f);
        } else {
            finding::first_line(page, f);
        }
    }
}
