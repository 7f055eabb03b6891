//! Preferred values: the E series of IEC 60063.

use super::unit::decimal;

table_file! { "preferred.toml" [resistance_letter, capacitance_letter]
    /// An E series.
    Series in series_rows {
        steps_per_decade: u32, customary_tolerance_percent: Option<f64>, values: Vec<f64>,
    }
    /// A colour of the resistor code.
    ColourRow in colour {
        colour: String, digit: Option<u32>, multiplier: Option<f64>, tolerance_percent: Option<f64>,
        temperature_coefficient_ppm_per_k: Option<f64>,
    }
    /// A letter for a tolerance.
    ToleranceLetter in tolerance_letter { letter: String, plus_percent: f64, minus_percent: f64 }
}

/// The values of one decade, 1 up to below 10, of the series E`steps`; `None` when there is no such series.
pub(crate) fn series(steps: u32) -> Option<&'static [f64]> {
    series_rows().iter().find(|s| s.steps_per_decade == steps).map(|s| s.values.as_slice())
}

/// All values from one decade below to one above `value`, rising; empty when `value` is not a positive number.
fn around(value: f64, steps: u32) -> Vec<f64> {
    if !(value.is_finite() && value > 0.0) {
        return Vec::new();
    }
    let decade = value.log10().floor() as i32;
    let values = series(steps).unwrap_or_default();
    (decade - 1..=decade + 1).flat_map(|d| values.iter().map(move |v| decimal(*v, d))).collect()
}

/// Relative difference below which a value is taken to be the preferred value itself.
const SAME: f64 = 1e-9;

/// The smallest preferred value not below `value`; `None` for an unknown series or a value that is no positive number.
pub(crate) fn nearest_at_least(value: f64, steps: u32) -> Option<f64> {
    around(value, steps).into_iter().find(|v| *v >= value * (1.0 - SAME))
}

/// The largest preferred value not above `value`.
pub(crate) fn nearest_at_most(value: f64, steps: u32) -> Option<f64> {
    around(value, steps).into_iter().rev().find(|v| *v <= value * (1.0 + SAME))
}

/// The preferred value nearest to `value` in proportion.
pub(crate) fn nearest(value: f64, steps: u32) -> Option<f64> {
    let (below, above) = (nearest_at_most(value, steps)?, nearest_at_least(value, steps)?);
    Some(if value / below <= above / value { below } else { above })
}

/// The preferred values next below and next above `value`, itself left out.
pub(crate) fn neighbours(value: f64, steps: u32) -> Option<(f64, f64)> {
    let all = around(value, steps);
    let below = all.iter().rev().find(|v| **v < value * (1.0 - SAME))?;
    let above = all.iter().find(|v| **v > value * (1.0 + SAME))?;
    Some((*below, *above))
}

/// Whether `value` is of the series.
pub(crate) fn is_preferred(value: f64, steps: u32) -> bool {
    nearest(value, steps).is_some_and(|v| (v / value - 1.0).abs() < SAME)
}
