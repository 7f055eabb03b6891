//! Words of diode-reverse.

use super::Known;
use crate::finding::said::DiodeReverse;

pub(super) fn words(known: &Known, s: &DiodeReverse) -> (String, String) {
    let DiodeReverse { part, under, volts, limit, cure } = s;
    (
        format!(
            "{} {volts} stand backwards across {part}, made for {limit}: it breaks down and mostly fails short",
            known.under(*under)
        ),
        match cure {
            Some((volts, name)) => format!("use a rectifier for at least {volts} ({name})"),
            None => "use diodes in series with sharing resistors, or a high-voltage type".into(),
        },
    )
}
