//! Currents to earth that the residual-current device is not sure to see.

use super::lookup::{KINDS, seen};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::RcdUnseen;
use crate::finding::{CheckId, Compared, Said, Signal};
use crate::standard::residual::{RcdKind, rcd_holds};
use crate::survey::records::Unseen;

pub(super) const CHECK: Check = Check {
    id: CheckId::RcdType,
    judges: &[],
    about: About {
        looks_at: "the shape of the current to earth, in normal use and with any one fault that nothing ends",
        limit: "type AC sees a sine; type A also a pulse that comes back to zero in each cycle, from {supplies.rcd_type.a.pulse_multiple} times the rating; type B also smooth direct current, from {supplies.rcd_type.b.smooth_multiple} times. Where the file does not state the type, AC is taken",
        rows: &["supplies.rcd_type", "supplies.rcd_shape", "supplies.rcd"],
        how: "mean, r.m.s. value and lowest instant of the current in PE over one cycle",
        mend: "a residual-current device of the type that sees it; where it is there already, write rcd-type",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let Some(Some(rated)) = case.jig.supply.rcd else { return };
    let found = KINDS.into_iter().find_map(|kind| Some((*case.survey.ledger.lasting.unseen[kind].get()?, kind)));
    let Some((Unseen { worst, by }, kind)) = found else { return };
    let s = seen(worst, "A", kind);
    out.push(
        case.about_key(CheckId::RcdType, Signal::Caution, "supply.rcd")
            .value(Compared::EarthCurrentRms, s.value, "A")
            .limit(rated, &rcd_holds().source)
            .found_in(s.at)
            .states(Said::RcdType(RcdUnseen {
                under: s.under(),
                current: s.amount(),
                stated: case.jig.supply.rcd_type.map(RcdKind::word),
                sees: by.word(),
            })),
    );
}
