//! Words of box-temperature.

use crate::finding::said::BoxTemperature;

pub(super) fn words(s: &BoxTemperature) -> (String, String) {
    let BoxTemperature { watts, inside, limit, cure } = s;
    (
        format!(
            "{watts} in a closed box of this size bring the air inside to {inside:.0} °C; {limit:.0} °C is what it may be for long"
        ),
        format!("a larger or ventilated box, or at most {cure} in this one"),
    )
}
