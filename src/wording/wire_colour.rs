//! Words of wire-colour.

use crate::finding::said::WireColour;
use crate::standard::cord::Core;

pub(super) fn words(s: &WireColour) -> (String, String) {
    let earth = |part: &String| format!("use a green-and-yellow wire for {part}");
    match s {
        WireColour::NotEarth { part, colour } => (
            format!("{part} is {colour}, a colour that is kept off live conductors, and is not on PE"),
            format!("use a wire of another colour for {part}, such as brown or black"),
        ),
        WireColour::PoleOnEarth { part, colour } => (
            format!("{part} is on the protective earth but {colour}, the colour of a live or neutral conductor"),
            earth(part),
        ),
        WireColour::OtherOnEarth { part, colour } => {
            (format!("{part} is on the protective earth but {colour}"), earth(part))
        }
        WireColour::Crossed { part, colour, looks } => {
            let (is, looks) = if *looks == Core::Line { ("neutral", "line") } else { ("line", "neutral") };
            (
                format!("{part} is in the {is} conductor but has the colour of {looks} ({colour})"),
                format!("swap the colours: {part} in the colour of {is}"),
            )
        }
    }
}
