//! Words of clearance and creepage.

use super::insulation;
use crate::finding::CheckId;
use crate::finding::said::{Distance, DistanceFault};

pub(super) fn words(check: CheckId, s: &Distance) -> (String, String) {
    let Distance { circuit, touchable, volts, what } = s;
    let circuit = insulation::circuit(circuit);
    match what {
        DistanceFault::BeyondTheTable => (
            format!("no table here gives the {check} for {volts:.0} V between {circuit} and {touchable}"),
            "have the insulation judged by someone who can measure it".into(),
        ),
        DistanceFault::NotStated { least } => (
            format!("the {check} between {circuit} and {touchable} is not stated"),
            format!(
                "measure the {check}, the shortest way {way}: {least} at least; write {check} = \"{least}\", or what you measure, in its [[insulation]]",
                way = if check == CheckId::Clearance { "through air" } else { "along surfaces" },
                least = millimetres(*least)
            ),
        ),
        DistanceFault::Small { stated, least } => {
            let (stated, least) = (millimetres(*stated), millimetres(*least));
            (
                format!(
                    "the {check} between {circuit} and {touchable} is {stated}, where {least} is needed for {volts:.0} V"
                ),
                format!("move them apart to {least} or more, or put a barrier between them"),
            )
        }
    }
}

/// Metres as a rule shows them.
fn millimetres(metres: f64) -> String {
    format!("{} mm", (metres * 1e5).round() / 1e2)
}
