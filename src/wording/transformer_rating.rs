//! Words of transformer-rating.

use super::overcurrent;
use crate::finding::said::TransformerRating;

pub(super) fn words(s: &TransformerRating) -> (String, String) {
    match s {
        TransformerRating::Volts { winding, volts, limit, supply } => (
            format!("{volts} stand on {winding}, made for {limit}: its iron saturates, it hums, overheats and burns"),
            format!("use a transformer whose winding there is made for {supply}, or the tap for it"),
        ),
        TransformerRating::Current(current) => overcurrent::words(current),
    }
}
