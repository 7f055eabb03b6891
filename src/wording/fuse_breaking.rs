//! Words of fuse-breaking.

use crate::finding::said::FuseBreaking;

pub(super) fn words(s: &FuseBreaking) -> (String, String) {
    let FuseBreaking { part, breaks, short } = s;
    (
        format!("{part} can break {breaks}; a dead short here can give {short}: the fuse bursts and the arc goes on"),
        format!("use a fuse that breaks at least {short} (IEC 60127 letter H)"),
    )
}
