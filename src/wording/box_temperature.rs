//! Words of box-temperature.

use super::{Known, heat};
use crate::finding::said::BoxTemperature;

pub(super) fn words(known: &Known, s: &BoxTemperature) -> (String, String) {
    let BoxTemperature { watts, inside, limit, at, asks, cure } = s;
    let inside = heat::degrees(*inside);
    let what = match at {
        Some(_) => format!("{limit:.0} °C is where insulation softens"),
        None => format!("{limit:.0} °C is what it may be for long"),
    };
    (
        format!("{}{watts} in a box like this bring the air inside to {inside}; {what}", heat::under(known, *at, asks)),
        heat::remedy(cure, asks, *at),
    )
}
