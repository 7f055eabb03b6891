//! Words of unused-part.

use crate::finding::said::UnusedPart;

pub(super) fn words(s: &UnusedPart) -> (String, String) {
    let UnusedPart { part } = s;
    (
        format!("{part} is joined to nothing that is powered, so it was not judged"),
        format!("correct the nets of {part}, or take it out of the file"),
    )
}
