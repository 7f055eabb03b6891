//! Words of insulation-missing.

use super::insulation;
use super::join::list;
use crate::finding::said::InsulationMissing;

pub(super) fn words(s: &InsulationMissing) -> (String, String) {
    match s {
        InsulationMissing::NotStated { circuit, nets, all_of_mains, touchable, net, wanted } => {
            let side = match nets.first() {
                Some(first) if !all_of_mains => first,
                _ => "mains",
            };
            let (circuit, grade) = (insulation::circuit(circuit), insulation::wanted(*wanted));
            (
                format!("nothing says what keeps {circuit} ({}) off {touchable}", list(nets)),
                format!(
                    "add [[insulation]] between = [\"{side}\", \"{net}\"] with grade ({grade}), clearance and creepage as built"
                ),
            )
        }
        InsulationMissing::BoxNotListed => (
            "the box is metal, and nothing that is listed as touchable is the box: nobody has looked whether it can become live"
                .into(),
            "add [[touchable]] for the box with a net of its own, and [[insulation]] between it and the mains as built".into(),
        ),
        InsulationMissing::Barrier(s) => insulation::barrier(s),
        InsulationMissing::Screen { part, nets: [primary, screen], touchable } => (
            format!(
                "the screen of {part} is on {screen}, and so is {touchable}: nothing says what insulation keeps the primary off the \
                 screen (the grade stated for {part} is that to its secondaries)"
            ),
            format!(
                "put the screen on the protective earth; or, where the maker of {part} states it, add [[insulation]] between = \
                 [\"{primary}\", \"{screen}\"] with grade (reinforced), clearance and creepage"
            ),
        ),
        InsulationMissing::Module { part, behind } => (
            format!(
                "nothing says that {part} isolates, so its output counts as joined to the mains, and {behind} hangs on it"
            ),
            format!(
                "where the maker of {part} states a SELV output write output-class = \"SELV\"; else use a module that has one"
            ),
        ),
    }
}
