//! The dead test, what readings say, and the first power-up, as text. Must not work anything out.

use super::clean::clean;
use super::look::Look;
use super::page::Page;
use super::plural;
use super::table::{self, Column};
use crate::deadtest::{DeadTest, Diagnosis, FirstPower, Measurement, NotOffered, Why, shown};
use crate::front::Tested;
use crate::wording::{deadtest as words, join};

/// Faults that fit, told before the rest is counted.
const MOST_EXPLAINED: usize = 12;

/// The page for a terminal. No line is wider than `look.width`; text from files is cleaned.
pub(crate) fn dead_test_text(tested: &Tested, look: Look) -> String {
    let Tested { test, diagnosis, first_power } = tested;
    let mut page = Page::new(look);
    page.paragraph(&format!("DEAD TEST of {} ({})", clean(&test.name), clean(&test.file)));
    if let Some(diagnosis) = diagnosis {
        diagnosed(&mut page, test, diagnosis);
    } else {
        page.paragraph("Pull the plug, discharge it, prove it dead. Then, with an ordinary digital meter:");
        measurements(&mut page, test);
        hidden(&mut page, test);
    }
    if !test.complete {
        page.gap();
        page.paragraph("Not complete: there are more points, switch positions or slips than were tried.");
    }
    if let Some(first_power) = first_power {
        power(&mut page, first_power);
    }
    page.gap();
    page.paragraph(&last(tested));
    page.finish()
}

fn last(tested: &Tested) -> String {
    match &tested.diagnosis {
        None => {
            let count = plural(tested.test.measurements.len(), "measurement");
            format!(
                "{count}. Take them down with --reading \"M1=…\" or --readings FILE; no dead test finds everything."
            )
        }
        Some(d) if d.differs() => format!("{}: do not plug it in.", differing(d)),
        Some(d) => format!(
            "No difference found in {}; what is listed above would still be hidden.",
            plural(d.readings, "measurement")
        ),
    }
}

fn differing(d: &Diagnosis) -> String {
    let verb = if d.differ.len() == 1 { "differs" } else { "differ" };
    format!(
        "{} of {} {verb} from a sound tool ({})",
        d.differ.len(),
        plural(d.readings, "reading"),
        join::all(&cleaned(&d.differ))
    )
}

fn cleaned(names: &[String]) -> Vec<String> {
    names.iter().map(|n| clean(n)).collect()
}

fn row(m: &Measurement) -> Vec<String> {
    vec![
        m.id.clone(),
        clean(&words::leads(m)),
        clean(&shown(&m.setting)),
        m.range.word().into(),
        words::reads(m),
        clean(&some(&m.tells)),
    ]
}

/// The first names that fit a column, and how many more there are.
fn some(names: &[String]) -> String {
    const WIDEST: usize = 24;
    const MOST: usize = 3;
    let shown: Vec<String> = names.iter().filter(|n| n.chars().count() <= WIDEST).take(MOST).cloned().collect();
    match names.len() - shown.len() {
        0 => join::all(&shown),
        _ if shown.is_empty() => plural(names.len(), "fault"),
        more => format!("{} and {more} more", shown.join(", ")),
    }
}

fn measurements(page: &mut Page, test: &DeadTest) {
    page.gap();
    if test.measurements.is_empty() {
        return page.paragraph("There is nothing that a meter could tell between the points it reaches.");
    }
    let rows: Vec<Vec<String>> = test.measurements.iter().map(row).collect();
    table::put(page, &["", "leads on", "switches", "range", "must read", "tells of"].map(Column::Words), &rows);
    page.paragraph(&words::meter_may_add());
}

fn hidden(page: &mut Page, test: &DeadTest) {
    if test.hidden.is_empty() {
        return;
    }
    page.heading("No measurement here tells");
    let mut whys: Vec<&Why> = vec![];
    for h in &test.hidden {
        if !whys.contains(&&h.why) {
            whys.push(&h.why);
        }
    }
    for why in whys {
        let of: Vec<String> = test.hidden.iter().filter(|h| h.why == *why).map(|h| clean(&h.fault)).collect();
        page.bullet(&format!("{}: {}", join::list(&of), clean(&words::why(why))));
    }
}

fn diagnosed(page: &mut Page, test: &DeadTest, d: &Diagnosis) {
    let wrong = |id: &str| test.wrong(id).map_or_else(|| id.to_string(), words::wrong);
    if !d.differs() {
        page.paragraph(&format!("No difference found in {}.", plural(d.readings, "measurement")));
        if d.still_hidden.is_empty() {
            page.paragraph(
                "What no dead test finds would still be hidden: what parts and insulation stand at their volts.",
            );
        } else {
            page.heading("These faults would still be hidden");
            page.paragraph(&clean(&format!("{}.", d.still_hidden.join(", "))));
        }
    } else {
        page.paragraph(&format!("{}.", differing(d)));
        if !d.unexplained.is_empty() {
            page.gap();
            page.paragraph(&format!(
                "Nothing that was looked for explains {}: measure it again; else there are two faults at once, or something \
                 that the file does not know.",
                join::all(&cleaned(&d.unexplained))
            ));
        }
        explained(page, d, &wrong);
    }
    let Some(next) = &d.next else { return };
    let Some(m) = test.measurements.iter().find(|m| m.id == *next) else {
        page.gap();
        return page.paragraph(&clean(&format!("Measure next, beside the list: --reading \"{next}=…\"")));
    };
    page.gap();
    let setting = if m.setting.is_empty() { String::new() } else { format!(" with {}", shown(&m.setting)) };
    page.paragraph(&clean(&format!(
        "Measure next: {}, {} on the {} range{setting}; a sound tool shows {}.",
        m.id,
        words::leads(m),
        m.range.word(),
        words::reads(m)
    )));
}

fn explained(page: &mut Page, d: &Diagnosis, wrong: &dyn Fn(&str) -> String) {
    if d.explained_by.is_empty() {
        return;
    }
    let heading = if d.unexplained.is_empty() { "What reads so, the likeliest first" } else { "What comes nearest" };
    page.heading(heading);
    let told = &d.explained_by[..d.explained_by.len().min(MOST_EXPLAINED)];
    if told.windows(2).any(|two| two[0].rank == two[1].rank) {
        page.paragraph("Those of one number read alike in what was measured so far.");
    }
    for e in d.explained_by.iter().take(MOST_EXPLAINED) {
        let fits = if e.fits < d.readings { format!(", fits {} of {}", e.fits, d.readings) } else { String::new() };
        page.hang(&format!("{:>3} ", e.rank), "    ", &clean(&format!("{} ({}{fits})", wrong(&e.fault), e.fault)));
    }
    let more = d.explained_by.len().saturating_sub(MOST_EXPLAINED);
    if more > 0 {
        page.paragraph(&format!("    and {more} more: see --format json."));
    }
}

fn power(page: &mut Page, first_power: &Result<FirstPower, NotOffered>) {
    page.heading("FIRST POWER");
    match first_power {
        Err(why) => page.paragraph(words::not_offered(*why)),
        Ok(power) => {
            page.paragraph("Only after a dead test without a difference.");
            for (k, step) in power.steps.iter().enumerate() {
                let (act, stop) = words::step(step);
                page.hang(&format!("{:>2}. ", k + 1), "    ", &clean(&act));
                page.hang("    ", "    ", &format!("Stop if {}.", clean(&stop)));
            }
            page.paragraph("To stop: pull the plug; touch nothing else.");
        }
    }
}
