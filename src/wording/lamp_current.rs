//! Words of lamp-current.

use crate::finding::said::LampCurrent;

pub(super) fn words(s: &LampCurrent) -> (String, String) {
    let LampCurrent { part, current, limit, cure } = s;
    (
        format!("{part} carries {current}, more than the {limit} it stands: it blackens soon"),
        format!("raise its series resistance by {cure}"),
    )
}
