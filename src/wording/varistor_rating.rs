//! Words of varistor-rating.

use crate::finding::said::VaristorRating;

pub(super) fn words(s: &VaristorRating) -> (String, String) {
    match s {
        VaristorRating::Volts { part, volts, limit, cure } => (
            format!("{volts} stand across {part} for ever, it is made for {limit}: it heats up and burns"),
            match cure {
                Some(usual) => format!("use one for {usual} a.c., behind the fuse"),
                None => "use one rated above the highest mains".into(),
            },
        ),
        VaristorRating::Watts { part, watts, limit } => (
            format!("{part} takes {watts} for ever, it is made for {limit}"),
            "use one with a higher breakdown, so that it conducts only in surges".into(),
        ),
    }
}
