//! Words of part-temperature.

use super::Known;
use crate::finding::said::{PartTemperature, TooWarm};

pub(super) fn words(known: &Known, s: &PartTemperature) -> (String, String) {
    let PartTemperature { part, celsius, limit, fate, on } = s;
    let place = on.as_ref().map_or_else(|| "in the air of the box".into(), |on| format!("on {on}"));
    match fate {
        TooWarm::Opens => (
            format!("{part} comes to {celsius:.0} °C {place} in normal use and may open from {limit:.0} °C: it opens for good, with no fault"),
            "use a thermal fuse for a higher temperature, or make it cooler there: a larger or ventilated box, fewer watts".into(),
        ),
        TooWarm::MayOpen => (
            format!("{part} comes to {celsius:.0} °C {place} in normal use; it is sure to hold only up to {limit:.0} °C"),
            "use a thermal fuse for the next higher temperature, or make it cooler there".into(),
        ),
        TooWarm::Ages | TooWarm::AgesAfter(_) => (
            format!("{part} lies in air of {celsius:.0} °C {}, made for {limit:.0} °C: its insulation ages and cracks", when(known, *fate)),
            "use wire for a higher temperature (silicone, glass), or make it cooler: a larger or ventilated box, fewer watts".into(),
        ),
    }
}

fn when(known: &Known, fate: TooWarm) -> String {
    match fate {
        TooWarm::AgesAfter(at) => format!("with one fault ({})", known.fault(at)),
        TooWarm::Opens | TooWarm::MayOpen | TooWarm::Ages => "in normal use".into(),
    }
}
