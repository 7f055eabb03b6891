//! Words of switch-in-neutral and single-pole-switch.

use super::join::list;
use crate::finding::said::KeptLive;
use crate::nets::Live;

pub(super) fn words(s: &KeptLive) -> (String, String) {
    let KeptLive { switch, loads, pin, behind, live } = s;
    let stay = if loads.len() > 1 { "stay" } else { "stays" };
    let remedy = match live {
        Live::Line => {
            format!("open the live conductor too or instead: put the contact of {switch} into the wire from {behind}")
        }
        Live::Either | Live::Both => {
            format!("use a two-pole switch for {switch}, its second contact in the wire from {behind}")
        }
    };
    let loads = list(loads);
    (format!("{switch} off does not mean dead: {loads} {stay} joined to {pin}, which can be live"), remedy)
}
