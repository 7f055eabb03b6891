//! Words of dead-short.

use super::join::list;
use crate::finding::said::DeadShort;

pub(super) fn words(s: &DeadShort) -> (String, String) {
    let (DeadShort::Poles { through } | DeadShort::Earth { through, .. }) = s;
    let through = list(through);
    let message = match s {
        DeadShort::Poles { .. } => format!("{through} joins L to N with nothing between to limit the current"),
        DeadShort::Earth { pin, .. } => format!(
            "{pin} is joined to the protective earth through {through}: a live pin there puts the mains on the earthed metal"
        ),
    };
    (message, format!("look for the wrong net among {through}"))
}
