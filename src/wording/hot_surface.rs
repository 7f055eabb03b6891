//! Words of hot-surface.

use super::{Known, heat};
use crate::finding::said::{Burn, HotSurface};

pub(super) fn words(known: &Known, s: &HotSurface) -> (String, String) {
    let HotSurface { watts, surface, limit, burn, at, asks, cure } = s;
    let what = match burn {
        Burn::Burns => "it burns the hand",
        Burn::TooHotToHold => "too hot to hold, though it is not made to be held",
    };
    let under = heat::under(known, *at, asks);
    (
        format!("{under}{watts} bring the outside of the box to {surface:.0} °C, the limit is {limit:.0} °C: {what}"),
        heat::remedy(cure, asks, *at),
    )
}
