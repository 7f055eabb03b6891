//! Current of wires in normal use, and the volts of their insulation.

use super::contacts::{self, ContactRating};
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Said};
use crate::jig::PartKind;
use crate::part::Wire;
use crate::standard;

pub(super) const CHECK: Check = Check {
    id: CheckId::WireRating,
    judges: &[of("wire", &["area", "voltage"], &[At::Use])],
    about: About {
        looks_at: "the current of every wire in normal use, and the volts its insulation is rated for",
        limit: "amperes by area (flexible cords): {cords.uk_cord area_mm2 current_a}; thinner wires in proportion; its rated volts against the nominal supply and what stands across whatever hangs on it; of d.c. {bench.rule.wire_on_dc.multiple} times its rated volts. Up to {bench.rule.wire_between.multiple} times them CAUTION, past that WARNING",
        rows: &["jig", "bench.rule.small_wire_density"],
        how: "r.m.s. current at nominal supply",
        mend: "use the next area",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let rating = |kind: &PartKind| {
        let PartKind::Wire(Wire { area, voltage, .. }) = kind else { return None };
        Some(ContactRating { volts: *voltage, amperes: area.map(standard::cord::wire_rating) })
    };
    let found = contacts::judge(case, CheckId::WireRating, rating);
    out.extend(found.into_iter().map(|(d, said)| d.states(Said::WireRating(said))));
}
