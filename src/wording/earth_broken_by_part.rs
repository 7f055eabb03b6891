//! Words of earth-broken-by-part.

use super::join::list;
use crate::finding::said::EarthBrokenByPart;

pub(super) fn words(s: &EarthBrokenByPart) -> (String, String) {
    match s {
        EarthBrokenByPart::Metal { touchable, through } => {
            let through = list(through);
            (
                format!("the earth of {touchable} goes through {through}, which can open and leave it live"),
                format!("bond {touchable} to PE with a wire of its own, past {through}"),
            )
        }
        EarthBrokenByPart::Fuse { part } => (
            format!("{part} is a fuse in the protective conductor: once it opens nothing says that the earth is gone"),
            format!("take {part} out: the earth runs unbroken, fuses go into the live conductors"),
        ),
    }
}
