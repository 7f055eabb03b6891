//! Words of led-current.

use crate::finding::Compared;
use crate::finding::said::LedCurrent;

pub(super) fn words(s: &LedCurrent) -> (String, String) {
    let LedCurrent { part, quantity, current, limit, cure } = s;
    if *quantity == Compared::SurgeAtSwitchOn {
        return (
            format!(
                "At switch-on {current} shoot through {part}, made for {limit} at most and not for so long: it dies young"
            ),
            format!("raise its series resistance by {cure}"),
        );
    }
    (
        format!("{part} carries {current} ({quantity}), made for {limit}: it fades or dies"),
        format!("raise its series impedance by {cure}"),
    )
}
