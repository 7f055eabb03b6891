//! Words of diode-surge.

use crate::finding::said::DiodeSurge;

pub(super) fn words(s: &DiodeSurge) -> (String, String) {
    let DiodeSurge { part, again, current, limit, cure } = s;
    let when = if *again {
        "Switched on again after a moment off, at the worst instant,"
    } else {
        "Switched on at the worst instant"
    };
    let wait = if *again { "; or write on the tool how long to wait before it is switched on again" } else { "" };
    (
        format!("{when} {current} shoots through {part}, which stands {limit} once: it fails, mostly short"),
        format!("put {cure} in series (flame-proof, made for pulses), or a thermistor of that cold resistance{wait}"),
    )
}
