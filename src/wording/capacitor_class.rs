//! Words of capacitor-class.

use crate::finding::said::{CapacitorClass, CapacitorPlace};

pub(super) fn words(s: &CapacitorClass) -> (String, String) {
    let (wanted, place) = match s.cure {
        CapacitorPlace::Line => ("X1, X2 or Y", "lies on the mains"),
        CapacitorPlace::Motor => ("P2 or P1 (P0 only in a metal box)", "lies in series with the winding of a motor"),
        CapacitorPlace::Earth => ("Y2 or Y1", "lies from the mains to the protective earth"),
        CapacitorPlace::Beyond => {
            ("Y1, or two Y2 in series", "lies from the mains to something that is not on the mains and not earthed")
        }
    };
    let stated = s.stated.map_or_else(|| "no class".into(), |c| format!("class {}", c.word()));
    (
        format!(
            "{} {place} and is stated with {stated}: when it breaks down it shorts, burns, or puts the mains where it must not be",
            s.part
        ),
        format!("use a part of class {wanted}"),
    )
}
