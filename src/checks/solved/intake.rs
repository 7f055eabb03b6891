//! What the tool takes from its supply.

use crate::checks::{Case, Seen};
use crate::finding::Situation;
use crate::survey::gravest::Gravest;

use super::lookup::seen;

/// The largest current in L or N at nominal supply, over switch positions and loads; `None` without mains.
pub(super) fn current(case: &Case) -> Option<Seen> {
    case.jig.supply.mains.as_ref()?;
    let conductors = &case.survey.ledger.lasting.conductors_nominal;
    let worst = conductors[..2].iter().filter_map(Gravest::copied).max_by(|a, b| a.value.total_cmp(&b.value));
    worst.map(|w| seen(w, "A", Situation::Normal))
}
