//! Numbers for people: cells that hold one or the lack of one, shares in per cent, how many times. Must not know what the
//! number means.

pub(super) use crate::quantity::format_apart as show_apart;
use crate::quantity::format_table;

/// Below these a value is noise and shown as 0: no meter on a bench shows less, and nothing is judged so finely. Unit, least.
const NOISE: [(&str, f64); 3] = [("V", 1e-3), ("A", 1e-6), ("W", 1e-6)];

/// Value with unit, 0 where it is noise.
pub(super) fn show(value: f64, unit: &str) -> String {
    format_table(if is_noise(value, unit) { 0.0 } else { value }, unit)
}

/// Whether a value is no more than nothing.
pub(super) fn is_noise(value: f64, unit: &str) -> bool {
    NOISE.iter().any(|(of, least)| *of == unit && value.abs() < *least)
}

/// Value with unit, or a dash where there is none.
pub(super) fn show_some(value: Option<f64>, unit: &str) -> String {
    value.map_or_else(|| "–".to_string(), |v| show(v, unit))
}

/// A share as whole per cent. What is below the whole never reads as the whole.
pub(super) fn per_cent(share: f64) -> String {
    let per_cent = share * 100.0;
    let whole = if share < 1.0 { per_cent.min(99.0) } else { per_cent };
    if per_cent > 0.0 && whole < 1.0 { "under 1 %".to_string() } else { format!("{whole:.0} %") }
}

/// How many times a limit, in two figures: "85 times", "1.6 times"; of little more than once in per cent: "4 % more than".
pub(super) fn times(times: f64) -> String {
    const LITTLE: f64 = 1.2;
    const MANY: f64 = 1e3;
    if times >= MANY {
        "more than 1000 times".to_string()
    } else if times < LITTLE {
        let more = (times - 1.0) * 100.0;
        if more < 1.0 { "just over".to_string() } else { format!("{more:.0} % over") }
    } else {
        let digits = if times < 10.0 { 1 } else { 0 };
        let step = if times < 100.0 { 1.0 } else { 10.0 };
        format!("{:.digits$} times", (times / step).round_to(digits) * step)
    }
}

/// Rounds to so many decimals.
trait RoundTo {
    fn round_to(self, digits: usize) -> f64;
}

impl RoundTo for f64 {
    fn round_to(self, digits: usize) -> f64 {
        let scale = if digits == 0 { 1.0 } else { 10.0 };
        (self * scale).round() / scale
    }
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

    #[test]
    fn noise_is_nothing_and_what_counts_is_not() {
        for (value, unit, text) in [
            (1.92e-15, "A", "0 A"),
            (0.9e-6, "A", "0 A"),
            (1e-6, "A", "1 µA"),
            (0.000_9, "V", "0 V"),
            (-0.002, "V", "-2 mV"),
            (1e-9, "F", "1 nF"),
        ] {
            assert_eq!(show(value, unit), text);
        }
    }

    #[test]
    fn shares_and_times_have_two_figures() {
        for (share, text) in [(0.583, "58 %"), (0.9999, "99 %"), (1.0, "100 %"), (0.004, "under 1 %"), (0.0, "0 %")] {
            assert_eq!(per_cent(share), text);
        }
        for (value, text) in [
            (84.571, "85 times"),
            (1.6, "1.6 times"),
            (9.96, "10.0 times"),
            (254.0, "250 times"),
            (5e6, "more than 1000 times"),
            (1.04, "4 % over"),
            (1.001, "just over"),
        ] {
            assert_eq!(times(value), text);
        }
    }
}
