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
    if limit.value == 0.0 {
        return (
            format!(
                "{part} carries {current} ({quantity}), and stands none in a box as hot as this one: it fades or dies"
            ),
            "keep the heat out of the box: fewer watts in it, a larger box, or vents".into(),
        );
    }
    (
        format!("{part} carries {current} ({quantity}), made for {limit}: it fades or dies"),
        format!("raise its series impedance by {cure}"),
    )
}
