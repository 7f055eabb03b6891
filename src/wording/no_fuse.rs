//! Words of no-fuse.

use super::join::list;
use crate::finding::said::NoFuse;
use crate::nets::Live;

pub(super) fn words(s: &NoFuse) -> (String, String) {
    let through = list(&s.through);
    let remedy = match s.live {
        Live::Line => format!("put a fuse into the wire from L, before {through}"),
        Live::Either => {
            "put a fuse into the wire from L and another into that from N (the plug leaves open which is live), before anything else"
                .into()
        }
        Live::Both => {
            "put a fuse into the wire from L and another into that from N (both are live), before anything else".into()
        }
    };
    let pins = list(&s.pins);
    (format!("the path from {pins} through {through} has no fuse: a short there is left to the branch breaker"), remedy)
}
