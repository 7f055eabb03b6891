//! Words of hot-surface.

use super::{Known, heat};
use crate::finding::said::{Burn, HotSurface};

pub(super) fn words(known: &Known, s: &HotSurface) -> (String, String) {
    let HotSurface { watts, surface, limit, burn, part, at, asks, cure } = s;
    if let Some(part) = part {
        return (
            format!(
                "{watts} in normal use make {part}, which stands outside of the box, some {surface:.0} °C warm; a hand stands \
                 {limit:.0} °C of metal: it burns the hand"
            ),
            "put a guard of holes or mesh over it, or use a larger one or a heat sink".into(),
        );
    }
    let what = match burn {
        Burn::Burns => "it burns the hand",
        Burn::TooHotToHold => "too hot to hold, though it is not made to be held",
    };
    let (under, surface) = (heat::under(known, *at, asks), heat::degrees(*surface));
    (
        format!("{under}{watts} bring the outside of the box to {surface}; the limit is {limit:.0} °C: {what}"),
        heat::remedy(cure, asks, *at),
    )
}
