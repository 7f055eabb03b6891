//! Words of psu-rating.

use super::{Known, overcurrent};
use crate::finding::said::PsuRating;

pub(super) fn words(known: &Known, s: &PsuRating) -> (String, String) {
    match s {
        PsuRating::Gives(s) => overcurrent::words(s),
        PsuRating::Backwards { item, under, current, limit } => (
            format!(
                "{} {current} flow backwards into {item}, made to give {limit}: it is driven above its volts until it fails",
                known.under(*under)
            ),
            format!("put a fuse of no more than {limit} in series with each module, beside its diode"),
        ),
        PsuRating::Input { part, volts, limit } => (
            format!("{volts} stand at the input of {part}; modules for the mains are made for {limit}: it bursts"),
            "feed it from the mains itself, or use one whose maker states an input for these volts".into(),
        ),
    }
}
