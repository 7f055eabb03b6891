//! What the check says of itself: what it could not solve, and acceptances that do not hold. Judges no part.

use super::{About, Case, Check, Draft};
use crate::finding::Signal;
use crate::standard::rules;
use crate::survey::ledger::Outcome;

/// The list.
pub(super) const LIST: &[&Check] = &[&UNSOLVED, &ACCEPTANCE, &PLUGIN_FAILED];

const UNSOLVED: Check = Check {
    names: &["unsolved-condition"],
    about: &[About {
        looks_at: "Conditions that were to be tried and could not be solved.",
        limit: "None: what was not solved is not passed.",
        rows: &["rules.rule.nothing_unsolved"],
        how: "A solution counts when its energy balance closes over a cycle; findings of one reason are told once, with the number of conditions they leave open. The exit status is then 3.",
        mend: "Look for a value or a joint that makes no circuit (a short across a source, a capacitor behind nothing), or have the tool judged by other means.",
    }],
    run: unsolved,
};

/// Told in `judge`, which alone sees the findings that an acceptance is about.
const ACCEPTANCE: Check = Check {
    names: &["acceptance"],
    about: &[About {
        looks_at: "Every [[accept]] of the file: whether the finding it names is there, and whether its day has passed.",
        limit: "An acceptance names a finding that is there, and a day on which it ends.",
        rows: &["rules.rule.acceptance_ends"],
        how: "Compares check and part with the findings, and until with today. An accepted finding stays in the report and counts as before.",
        mend: "Take out an acceptance that matches nothing; look at the finding again before you renew a date.",
    }],
    run: |_, _| {},
};

/// Told by the host of plugins, which alone sees one fail.
const PLUGIN_FAILED: Check = Check {
    names: &["plugin-failed"],
    about: &[About {
        looks_at: "Plugins for this kind of unit that came to no end, must not run, or are set in the file and not here.",
        limit: "None: what a plugin looks for and could not look at is not passed.",
        rows: &["rules.rule.nothing_unsolved"],
        how: "Each plugin runs within bounds of time, memory and calls. One that fails is told with its file and line, changes nothing the others find, and makes the exit status 3.",
        mend: "Have the plugin mended, or ask whoever shared it; look at what it is for by hand until then.",
    }],
    run: |_, _| {},
};

/// Every gap is a finding: one a reason, with how many conditions it leaves open.
fn unsolved(case: &Case, out: &mut Vec<Draft>) {
    let mut reasons: Vec<(String, usize, String)> = vec![];
    for t in &case.survey.ledger.tried {
        if let Outcome::Unsolved(why) = &t.outcome {
            match reasons.iter_mut().find(|r| r.0 == *why) {
                Some(r) => r.1 += 1,
                None => reasons.push((why.clone(), 1, case.survey.words(case.jig, t.ordinal))),
            }
        }
    }
    let draft = |(why, count, first): (String, usize, String)| {
        let many = if count == 1 { "one condition".to_string() } else { format!("{count} conditions") };
        case.about_key("unsolved-condition", Signal::Warning, "jig")
            .condition(&first)
            .source(&rules::nothing_unsolved())
            .says(
                format!("{many} could not be solved ({why}), so nothing is known about them"),
                "look for a value or a joint that makes no circuit, or have the tool judged by other means",
            )
    };
    out.extend(reasons.into_iter().map(draft));
}
