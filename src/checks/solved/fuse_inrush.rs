//! The I²t of fuses at switch-on, and when something charged is put on.

use super::lookup::seen;
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, FuseInrush};
use crate::finding::{CheckId, Compared, Said, Signal, Situation};
use crate::jig::{Part, PartKind};
use crate::part::Fuse;
use crate::standard::Limit;
use crate::standard::fuse::{FuseGates, fuse_gates, ratings, ul_gates};

pub(super) const CHECK: Check = Check {
    id: CheckId::FuseInrush,
    judges: &[of("fuse", &["current", "speed"], &[At::SwitchOn, At::Emptying])],
    about: About {
        looks_at: "the I²t of the inrush after switching on at the worst instant, and of what is charged when a probe is put on it: a fuse that opens then leaves the charge where it was",
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
        if matches!(part.kind, PartKind::Fuse(_)) {
            out.extend(inrush(case, k, part));
            out.extend(emptying(case, k, part));
        }
    }
}

/// The gates by which a fuse is sure to carry a pulse.
fn gates(part: &Part) -> Option<FuseGates> {
    let PartKind::Fuse(Fuse { current, speed, breaking, .. }) = &part.kind else { return None };
    match speed {
        // No shortest time is published for FF; what is too much for F is too much for a quicker one.
        Some(s) if s.eq_ignore_ascii_case("FF") => fuse_gates(*current, "F", *breaking),
        Some(s) => fuse_gates(*current, s, *breaking),
        None => Some(ul_gates(*current)),
    }
}

/// The next time-lag rating that carries a pulse.
fn enough(part: &Part, i2t: f64) -> Option<Amount> {
    let PartKind::Fuse(Fuse { current, breaking, .. }) = part.kind else { return None };
    let carries = |a: &f64| fuse_gates(*a, "T", breaking).and_then(|g| g.i2t_carried()).is_some_and(|c| c >= i2t);
    ratings().into_iter().find(|a| *a > current && carries(a)).map(|a| Amount::new(a, "A"))
}

/// The pulse of something charged that is put on: the fuse opens, and the charge stays where it was.
fn emptying(case: &Case, k: usize, part: &Part) -> Option<Draft> {
    let w = case.survey.ledger.lasting.put_on[k][Situation::Normal].i2t.copied()?;
    let gates = gates(part)?;
    let carried = gates.i2t_carried().filter(|c| w.value > *c)?;
    let s = seen(w, "A²s", Situation::Normal);
    let limit = Limit { value: carried, unit: "A²s", source: gates.source.clone(), id: String::new() };
    let said = FuseInrush {
        part: part.name.clone(),
        i2t: s.amount(),
        carries: Amount::new(carried, "A²s"),
        cure: enough(part, s.value),
        put_on: true,
    };
    let draft = case.about_part(CheckId::FuseInrush, Signal::Warning, part, "current");
    Some(draft.over(Compared::PulseI2t, &s, &limit).states(Said::FuseInrush(said)))
}

fn inrush(case: &Case, k: usize, part: &Part) -> Option<Draft> {
    let w = case.survey.ledger.lasting.inrush_i2t[k].copied()?;
    let gates = gates(part)?;
    let carried = gates.i2t_carried()?;
    let s = seen(w, "A²s", Situation::Transient);
    (s.value > carried).then(|| {
        let limit = Limit { value: carried, unit: "A²s", source: gates.source.clone(), id: String::new() };
        let said = FuseInrush {
            part: part.name.clone(),
            i2t: s.amount(),
            carries: Amount::new(carried, "A²s"),
            cure: enough(part, s.value),
            put_on: false,
        };
        case.about_part(CheckId::FuseInrush, Signal::Notice, part, "speed")
            .over(Compared::I2tAtSwitchOn, &s, &limit)
            .states(Said::FuseInrush(said))
            .proposes(propose::slower_fuse(case, part))
    })
}
