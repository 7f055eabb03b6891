//! Questions to the nets as several checks of the solved circuit put them. Judges nothing.

use crate::checks::Case;
use crate::jig::{Ends, NetId};
use crate::nets::{Groups, Limitless};
use crate::part::Link;

/// Nets joined by wire and switch contacts (all of them closed), and by fuses where asked.
pub(super) fn by_wire(case: &Case, fuses: bool) -> Groups {
    case.nets().groups(&|edge| edge.is_hard() && (fuses || !matches!(edge.link, Link::Fuse(_))))
}

/// Pins that can be live.
pub(super) fn live_pins(case: &Case) -> Vec<NetId> {
    case.nets().live_pins().to_vec()
}

/// For each net the largest fuse rating that a current from a live pin passes on the way there.
pub(super) fn behind_fuse(case: &Case) -> Vec<Option<f64>> {
    case.nets().largest_fuse()
}

/// Whether a part hangs between the poles of a source with nothing that limits its current in the way.
pub(super) fn unlimited(case: &Case, part: usize, across: Ends, shorted: Option<usize>, ohms: f64, turn: bool) -> bool {
    case.nets().unlimited(part, across, &Limitless { below_ohms: ohms, shorted, first_half: turn })
}
