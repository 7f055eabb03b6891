//! Words of switch-rating and wire-rating, and of thermal fuses.

use crate::finding::said::{Contact, ContactCure};

pub(super) fn words(s: &Contact) -> (String, String) {
    match s {
        Contact::Volts { part, volts, limit, insulation } => {
            let what = if *insulation { "its insulation is made for" } else { "it is made for" };
            (format!("{part} works at {volts}, {what} {limit}"), format!("use one rated for at least {volts} a.c."))
        }
        Contact::Makes { item, peak, rated, i2t, limit, dumps } => {
            let (what, remedy) = if *dumps {
                (
                    "Moved while a capacitor is charged",
                    "put a resistor that stands the charge in series with the contact",
                )
            } else {
                ("At switch-on", "limit the inrush with a thermistor or resistor, or use a switch made for it")
            };
            (
                format!(
                    "{what}, {item}, made for {rated}, closes on {peak} ({i2t}; contacts like it make {limit}): it welds, and no longer \
                     opens"
                ),
                remedy.into(),
            )
        }
        Contact::Arc { item, current, volts, limit } => (
            format!(
                "{item} breaks {current} of d.c. at {volts}; contacts made for a.c. break {limit} there: the arc does not go out and \
                 burns the switch"
            ),
            format!(
                "switch the a.c. side, or use a switch that states {volts} d.c. or more at this current and write dc-voltage"
            ),
        ),
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
