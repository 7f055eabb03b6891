//! What may take the place of a part: the part itself is seldom in the drawer. Must not judge; whoever takes another value has it
//! checked anew.

use super::html::Html;
use crate::jig::{Jig, PartKind};

/// A line for the parts that the same may replace, in the order of the file.
pub(super) fn list(html: &mut Html, jig: &Jig) {
    let mut rows: Vec<(&'static str, Vec<&str>)> = vec![];
    for part in &jig.parts {
        let words = in_its_place(&part.kind);
        match rows.iter_mut().find(|(known, _)| *known == words) {
            Some((_, names)) => names.push(&part.name),
            None => rows.push((words, vec![&part.name])),
        }
    }
    html.paragraph("What may take their place; for anything else change the file and check it again:");
    let lines = rows.iter().map(|(words, names)| format!("{}: {words}.", names.join(", ")));
    html.list(&lines.collect::<Vec<_>>());
}

/// What does as well: ratings that more of does no harm, and what has to stay.
fn in_its_place(kind: &PartKind) -> &'static str {
    match kind {
        PartKind::Resistor(r) if r.fusible => "fusible like it, with the same ohms and the same watts",
        PartKind::Resistor(r) if r.flameproof => "flameproof like it, with the same ohms, more watts or more volts",
        PartKind::Resistor(_) => "the same ohms and no wider tolerance, with more watts or more volts",
        PartKind::Capacitor(c) if c.class.is_some() => {
            "the same farads and class, or class Y for X, with as many volts or more; never an ordinary film capacitor"
        }
        PartKind::Capacitor(c) if c.polarised == Some(true) => "the same farads with more volts, plus where it was",
        PartKind::Capacitor(_) => "the same farads with more volts",
        PartKind::Inductor(_) => "the same henries with more amperes",
        PartKind::Winding(_) => "none but one with the same data",
        PartKind::Diode(_) | PartKind::Bridge(_) => "one with more volts or more amperes",
        PartKind::Led(_) => "the same colour and forward volts, with more amperes",
        PartKind::Suppressor(_) => "the same volts with more watts",
        PartKind::Neon(_) => "the same type; another strikes and burns at other volts",
        PartKind::Filament(_) => "the same volts and watts, a filament too: no LED and no saver lamp",
        PartKind::Fuse(_) => {
            "the same amperes and speed, with more volts or more breaking capacity; never a larger one"
        }
        PartKind::ThermalFuse(_) => "the same temperature, with more amperes",
        PartKind::Switch(_) => "the same contacts, with more volts or more amperes",
        PartKind::Varistor(_) => "the same volts, with a larger disc",
        PartKind::Thermistor(_) => "the same ohms cold, with more amperes",
        PartKind::Transformer(_) => "the same volts and insulation; more VA asks for another look at the fuses",
        PartKind::Psu(_) => "the same volts and output class, with more amperes",
        PartKind::Load(_) => "the same watts",
        PartKind::Wire(_) => "the same colour, thicker or with more volts",
        PartKind::Socket(_) => "the same type, with more volts or more amperes",
    }
}
