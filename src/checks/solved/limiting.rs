//! Whether anything but the fuse and the wiring limits the current of a lamp.

use crate::checks::Case;
use crate::finding::said::Unlimited;
use crate::finding::{Quantity, Situation};
use crate::jig::{Ends, PartKind};
use crate::nets::Limitless;
use crate::part::{Led, Neon};
use crate::standard::{self, Limit};

use super::lookup::{lasting, rated};

/// A lamp whose current something else has to limit.
pub(super) struct Lamp {
    /// The item.
    pub(super) item: usize,
    /// Its part, by index.
    pub(super) part: usize,
    /// Its ends.
    pub(super) across: Ends,
    /// Ohms it limits its current by itself.
    slope: f64,
    /// The highest current it stands.
    pub(super) most: Option<f64>,
    /// Which current that is: r.m.s. of a glow lamp, the mean of an LED.
    pub(super) rated_in: Quantity,
}

/// The lamp of an item; `None` for any other part, and for a lamp with its resistor built in.
pub(super) fn lamp(case: &Case, item: usize) -> Option<Lamp> {
    let part = case.survey.model.items[item].part;
    let kind = &case.jig.parts[part].kind;
    if let PartKind::Neon(Neon { across, slope, current, max_current, lamp_type, .. }) = kind {
        let own = lamp_type.as_deref().is_some_and(standard::lamp::limits_itself);
        let slope = slope.unwrap_or_else(|| standard::bench::neon_slope().value);
        let most = highest(*current, *max_current);
        return (!own).then_some(Lamp { item, part, across: *across, slope, most, rated_in: Quantity::CurrentRms });
    }
    let PartKind::Led(Led { across, slope, series, current, .. }) = kind else { return None };
    let slope = slope.unwrap_or_else(|| standard::bench::led_slope(*current).value) * f64::from((*series).max(1));
    let most = Some(led_mean(*current).value);
    Some(Lamp { item, part, across: *across, slope, most, rated_in: Quantity::CurrentMean })
}

/// The highest current of a glow lamp.
pub(super) fn highest(current: Option<f64>, max: Option<f64>) -> Option<f64> {
    max.or_else(|| current.map(|c| c * standard::bench::neon_max_current_multiple().value))
}

/// The mean current an LED stands.
pub(super) fn led_mean(current: Option<f64>) -> Limit {
    current.map_or_else(standard::lamp::led_current, |a| rated(a, "A"))
}

/// Whether nothing limits the lamp as built: everything else about its current then goes without saying.
pub(super) fn bare(case: &Case, lamp: &Lamp) -> Option<Unlimited> {
    if bare_with(case, lamp, None) {
        return Some(Unlimited::Nothing);
    }
    let far = standard::bench::sustained_fire();
    let swamped = lamp.most.is_some_and(|m| {
        lasting(case, lamp.item, lamp.rated_in, Situation::Normal).is_some_and(|s| s.value >= far.value * m)
    });
    swamped.then_some(Unlimited::NextToNothing)
}

/// Whether nothing limits the lamp with one part shorted.
pub(super) fn bare_with(case: &Case, lamp: &Lamp, shorted: Option<usize>) -> bool {
    let limitless = |first_half| Limitless { below_ohms: lamp.slope, shorted, first_half };
    [true, false].into_iter().any(|half| case.nets().unlimited(lamp.part, lamp.across, &limitless(half)))
}

/// Whether the item is a lamp that nothing limits: then no-limiting has all there is to say of its current.
pub(super) fn is_bare(case: &Case, item: usize) -> bool {
    lamp(case, item).is_some_and(|lamp| bare(case, &lamp).is_some())
}
