//! Words of off-not-dead.

use super::join::list;
use crate::finding::said::OffNotDead;

pub(super) fn words(s: &OffNotDead) -> (String, String) {
    let OffNotDead { switch, through, outlet, net, current } = s;
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
