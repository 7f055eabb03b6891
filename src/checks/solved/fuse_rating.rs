//! The current of fuses in normal use.

use super::contacts::{self, ContactRating};
use super::lookup::{at_nominal, next_of, rated};
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, FuseRating};
use crate::finding::{CheckId, Compared, Quantity, Said, Signal};
use crate::jig::{Part, PartKind};
use crate::part::{Fuse, ThermalFuse};
use crate::standard::Limit;
use crate::standard::fuse::{ratings, ul_load_share};
use crate::survey::ledger::Outcome;

pub(super) const CHECK: Check = Check {
    id: CheckId::FuseRating,
    judges: &[of("fuse", &["current", "speed"], &[At::Use]), of("thermal-fuse", &["current"], &[At::Use])],
    about: About {
        looks_at: "the r.m.s. current of every fuse in normal use, in conditions it is not meant to end",
        limit: "its rated current; a fuse without an IEC letter is taken for a North American one, which only has to carry its rating for hours: {fuses.practice.ul_load_75.load_share_max} of it is a CAUTION",
        rows: &["jig"],
        how: "r.m.s. current at nominal supply, the largest over switch positions and outlet loads",
        mend: "the next rating of the series, as long as the wires and parts behind it stand it",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        let PartKind::Fuse(Fuse { current, .. }) = &part.kind else { continue };
        out.extend(rating(case, k, part, *current));
    }
    let thermal = |kind: &PartKind| {
        let PartKind::ThermalFuse(ThermalFuse { current, .. }) = kind else { return None };
        Some(ContactRating { volts: None, amperes: current.map(|a| rated(a, "A")) })
    };
    let found = contacts::judge(case, CheckId::FuseRating, thermal);
    out.extend(found.into_iter().map(|(d, said)| d.states(Said::FuseRating(FuseRating::Thermal(said)))));
}

fn rating(case: &Case, k: usize, part: &Part, current: f64) -> Option<Draft> {
    let PartKind::Fuse(Fuse { speed, .. }) = &part.kind else { return None };
    let s = at_nominal(case, k, Quantity::CurrentRms)?;
    // What makes it or another device open in use is told there.
    if matches!(case.outcome(s.at), Some(Outcome::Cleared { .. })) {
        return None;
    }
    let better = |least: f64| next_of(ratings().into_iter(), least).map(|a| Amount::new(a, "A"));
    let part_name = part.name.clone();
    if s.value > current * (1.0 + 1e-3) {
        let said = FuseRating::Over {
            part: part_name,
            current: s.amount(),
            rating: Amount::new(current, "A"),
            cure: better(s.value),
        };
        return Some(
            case.about_part(CheckId::FuseRating, Signal::Warning, part, "current")
                .over(Compared::CurrentRms, &s, &rated(current, "A"))
                .states(Said::FuseRating(said))
                .proposes(propose::larger_fuse(case, part, s.value)),
        );
    }
    let share = ul_load_share();
    (speed.is_none() && s.value > share.value * current).then(|| {
        let limit = Limit { value: share.value * current, unit: "A", ..share.clone() };
        let enough = s.value / share.value;
        let said = FuseRating::OverShare { part: part_name, current: s.amount(), cure: better(enough) };
        case.about_part(CheckId::FuseRating, Signal::Caution, part, "current")
            .over(Compared::CurrentRms, &s, &limit)
            .states(Said::FuseRating(said))
            .proposes(propose::larger_fuse(case, part, enough))
    })
}
