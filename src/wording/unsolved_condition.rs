//! Words of unsolved-condition.

use crate::finding::said::UnsolvedCondition;

pub(super) fn words(s: &UnsolvedCondition) -> (String, String) {
    let UnsolvedCondition { count, why } = s;
    let many = if *count == 1 { "one condition".to_string() } else { format!("{count} conditions") };
    (
        format!("{many} could not be solved ({why}), so nothing is known about them"),
        "look for a value or a joint that makes no circuit, or have the tool judged by other means".into(),
    )
}
