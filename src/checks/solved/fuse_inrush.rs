//! The I²t of fuses at switch-on.

use super::lookup::seen;
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, FuseInrush};
use crate::finding::{CheckId, Compared, Said, Signal, Situation};
use crate::jig::{Part, PartKind};
use crate::part::Fuse;
use crate::standard::Limit;
use crate::standard::fuse::{fuse_gates, ratings, ul_gates};

pub(super) const CHECK: Check = Check {
    id: CheckId::FuseInrush,
    judges: &[of("fuse", &["current", "speed"], &[At::SwitchOn])],
    about: About {
        looks_at: "the I²t of the inrush after switching on at the worst instant",
        limit: "the I²t the fuse is sure to carry: the least of the published shortest times at four times its rating and more, by its standard sheet",
        rows: &["fuses.gate", "fuses.ul_gate", "fuses.sheet"],
        how: "∫ i² dt over all cycles of the inrush beyond what goes on for ever, every capacitor empty and every filament cold, at eight angles; iron also with the most flux that may stay in it",
        mend: "use a time-lag (T) fuse, or a thermistor or resistor that limits the inrush",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        let PartKind::Fuse(Fuse { current, .. }) = &part.kind else { continue };
        out.extend(inrush(case, k, part, *current));
    }
}

fn inrush(case: &Case, k: usize, part: &Part, current: f64) -> Option<Draft> {
    let PartKind::Fuse(Fuse { speed, breaking, .. }) = &part.kind else { return None };
    let w = case.survey.ledger.lasting.inrush_i2t[k].copied()?;
    let gates = match speed {
        // No shortest time is published for FF; what is too much for F is too much for a quicker one.
        Some(s) if s.eq_ignore_ascii_case("FF") => fuse_gates(current, "F", *breaking)?,
        Some(s) => fuse_gates(current, s, *breaking)?,
        None => ul_gates(current),
    };
    let carried = gates.i2t_carried()?;
    let s = seen(w, "A²s", Situation::Transient);
    (s.value > carried).then(|| {
        let limit = Limit { value: carried, unit: "A²s", source: gates.source.clone(), id: String::new() };
        let enough = ratings().into_iter().find(|a| {
            *a > current && fuse_gates(*a, "T", *breaking).and_then(|g| g.i2t_carried()).is_some_and(|c| c >= s.value)
        });
        let said = FuseInrush {
            part: part.name.clone(),
            i2t: s.amount(),
            carries: Amount::new(carried, "A²s"),
            cure: enough.map(|a| Amount::new(a, "A")),
        };
        case.about_part(CheckId::FuseInrush, Signal::Notice, part, "speed")
            .over(Compared::I2tAtSwitchOn, &s, &limit)
            .states(Said::FuseInrush(said))
            .proposes(propose::slower_fuse(case, part))
    })
}
