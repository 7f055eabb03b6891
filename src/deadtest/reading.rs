//! What a meter shows: an interval over all tolerances, up to no reading at all, which is a value without bound.

use super::Range;
use crate::standard::meter;

/// What a meter shows, from least to most. No reading is without bound.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Reading {
    /// Least.
    pub low: f64,
    /// Most.
    pub high: f64,
}

impl Reading {
    /// No reading.
    pub(crate) const NONE: Reading = Reading { low: f64::INFINITY, high: f64::INFINITY };

    /// Whether there is no reading for certain.
    pub(crate) fn is_none(&self) -> bool {
        self.low.is_infinite()
    }

    /// What can be read of it on a range: beyond its end there is no reading.
    pub(super) fn on(low: f64, high: f64, range: Range) -> Reading {
        let end = end(range);
        let seen = |v: f64| if v > end { f64::INFINITY } else { v };
        Reading { low: seen(low), high: seen(high) }
    }

    /// With what the meter and its leads may be off.
    pub(super) fn widened(&self, range: Range) -> Reading {
        let (error, leads) = match range {
            Range::Continuity | Range::Ohms => (meter::ohms().error, meter::ohms().leads),
            Range::Diode => (meter::diode().error, meter::diode().leads),
            Range::Capacitance => (meter::capacitance().error, meter::capacitance().leads),
        };
        // A meter that shows the end of its range may as well show no reading.
        let near = |v: f64| if v * (1.0 + error) > end(range) { f64::INFINITY } else { v * (1.0 + error) + leads };
        let low = if self.low.is_finite() { (self.low * (1.0 - error) - leads).max(0.0) } else { end(range) };
        Reading { low, high: near(self.high) }
    }

    /// Whether a meter surely shows another value for the one than for the other.
    pub(super) fn differs(&self, other: &Reading, range: Range) -> bool {
        self.widened(range).is_apart_from(&other.widened(range))
    }

    /// Whether two intervals have nothing in common.
    pub(super) fn is_apart_from(&self, other: &Reading) -> bool {
        self.high < other.low || other.high < self.low
    }

    /// Whether a value that was read (without bound: no reading) may be one of these.
    pub(super) fn holds(&self, value: f64, range: Range) -> bool {
        let w = self.widened(range);
        let value = if value > end(range) { f64::INFINITY } else { value };
        w.low <= value && value <= w.high
    }
}

/// The most that a range shows.
pub(super) fn end(range: Range) -> f64 {
    match range {
        Range::Continuity | Range::Ohms => meter::ohms().most,
        Range::Diode => meter::diode().most,
        Range::Capacitance => f64::MAX,
    }
}
