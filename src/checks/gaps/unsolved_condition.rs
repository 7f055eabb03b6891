//! What the check could not solve: every gap is a finding, one a reason, with how many conditions it leaves open.

use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Bound, UnsolvedCondition};
use crate::finding::{CheckId, Ordinal, Said, Signal};
use crate::standard::rules;
use crate::survey::ledger::Outcome;
use crate::survey::unsolved::NotSolved;
use crate::wording;

pub(super) const CHECK: Check = Check {
    id: CheckId::UnsolvedCondition,
    judges: &[],
    about: About {
        looks_at: "Conditions that were to be tried and could not be solved.",
        limit: "None: what was not solved is not passed.",
        rows: &["rules.rule.nothing_unsolved"],
        how: "A check takes as long as --budget allows and tries at most so many conditions as deadfront tables bounds says; what is left then counts here too. A solution counts when its energy balance closes over a cycle; findings of one reason are told once, with the number of conditions they leave open. The exit status is then 3.",
        mend: "Look for a value or a joint that makes no circuit (a short across a source, a capacitor behind nothing), or have the tool judged by other means.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let mut reasons: Vec<(String, usize, Ordinal, Option<Bound>)> = vec![];
    for t in &case.survey.ledger.tried {
        if let Outcome::Unsolved(reason) = &t.outcome {
            let why = wording::condition::why(&case.survey.model, reason);
            match reasons.iter_mut().find(|r| r.0 == why) {
                Some(r) => r.1 += 1,
                None => reasons.push((why, 1, t.ordinal, bound(case, reason))),
            }
        }
    }
    let draft = |(why, count, first, bound): (String, usize, Ordinal, Option<Bound>)| {
        case.about_key(CheckId::UnsolvedCondition, Signal::Warning, "jig")
            .found_in(first)
            .source(&rules::nothing_unsolved())
            .states(Said::UnsolvedCondition(UnsolvedCondition { count, why, bound }))
    };
    out.extend(reasons.into_iter().map(draft));
}

/// The bound of the check that keeps a condition from being solved.
fn bound(case: &Case, why: &NotSolved) -> Option<Bound> {
    match why {
        NotSolved::OutOfTime => case.survey.budget.map(|b| Bound::Time { allowed: b.allowed }),
        NotSolved::TooManyConditions { most, of } => Some(Bound::Conditions { most: *most, of: *of }),
        NotSolved::Circuit(_)
        | NotSolved::Inconsistent { .. }
        | NotSolved::Unbalanced { .. }
        | NotSolved::CornersLeftOut { .. } => None,
    }
}
