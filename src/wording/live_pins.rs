//! Words of live-pins.

use super::join::list;
use crate::finding::said::LivePins;

pub(super) fn words(s: &LivePins) -> (String, String) {
    let (message, remedy) = match s {
        LivePins::Exposed { part, nets } => (
            format!("{part} has exposed pins that can be live ({})", list(nets)),
            "turn the joint round: the side that can be live is a socket, the pins are on the side that is fed",
        ),
        LivePins::Open { part, nets } => {
            return (
                format!("{part} is open to a finger and can be live ({})", list(nets)),
                format!("use a shrouded safety socket for {part}, or put it behind a cover that takes a tool"),
            );
        }
        LivePins::NotStated { part, nets } => (
            format!("{part} can be live ({}), and the file does not say whether a finger reaches it", list(nets)),
            "write shrouded = true or false, as it is built",
        ),
        LivePins::Metal { touchable, pins } => {
            let pins = list(pins);
            let message = format!(
                "{touchable} is joined to {pins} of the mains with nothing but wires, fuses or contacts between"
            );
            return (message, format!("take {touchable} off the mains; earth it or insulate it"));
        }
        LivePins::NoBox { parts } => (
            format!("there is no box, so {} and their joints are live within reach", list(parts)),
            "build the mains side into a box that takes a tool to open",
        ),
    };
    (message, remedy.into())
}
