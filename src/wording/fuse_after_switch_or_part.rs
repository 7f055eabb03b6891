//! Words of fuse-after-switch-or-part.

use super::join::list;
use crate::finding::said::FuseAfter;

pub(super) fn words(s: &FuseAfter) -> (String, String) {
    let FuseAfter { fuse, before, pin } = s;
    let before = list(before);
    (
        format!("{fuse} comes after {before}, so a fault there or in the wiring before it is not ended by the fuse"),
        format!("move {fuse} to the start of the live conductor: one end on {pin}, all else behind it"),
    )
}
