//! Words of switch-rating and wire-rating, and of thermal fuses.

use crate::finding::said::{Contact, ContactCure};

pub(super) fn words(s: &Contact) -> (String, String) {
    match s {
        Contact::Volts { part, volts, limit, insulation } => {
            let what = if *insulation { "its insulation is made for" } else { "it is made for" };
            (format!("{part} works at {volts}, {what} {limit}"), format!("use one rated for at least {volts} a.c."))
        }
        Contact::Current { item, current, limit, cure } => (
            format!("{item} carries {current} in normal use, made for {limit}: it overheats"),
            match cure {
                ContactCure::AtLeast(current) => format!("use one rated for at least {current}"),
                ContactCure::Area(area) => format!("use at least {area}"),
                ContactCure::Thicker => "use a thicker wire".into(),
            },
        ),
    }
}
