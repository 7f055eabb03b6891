//! Words of off-not-dead.

use super::join::list;
use crate::finding::said::{LivePast, OffNotDead};

pub(super) fn words(s: &OffNotDead) -> (String, String) {
    match s {
        OffNotDead::Past(past) => live_past(past),
        OffNotDead::Holds { relay, coil, switches } => (
            format!("once pulled in, {relay} feeds its own coil {coil}, and {} does not release it", either(switches)),
            format!(
                "put the holding contact of {relay} across the start button alone, so that the stop button stays in its way"
            ),
        ),
    }
}

/// "neither SW1 nor SW2": with one name that name alone.
fn either(switches: &[String]) -> String {
    switches.join(" or ")
}

fn live_past(s: &LivePast) -> (String, String) {
    let LivePast { switch, through, outlet, net, current } = s;
    let way = list(through);
    let message = match (outlet, current) {
        (Some(outlet), Some(current)) => {
            format!("{switch} off leaves {outlet} live ({net}) through {way}: a hand on it draws {current}")
        }
        (Some(outlet), None) => format!("{switch} off leaves {outlet} live ({net}) through {way}"),
        (None, _) => format!(
            "{switch} off does not take the mains off {net} and what is behind it: {way} leads past the contact"
        ),
    };
    (
        message,
        format!("take {way} off the contact of {switch}: across what is switched it does the same, and off is dead"),
    )
}
