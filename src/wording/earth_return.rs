//! Words of earth-return.

use super::join::list;
use crate::finding::said::EarthReturn;

pub(super) fn words(s: &EarthReturn) -> (String, String) {
    let EarthReturn { current, through, trips, touchables } = s;
    let trip = if *trips { "; the residual-current device trips by it" } else { "" };
    let live = match touchables.as_slice() {
        [] => "whatever else is on this earth is live once it breaks".to_string(),
        some => format!("once it breaks, {} stands at mains volts", list(some)),
    };
    (
        format!(
            "{current} of {} flow back through the protective earth in normal use, which is there for faults alone: {live}{trip}",
            list(through)
        ),
        format!("connect {} to the neutral (the other pole), not to the earth", list(through)),
    )
}
