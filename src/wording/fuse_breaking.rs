//! Words of fuse-breaking.

use super::Known;
use crate::finding::said::FuseBreaking;

pub(super) fn words(known: &Known, s: &FuseBreaking) -> (String, String) {
    let FuseBreaking { part, breaks, short, heated } = s;
    if let Some(at) = heated {
        return (
            format!(
                "With one fault ({}) {part} carries {short} for as long as that lasts and is made to break {breaks}: when it \
                 gets hot enough it may weld or keep its arc, so it counts for nothing there",
                known.fault(*at)
            ),
            format!("use a thermal fuse rated for at least {short}, or a fuse that opens at that"),
        );
    }
    (
        format!("{part} can break {breaks}; a dead short here can give {short}: the fuse bursts and the arc goes on"),
        format!("use a fuse that breaks at least {short} (IEC 60127 letter H)"),
    )
}
