//! Words of acceptance.

use crate::finding::said::Acceptance;

pub(super) fn words(s: &Acceptance) -> (String, String) {
    match s {
        Acceptance::MatchesNothing { check } => {
            (format!("the acceptance of {check} matches no finding"), "take it out of the file".into())
        }
        Acceptance::Lapsed { check, until } => (
            format!("the acceptance of {check} ran until {until} and has lapsed"),
            "look at the finding again, then renew the date".into(),
        ),
    }
}
