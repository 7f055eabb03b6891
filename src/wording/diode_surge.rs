//! Words of diode-surge.

use crate::finding::said::{DiodeSurge, SurgeWhen};

pub(super) fn words(s: &DiodeSurge) -> (String, String) {
    let DiodeSurge { part, when, current, limit, cure } = s;
    let wait = match when {
        SurgeWhen::Again => "; or write on the tool how long to wait before it is switched on again",
        SurgeWhen::SwitchedOn | SurgeWhen::Emptying => "",
    };
    let when = match when {
        SurgeWhen::SwitchedOn => "Switched on at the worst instant",
        SurgeWhen::Again => "Switched on again after a moment off, at the worst instant,",
        SurgeWhen::Emptying => "Put on something charged,",
    };
    (
        format!("{when} {current} shoots through {part}, which stands {limit} once: it fails, mostly short"),
        format!("put {cure} in series (flame-proof, made for pulses), or a thermistor of that cold resistance{wait}"),
    )
}
