//! Words of diode-surge.

use crate::finding::said::DiodeSurge;

pub(super) fn words(s: &DiodeSurge) -> (String, String) {
    let DiodeSurge { part, current, limit, cure } = s;
    (
        format!(
            "Switched on at the worst instant {current} shoots through {part}, which stands {limit} once: it fails, mostly short"
        ),
        format!("put {cure} in series (flame-proof, made for pulses), or a thermistor of that cold resistance"),
    )
}
