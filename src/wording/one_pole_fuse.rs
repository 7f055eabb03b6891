//! Words of single-pole-fuse.

use super::join::list;
use crate::finding::said::OnePoleFuse;
use crate::nets::Live;

pub(super) fn words(s: &OnePoleFuse) -> (String, String) {
    let OnePoleFuse { fuses, pin, live, turns } = s;
    let fuses = list(fuses);
    let second = format!("add a second fuse of the same rating in the wire from {pin}");
    let other = if *turns { "with the plug the other way round" } else { "where the socket is wired the other way" };
    match live {
        // An assured live pin is the business of fuse-in-neutral; both pins of any other may be live.
        Live::Line | Live::Either => {
            (format!("{other} {pin} is live and has no fuse; {fuses} then sits in the neutral"), second)
        }
        Live::Both => (
            format!("both pins are live and {fuses} guards one: after it blows the tool stays live through {pin}"),
            second,
        ),
    }
}
