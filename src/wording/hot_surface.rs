//! Words of hot-surface.

use crate::finding::said::{Burn, HotSurface};

pub(super) fn words(s: &HotSurface) -> (String, String) {
    let HotSurface { watts, surface, limit, burn, cure } = s;
    let what = match burn {
        Burn::Burns => "it burns the hand",
        Burn::TooHotToHold => "too hot to hold, though it is not made to be held",
    };
    (
        format!("{watts} bring the outside of the box to {surface:.0} °C, the limit is {limit:.0} °C: {what}"),
        format!("a larger or ventilated box, or at most {cure} in this one"),
    )
}
