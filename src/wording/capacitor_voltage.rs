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
        CapacitorVoltage::OnAc { part, under, volts, limit, dc, stated } => (
            format!(
                "{} {part} gets {volts} a.c.; rated for {dc} d.c. it stands {limit} a.c.: it heats up and breaks down",
                known.under(*under)
            ),
            if *stated {
                format!("use one that stands {volts} a.c.")
            } else {
                format!("use one whose maker states {volts} a.c. or more and write ac-voltage")
            },
        ),
        CapacitorVoltage::Surge { part, volts, limit, coil: None } => (
            format!(
                "At every switch-on the choke in front of {part} rings it up to {volts}, it stands {limit} for a moment: it breaks down"
            ),
            "use one of the next rating, or put a bleeder or load on it that damps the ring".into(),
        ),
        CapacitorVoltage::Surge { part, volts, limit, coil: Some(coil) } => (
            format!(
                "Switched off at the crest of its current, {coil} drives {part} to some {volts}, and the open contact with it; {part} \
                 stands {limit} for a moment: it breaks down"
            ),
            format!(
                "use a larger capacitor, with a resistor of a hundred ohms or so in series, or put a varistor across {coil}"
            ),
        ),
        CapacitorVoltage::Ripple { part, under, current, limit } => (
            format!(
                "{} {part} carries a ripple of {current}, made for {limit}: it heats up and dries out",
                known.under(*under)
            ),
            "use one with a higher ripple rating, or two in parallel".into(),
        ),
        CapacitorVoltage::Over { part, under, quantity, volts, limit, cure } => (
            format!("{} {part} gets {volts} ({quantity}), made for {limit}: it breaks down", known.under(*under)),
            match cure {
                CapacitorCure::OfClass(class, volts) => format!("use class {} rated {volts} a.c.", class.word()),
                CapacitorCure::Higher => "use a higher rating".into(),
                CapacitorCure::AtLeast(volts) => format!("use at least {volts}"),
            },
        ),
    }
}
