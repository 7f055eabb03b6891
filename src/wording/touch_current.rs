//! Words of touch-current.

use super::Known;
use super::touching::{between, fault};
use crate::finding::said::{TouchCurrent, TouchCurrentCure};

pub(super) fn words(known: &Known, s: &TouchCurrent) -> (String, String) {
    let TouchCurrent { touching, volts, quantity, current, limit, cure } = s;
    let (what, fault) = (between(touching), fault(known, touching));
    // That it is the current of a touch is what the sentence says.
    let quantity = quantity.to_string();
    let kind = quantity.trim_start_matches("touch current ");
    let message = format!(
        "{what}: {volts} r.m.s. stands on it {fault}; a hand on it draws {current} ({kind}), the limit is {limit}"
    );
    let bonded = "make its path to the protective earth solid (no fuse, switch or part in it), so that a fuse opens";
    let thing = &touching.on;
    let remedy = match cure {
        TouchCurrentCure::BondOrFuse => format!("{bonded}, or fit a quicker or smaller fuse in each live pole"),
        TouchCurrentCure::BondOrInsulate => {
            format!("{bonded}, or insulate {thing} from the mains by double or reinforced insulation")
        }
        TouchCurrentCure::InsulateOrLimit => format!(
            "put double or reinforced insulation between {thing} and everything on the mains, or feed it through two or \
             more resistors that keep the current below {limit} with any one shorted"
        ),
    };
    (message, remedy)
}
