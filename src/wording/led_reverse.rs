//! Words of led-reverse.

use crate::finding::said::{Backwards, LedReverse};

pub(super) fn words(s: &LedReverse) -> (String, String) {
    let LedReverse { part, volts, limit, when } = s;
    let when = match when {
        Backwards::HalfCycles => "in every other half cycle",
        Backwards::Emptying => "while what it was put on empties",
    };
    (
        format!("{volts} backwards on {part} {when}, it stands {limit}: it dies sooner or later"),
        format!("put a diode the other way round across {part}"),
    )
}
