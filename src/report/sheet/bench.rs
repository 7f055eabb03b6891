//! What is done at the bench: the dead test and the first power-up, each with room to write in.

use super::html::Html;
use super::svg::escaped;
use crate::deadtest::{DeadTest, FirstPower, Measurement, NotOffered, Why, shown};
use crate::report::clean;
use crate::wording::{deadtest as words, join};

/// A line for the date and the name of who did it.
const SIGNED: &str = "<p class=\"fill\">Done by <span></span> Date <span></span> Meter <span></span></p>\n";

/// The dead test.
pub(super) fn dead_test(html: &mut Html, test: Option<&DeadTest>) {
    html.section("dead-test", "Dead test");
    let Some(test) = test else {
        html.paragraph("Of so many parts the dead test is worked out by itself: deadfront deadtest JIG.");
        return html.end();
    };
    html.paragraph("Pull the plug, discharge it, prove it dead. Then, with an ordinary digital meter, in this order:");
    if test.measurements.is_empty() {
        html.paragraph("There is nothing that a meter could tell between the points it reaches.");
    } else {
        let rows: Vec<Vec<String>> = test.measurements.iter().map(row).collect();
        let heads = ["no.", "leads on", "switches", "range", "must read", "reads"];
        html.table("", "What a meter must read on the unplugged tool", &heads, &rows);
    }
    html.raw(SIGNED);
    let hidden = hidden(test);
    if !hidden.is_empty() {
        html.element("h3", "", "No measurement here tells");
        html.list(&hidden);
    }
    if !test.complete {
        html.paragraph("Not complete: there are more points, switch positions or slips than were tried.");
    }
    html.paragraph(
        "One reading that differs: do not plug it in; deadfront deadtest JIG --reading says what explains it.",
    );
    html.end();
}

fn row(m: &Measurement) -> Vec<String> {
    let setting = shown(&m.setting);
    let setting = if setting.is_empty() { "–".to_string() } else { setting };
    vec![m.id.clone(), words::leads(m), setting, m.range.word().into(), words::reads(m), String::new()]
}

/// What no measurement tells, a line a reason.
fn hidden(test: &DeadTest) -> Vec<String> {
    let mut whys: Vec<&Why> = vec![];
    for h in &test.hidden {
        if !whys.contains(&&h.why) {
            whys.push(&h.why);
        }
    }
    let of = |why: &&Why| test.hidden.iter().filter(|h| h.why == **why).map(|h| clean(&h.fault)).collect::<Vec<_>>();
    whys.iter().map(|why| format!("{}: {}", join::list(&of(why)), words::why(why))).collect()
}

/// The first power-up.
pub(super) fn first_power(html: &mut Html, power: &Result<FirstPower, NotOffered>) {
    html.section("first-power", "First power");
    match power {
        Err(why) => html.paragraph(words::not_offered(*why)),
        Ok(power) => {
            html.paragraph("Only after a dead test without a difference. To stop: pull the plug; touch nothing else.");
            html.raw("<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"Steps of the first power-up\">\n<table>\n");
            html.raw("<caption>One step after the other, nobody touching the tool</caption>\n<thead><tr>");
            for head in ["step", "what to do", "stop if", "seen"] {
                html.raw(&format!("<th scope=\"col\">{head}</th>"));
            }
            html.raw("</tr></thead>\n<tbody>\n");
            for (k, step) in power.steps.iter().enumerate() {
                let (act, stop) = words::step(step);
                html.raw(&format!(
                    "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td class=\"blank\"></td></tr>\n",
                    k + 1,
                    escaped(&act),
                    escaped(&stop)
                ));
            }
            html.raw("</tbody></table></div>\n");
            html.raw(SIGNED);
        }
    }
    html.end();
}
