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
        Bypassed::Chain { part, by, chain } => (
            format!("{} leads past {part} and {} together, so {part} does nothing", list(by), list(chain)),
            format!("take {} out, or end it where each protective part is still in its way", list(by)),
        ),
        Bypassed::By { part, by, closed: true } => (
            format!("{part} is bridged by {} when closed, so it does nothing then", list(by)),
            format!("move the contact so that {part} stays in the way in every position"),
        ),
        Bypassed::By { part, by, closed: false } => (
            format!("{part} is bridged by {}, so it does nothing", list(by)),
            format!("put {} and {part} in series, or leave one of them out", list(by)),
        ),
        Bypassed::FedPast { part, load, by } => (
            format!("with {} as here {load} is fed past {part}: then {part} guards nothing", list(by)),
            format!("feed {load} through {part} in every position"),
        ),
        Bypassed::Windings { part, nets, at, by, .. } => (
            format!(
                "the secondary {} is joined to the mains past {part}, so {part} isolates nothing: what it feeds is live to earth",
                list(nets)
            ),
            if let [one] = &by[..] {
                format!("take out {one}, which joins the secondary of {part} to {at} on the primary side")
            } else if by.is_empty() {
                format!(
                    "take the secondary of {part} off {at}, which is on the mains, and give that end a net of its own"
                )
            } else {
                format!(
                    "take out what joins the secondary of {part} to the primary side: it leads through {} to {at}",
                    list(by)
                )
            },
        ),
    }
}
