//! Words of unsolved-condition.

use crate::finding::said::{Bound, UnsolvedCondition};
use crate::quantity::{Kind, format};

pub(super) fn words(s: &UnsolvedCondition) -> (String, String) {
    let UnsolvedCondition { count, why, bound } = s;
    let many = if *count == 1 { "one condition".to_string() } else { format!("{count} conditions") };
    match bound {
        None => (
            format!("{many} could not be solved ({why}), so nothing is known about them"),
            "look for a value or a joint that makes no circuit, or have the tool judged by other means".into(),
        ),
        Some(Bound::Time { allowed }) => {
            let allowed = format(allowed.as_secs_f64(), Kind::Time);
            let were = if *count == 1 { "was" } else { "were" };
            (
                format!(
                    "the {allowed} allowed were used up before {many} {were} tried, so nothing is known about them"
                ),
                "allow more with --budget \"10 min\", or any time with --budget none".into(),
            )
        }
        Some(Bound::Conditions { most, of }) => (
            format!(
                "the jig has {of} conditions, of which {most} are tried at most, so nothing is known about the others"
            ),
            "describe the tool with fewer switch positions, loads or parts at once, or in two files".into(),
        ),
    }
}
