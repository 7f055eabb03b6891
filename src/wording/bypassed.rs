//! Words of bypassed.

use super::join::list;
use crate::finding::said::Bypassed;

pub(super) fn words(s: &Bypassed) -> (String, String) {
    match s {
        Bypassed::OneNet { part, net } => {
            (format!("both ends of {part} are on {net}, so it does nothing"), "correct one of its two nets".into())
        }
        Bypassed::Wired { part, by } => (
            format!("{part} is bridged by wire ({}), so it does nothing", list(by)),
            format!("take the wire past {part} out"),
        ),
        Bypassed::Windings { part, nets } => (
            format!(
                "the secondary {} is joined to the mains past {part}, so {part} isolates nothing: what it feeds is live to earth",
                list(nets)
            ),
            format!("take out what joins the secondary of {part} to the primary side"),
        ),
    }
}
