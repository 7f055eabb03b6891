//! Words of led-current.

use crate::finding::said::LedCurrent;

pub(super) fn words(s: &LedCurrent) -> (String, String) {
    let LedCurrent { part, quantity, current, limit, cure } = s;
    (
        format!("{part} carries {current} ({quantity}), made for {limit}: it fades or dies"),
        format!("raise its series impedance by {cure}"),
    )
}
