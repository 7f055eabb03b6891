//! Words of varistor-rating.

use crate::finding::said::VaristorRating;

pub(super) fn words(s: &VaristorRating) -> (String, String) {
    match s {
        VaristorRating::Volts { part, volts, limit, cure } => (
            format!("{part} gets {volts} all the time, it is made for {limit}: it heats up and burns"),
            match cure {
                Some(usual) => format!("use one for {usual} a.c., behind the fuse"),
                None => "use one rated above the highest mains".into(),
            },
        ),
        VaristorRating::Low { part, volts, needed, cure } => (
            format!(
                "{part} is made for {volts}; on this supply {needed} are asked for: at the highest mains it ages until it shorts"
            ),
            format!("use one for {} a.c. or more, behind the fuse", cure.as_ref().unwrap_or(needed)),
        ),
        VaristorRating::ToEarth { part, net } => (
            format!(
                "{part} lies from {net} to earth alone: when it fails short the mains stands on the earth conductor"
            ),
            format!(
                "put a gas discharge tube in series with {part}, or leave it out: one across the line takes most surges"
            ),
        ),
        VaristorRating::Watts { part, watts, limit } => (
            format!("{part} takes {watts} all the time, it is made for {limit}"),
            "use one with a higher breakdown, so that it conducts only in surges".into(),
        ),
    }
}
