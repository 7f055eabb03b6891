//! Words of fuse-rating.

use super::contact;
use crate::finding::said::{Amount, FuseRating};

pub(super) fn words(s: &FuseRating) -> (String, String) {
    match s {
        FuseRating::Over { part, current, rating, cure } => (
            format!(
                "{part} carries {current} in normal use, more than its {rating}: it runs hot, ages and opens some day, and \
                 whoever replaces it takes a bigger one"
            ),
            remedy(cure.as_ref()),
        ),
        FuseRating::OverShare { part, current, cure } => (
            format!(
                "{part} carries {current}, more than three quarters of its rating; without an IEC letter (F, T) it only has to \
                 carry its rating for hours"
            ),
            remedy(cure.as_ref()),
        ),
        FuseRating::Thermal(s) => contact::words(s),
    }
}

fn remedy(cure: Option<&Amount>) -> String {
    match cure {
        Some(rating) => format!("use {rating} if wires and parts behind it stand it, or take less current"),
        None => "use a larger one".into(),
    }
}
