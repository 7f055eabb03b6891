//! Words of plug-fuse.

use crate::finding::said::PlugFuse;

pub(super) fn words(s: &PlugFuse) -> (String, String) {
    match s {
        PlugFuse::Cord { area, fuse, most } => (
            format!(
                "The plug holds {fuse} in front of a cord of {area}, which asks for {most}: a fault burns the cord"
            ),
            format!("put a {most} fuse into the plug and write plug-fuse = \"{most}\""),
        ),
        PlugFuse::HoldsNone { plug } => (
            format!("a type {plug} plug holds no fuse, so the one stated in it protects nothing"),
            "take plug-fuse out and put a fuse into the jig, directly behind the plug".into(),
        ),
        PlugFuse::NotMade { amperes, most, plug } => (
            format!("no fuse of {amperes} A is made for a type {plug} plug"),
            format!("use one of {most} A or less, as small as the load allows"),
        ),
    }
}
