//! Words of resistor-voltage.

use super::Known;
use crate::finding::said::{ElementCure, ResistorVoltage};

pub(super) fn words(known: &Known, s: &ResistorVoltage) -> (String, String) {
    let ResistorVoltage { part, under, volts, limit, brief, cure: ElementCure { size, count, each } } = s;
    let most = if *brief { format!("{limit} for a few seconds") } else { limit.to_string() };
    let size = size.as_ref().map_or_else(String::new, |v| format!("use a size for {v} or more, or "));
    (
        format!(
            "{} {part} gets {volts}; its element is made for {most}: it flashes over or drifts until it fails",
            known.under(*under)
        ),
        format!("{size}put {count} of {each} in series in its place"),
    )
}
