//! Thermal fuses, and how warm the parts they sit on make themselves. Knows no jig.

use super::bench::{self, heat};
use super::row::{Fact, Limit, Row, find};

/// What heats itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum SelfHeated {
    /// A resistor, by its watts.
    Resistor,
    /// A winding, by its amperes.
    Winding,
}

fn row(id: &str) -> &'static Fact {
    find(heat(), id).unwrap_or_else(|| panic!("bench.toml: heat.{id} is tested"))
}

fn number(id: &str, key: &str) -> f64 {
    row(id).number(key).unwrap_or_else(|| panic!("bench.toml: heat.{id}.{key} is tested"))
}

impl SelfHeated {
    fn id(self) -> &'static str {
        match self {
            SelfHeated::Resistor => "self_heating_resistor",
            SelfHeated::Winding => "self_heating_winding",
        }
    }

    /// Kelvins it makes itself warmer than the air, at so many times its rating.
    pub(crate) fn rise(self, times_rated: f64) -> f64 {
        number(self.id(), "rise_k") * times_rated.powf(number(self.id(), "exponent"))
    }

    /// The highest temperature of a link on it that still protects it, °C.
    pub(crate) fn most(self) -> f64 {
        number(self.id(), "most_c")
    }
}

/// Whether a link of so many °C on a part at so many times its rating is sure to open, and in time to save the part, with
/// ordinary air round it. What is neither resistor nor winding counts by its rating alone.
pub(crate) fn opens(celsius: f64, on: Option<SelfHeated>, times_rated: f64) -> bool {
    match on {
        Some(part) => celsius <= part.most() && bench::ambient().value + part.rise(times_rated) >= celsius,
        None => times_rated > 1.0,
    }
}

/// Times its rated current that a link breaks.
pub(crate) fn breaks() -> Limit {
    let row = row("link_breaks");
    row.value(number("link_breaks", "multiple"), "")
}

/// Longest time in seconds until it does.
pub(crate) fn opens_within() -> Limit {
    row("link_time").limit("time_s").expect("bench.toml: heat.link_time is tested")
}

/// Temperature from which a link of so many °C may open, and up to which it carries its current for good, °C.
pub(crate) fn bounds(celsius: f64) -> [Limit; 2] {
    ["link_opens", "link_holds"].map(|id| row(id).value(celsius - number(id, "below_rated_k"), "°C"))
}
