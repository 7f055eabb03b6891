//! Words of lamp-in-neutral.

use super::join::list;
use crate::finding::said::LampInNeutral;

pub(super) fn words(s: &LampInNeutral) -> (String, String) {
    let LampInNeutral { outlet, lamps } = s;
    let lamps = list(lamps);
    (
        format!(
            "{lamps} limits the current of {outlet} from the neutral only: a fault from the line to the earthed case of what \
             hangs there, or to a hand, goes past it and is not limited at all"
        ),
        format!("put {lamps} into the line, ahead of {outlet}"),
    )
}
