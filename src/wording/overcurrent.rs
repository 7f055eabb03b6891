//! Words of psu-rating and winding-rating, and of the windings of transformer-rating.

use crate::finding::said::Overcurrent;

pub(super) fn words(s: &Overcurrent) -> (String, String) {
    let Overcurrent { item, current, limit } = s;
    (
        format!("{item} carries {current} and nothing ends it, made for {limit}: it overheats until it fails"),
        "use a larger one, a smaller load, or a fuse that opens at this current".into(),
    )
}
