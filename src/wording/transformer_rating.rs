//! Words of transformer-rating.

use super::overcurrent;
use crate::finding::said::TransformerRating;

pub(super) fn words(s: &TransformerRating) -> (String, String) {
    match s {
        TransformerRating::Primary { part, volts, limit, supply } => (
            format!(
                "{volts} stand on the primary of {part}, made for {limit}: its iron saturates, it hums, overheats and burns"
            ),
            format!("use a transformer for {supply}, or the tap for it"),
        ),
        TransformerRating::Current(current) => overcurrent::words(current),
    }
}
