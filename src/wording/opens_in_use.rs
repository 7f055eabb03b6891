//! Words of opens-in-use.

use super::join::list;
use crate::finding::said::OpensInUse;

pub(super) fn words(s: &OpensInUse) -> (String, String) {
    let OpensInUse { device, also, current, within, drawn_by, residual, short, swapped, cure } = s;
    let what = if drawn_by.is_empty() { "the jig".to_string() } else { list(drawn_by) };
    let to_earth = if *residual { " to earth" } else { "" };
    let more = if also.is_empty() { String::new() } else { format!(" ({} would too)", list(also)) };
    let message = format!(
        "with nothing failed {what} {draws} {current}{to_earth} and {device} opens within {within}{more}: the tool does not work, \
         and whoever fits a larger one takes the protection away",
        draws = if drawn_by.len() > 1 { "draw" } else { "draws" },
    );
    if let Some(part) = swapped {
        let remedy = format!(
            "swap primary and secondary of {part}: as written the winding of few volts is the one on the mains, which is as good \
             as a short across it"
        );
        return (message, remedy);
    }
    let remedy = match (residual, short, cure) {
        (true, ..) => format!("lead the current of {what} back through the other pole, not through the earth"),
        (_, true, _) => format!("correct {what}: it is as good as a short across the mains"),
        (_, _, Some(rating)) => {
            format!("use {rating} for {device} if wires and parts behind it stand it, or take less current")
        }
        (_, _, None) => "take less current".into(),
    };
    (message, remedy)
}
