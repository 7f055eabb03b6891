//! Words of diode-reverse.

use super::Known;
use crate::finding::said::{Backward, DiodeReverse};

pub(super) fn words(known: &Known, s: &DiodeReverse) -> (String, String) {
    let DiodeReverse { part, what, volts, limit, cure } = s;
    let said = match what {
        Backward::NoRoom { crest } => format!(
            "{part} is made for {limit} backwards: on a mains with a crest of {crest} that leaves no room for surges, {volts} do"
        ),
        Backward::Over(under) => format!(
            "{} {volts} stand backwards across {part}, made for {limit}: it breaks down and mostly fails short",
            known.under(*under)
        ),
    };
    (
        said,
        match cure {
            Some((volts, name)) => format!("use a rectifier for at least {volts} ({name})"),
            None => "use diodes in series with sharing resistors, or a high-voltage type".into(),
        },
    )
}
