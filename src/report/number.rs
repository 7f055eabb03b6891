//! Cells of tables that hold a number or the lack of one. Must not know what the number means.

pub(super) use crate::quantity::{format_apart as show_apart, format_table as show};

/// Value with unit, or a dash where there is none.
pub(super) fn show_some(value: Option<f64>, unit: &str) -> String {
    value.map_or_else(|| "–".to_string(), |v| show(v, unit))
}

/// A margin (rating over value) with two decimals, cut and not rounded: what is below 1 never reads as 1.
pub(super) fn margin(margin: Option<f64>) -> String {
    match margin {
        None => "–".to_string(),
        Some(m) if m.is_nan() => "?".to_string(),
        Some(m) if m >= 100.0 => "> 100".to_string(),
        // The addition keeps 1.1 from being cut to 1.09 by its binary form; it is far below the last digit shown.
        Some(m) => format!("{:.2}", ((m + 1e-12) * 100.0).floor() / 100.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_margin_below_one_never_reads_as_one() {
        for (value, text) in [(0.9999, "0.99"), (1.0, "1.00"), (1.1, "1.10"), (0.005, "0.00"), (1e9, "> 100")] {
            assert_eq!(margin(Some(value)), text);
        }
        assert_eq!(margin(None), "–");
    }
}
