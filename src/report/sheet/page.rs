//! The bench sheet as one page: what was found, the pictures, what to buy, a label. The order of the sections is settled here.

use super::html::Html;
use super::svg::escaped;
use super::{SheetFacts, bench, label, shopping};
use crate::finding::{Action, Finding, Judgement, Signal, actions};
use crate::report::brief::{closest, hand, to_do, verdict_line, worst_first};
use crate::report::number::show;
use crate::report::{CAUTIONS, check_text, clean};

/// What the page looks like, on a screen and on paper.
const STYLE: &str = include_str!("sheet.css");

/// Digits of a hash that are shown: enough to tell two files apart.
pub(super) const DIGITS: usize = 12;

/// The whole page.
pub(super) fn page(facts: &SheetFacts) -> String {
    let j = &clean::judgement(facts.judgement);
    let mut html = Html::default();
    html.raw(&format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"color-scheme\" content=\"light dark\">\n<title>{} – bench sheet</title>\n\
         <style>{STYLE}{}</style>\n</head>\n<body>\n<main>\n",
        escaped(&j.jig_name),
        super::wiring::STYLE
    ));
    head(&mut html, facts, j);
    wiring(&mut html, facts);
    do_first(&mut html, j);
    hands(&mut html, j);
    near(&mut html, j);
    bench::dead_test(&mut html, facts.dead_test);
    bench::first_power(&mut html, &facts.first_power);
    waveforms(&mut html, facts);
    shopping::section(&mut html, facts.jig);
    ended(&mut html, j);
    label::section(&mut html, facts, j);
    foot(&mut html, j);
    html.raw("</main>\n</body>\n</html>\n");
    html.into_text()
}

/// The class of the verdict, which colours it.
fn class(j: &Judgement) -> &'static str {
    match j.findings.iter().map(|f| f.signal).min() {
        Some(Signal::Danger) => "danger",
        Some(Signal::Warning) => "warning",
        _ if !j.complete() => "warning",
        Some(Signal::Caution) => "caution",
        Some(Signal::Notice) | None => "notice",
    }
}

fn head(html: &mut Html, facts: &SheetFacts, j: &Judgement) {
    html.raw("<header>\n");
    html.element("h1", "", &j.jig_name);
    html.element("p", &format!("verdict {}", class(j)), &verdict_line(j));
    html.raw("<dl class=\"identity\">\n");
    let mut rows = vec![
        ("Unit", if facts.jig.unit.is_empty() { "not stated".to_string() } else { facts.jig.unit.clone() }),
        ("Supply", facts.jig.supply.mains.as_ref().map_or("none".to_string(), |m| m.label.clone())),
        ("File", j.jig_file.clone()),
        ("sha256", format!("{}…", &j.jig_sha256.chars().take(DIGITS).collect::<String>())),
        ("Checked", format!("{} by deadfront {}", facts.today, env!("CARGO_PKG_VERSION"))),
        ("Tried", check_text::tried_words(j).trim_end_matches('.').to_string()),
    ];
    if !j.complete() {
        rows.push(("Not complete", check_text::gaps(j).join("; ")));
    }
    if let Some(unit) = &j.unit_without_checks {
        rows.push(("No checks", format!("for a unit of the kind {unit}: only the core has looked")));
    }
    for (name, value) in rows {
        html.raw(&format!("<div><dt>{name}</dt><dd>{}</dd></div>\n", escaped(&value)));
    }
    html.raw(
        "</dl>\n<p class=\"fill\">Built by <span></span> Date <span></span> Serial <span></span></p>\n</header>\n",
    );
}

fn wiring(html: &mut Html, facts: &SheetFacts) {
    html.section("wiring-section", "Wiring");
    html.raw("<figure>\n<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"Wiring, drawn\">\n");
    html.raw(&facts.wiring);
    html.raw("</div>\n");
    html.element("figcaption", "", &facts.wiring_caption);
    html.raw("</figure>\n");
    html.end();
}

fn do_first(html: &mut Html, j: &Judgement) {
    html.section("do-first", "Do first");
    let findings = worst_first(j);
    let list = actions(&findings);
    let asks = |a: &&Action| a.findings.iter().any(|k| findings[*k].signal < Signal::Notice);
    let (first, to_know): (Vec<&Action>, Vec<&Action>) = list.iter().partition(asks);
    if first.is_empty() {
        html.paragraph("Nothing is to be changed first that the check could see. Build it, then the dead test.");
    } else {
        html.raw("<ol>\n");
        first.iter().for_each(|a| action(html, a, &findings, &j.jig_file));
        html.raw("</ol>\n");
    }
    if !to_know.is_empty() {
        html.element("h3", "", "Worth knowing");
        html.raw("<ul>\n");
        for a in to_know {
            for k in &a.findings {
                let words = to_do::notice_words(&findings[*k], a, &j.jig_file, true);
                html.raw(&format!("<li>{}{}</li>\n", signal(&findings[*k]), escaped(&words)));
            }
        }
        html.raw("</ul>\n");
    }
    html.end();
}

/// The signal word as a panel.
fn signal(f: &Finding) -> String {
    let word = f.signal.word();
    format!("<strong class=\"signal {}\">{word}</strong> ", word.to_lowercase())
}

fn action(html: &mut Html, a: &Action, findings: &[Finding], file: &str) {
    let tried = if a.tried { " (tried: this cures it)" } else { "" };
    html.raw(&format!("<li><p class=\"change\">{}{tried}</p>\n", escaped(&to_do::capital(&a.change))));
    for (n, k) in a.findings.iter().enumerate() {
        let f = &findings[*k];
        if n == 0 {
            let [first, means, limit] = to_do::leading_words(f, file);
            html.raw(&format!("<p>{}{}. {} {}</p>\n", signal(f), escaped(&first), escaped(&means), escaped(&limit)));
        } else {
            html.raw(&format!("<p>{}{}</p>\n", signal(f), escaped(&to_do::further_words(f, file, true))));
        }
        to_do::accepted_words(f).iter().for_each(|words| html.paragraph(words));
    }
    html.raw("</li>\n");
}

fn hands(html: &mut Html, j: &Judgement) {
    let rows = hand::rows(j);
    html.section("hand", "What a hand gets");
    if rows.is_empty() {
        html.paragraph("No touchable is stated, or nothing was solved.");
    }
    for (name, words) in rows {
        html.raw(&format!("<p><b>{}</b>: {}.</p>\n", escaped(&name), escaped(&words.join("; "))));
    }
    html.end();
}

fn near(html: &mut Html, j: &Judgement) {
    let near = closest::rows(j, closest::MOST);
    let pass = closest::let_pass(j);
    html.section("limits", "Closest to its limit in normal use");
    if near.is_empty() {
        html.paragraph("Nothing comes near to a limit that is stated.");
    } else {
        let rows: Vec<Vec<String>> = near.into_iter().map(|n| vec![n.parts, n.used, n.of]).collect();
        html.table("narrow", "Share of its limit that is used", &["part", "used", "value and limit"], &rows);
    }
    if !pass.is_empty() {
        html.element("h3", "", "Over a rating, and let pass");
        html.list(&pass);
    }
    html.end();
}

fn waveforms(html: &mut Html, facts: &SheetFacts) {
    html.section("waveforms-section", "Waveforms");
    match &facts.waveforms {
        Ok((svg, caption)) => {
            html.raw("<figure>\n<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"Waveforms, drawn\">\n");
            html.raw(svg);
            html.raw("</div>\n");
            html.element("figcaption", "", caption);
            html.raw("</figure>\n");
        }
        Err(why) => html.paragraph(why),
    }
    html.end();
}

fn ended(html: &mut Html, j: &Judgement) {
    html.section("faults", "Faults and what ends them");
    if j.cleared.is_empty() {
        html.paragraph("No fault that was tried is ended by a fuse, breaker or residual-current device.");
        return html.end();
    }
    let mut rows: Vec<_> = j.cleared.iter().collect();
    rows.sort_by(|a, b| b.within_seconds.total_cmp(&a.within_seconds));
    let more = rows.len().saturating_sub(MOST_ENDED);
    let cells = rows.iter().take(MOST_ENDED).map(|c| {
        let also = if c.also.is_empty() { "–".to_string() } else { c.also.join(", ") };
        vec![clean(&c.fault), clean(&c.by), show(c.within_seconds, "s"), show(c.amperes, "A"), clean(&also)]
    });
    let heads = ["fault", "ended by", "within at most", "at", "may open too"];
    html.table("", "The slowest first", &heads, &cells.collect::<Vec<_>>());
    if more > 0 {
        html.paragraph(&format!("{more} more that are ended sooner: deadfront check --all."));
    }
    html.end();
}

/// Faults in the table.
const MOST_ENDED: usize = 14;

fn foot(html: &mut Html, j: &Judgement) {
    html.section("cautions", "Cautions");
    html.list(&CAUTIONS.map(str::to_string));
    html.element("h3", "", "What was not looked at");
    if j.not_checked.is_empty() {
        html.paragraph("Workmanship, and everything the file does not say.");
    } else {
        html.list(&j.not_checked);
    }
    html.element("p", &format!("verdict {}", class(j)), &verdict_line(j));
    html.end();
}
