//! Words of capacitor-voltage.

use super::Known;
use crate::finding::said::{CapacitorCure, CapacitorVoltage};

pub(super) fn words(known: &Known, s: &CapacitorVoltage) -> (String, String) {
    match s {
        CapacitorVoltage::WrongWay { part, under, volts } => (
            format!(
                "{} {volts} stand the wrong way round on {part}, a polarised capacitor: it heats up and bursts",
                known.under(*under)
            ),
            "turn it round, put it behind the rectifier, or use a film capacitor made for a.c.".into(),
        ),
        CapacitorVoltage::Over { part, under, quantity, volts, limit, cure } => (
            format!(
                "{} {volts} ({quantity}) stand across {part}, made for {limit}: it breaks down",
                known.under(*under)
            ),
            match cure {
                CapacitorCure::OfClass(class, volts) => format!("use class {} rated {volts} a.c.", class.word()),
                CapacitorCure::Higher => "use a higher rating".into(),
                CapacitorCure::AtLeast(volts) => format!("use at least {volts}"),
            },
        ),
    }
}
