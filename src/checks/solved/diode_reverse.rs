//! Reverse volts of diodes and bridges.

use super::lookup::{KINDS, emptying_reverse, larger, next_of, nominal_volts, rated, reverse, to_nominal};
use super::propose;
use super::rectifiers::{Rectifier, first_of_each};
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, Backward, DiodeReverse};
use crate::finding::{CheckId, Compared, Said, Signal, Situation};
use crate::standard::{self, Row};

pub(super) const CHECK: Check = Check {
    id: CheckId::DiodeReverse,
    judges: &[
        of("diode", &["voltage"], &[At::Use, At::Fault, At::Emptying, At::Opened]),
        of("bridge", &["voltage"], &[At::Use, At::Fault, At::Emptying, At::Opened]),
    ],
    about: About {
        looks_at: "the largest reverse volts across every diode and every arm of a bridge",
        limit: "its peak reverse rating; where the surges of the mains reach it {parts.rectifier_fact.piv_margin.peak_reverse_over_crest_min} times the crest of the mains",
        rows: &["jig", "parts.rectifier_fact.piv_margin"],
        how: "largest reverse volts over a mains cycle at the highest supply; a capacitor behind one diode doubles them: PIV = 2 · √2 · U",
        mend: "take a diode of the 1N400x row with the next higher rating",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    first_of_each(case, |r| backwards(case, r), out);
}

fn backwards(case: &Case, r: &Rectifier) -> Option<Draft> {
    let v = r.volts.filter(|_| r.whole)?;
    let part = r.part;
    let sizes = || standard::parts::rectifier().iter().map(|r| r.peak_reverse_v);
    if let Some(little) = no_room(case, r, v) {
        return Some(little);
    }
    for kind in KINDS {
        let worst = larger(reverse(case, r.item, kind), emptying_reverse(case, r.item, kind));
        let Some(s) = worst.filter(|s| s.value > v) else { continue };
        let margin = standard::parts::reverse_margin().value;
        let better = next_of(sizes(), margin * s.value * to_nominal(case)).or(next_of(sizes(), s.value));
        let named = |v: f64| standard::parts::rectifier().iter().find(|r| r.peak_reverse_v == v);
        let said = DiodeReverse {
            part: part.name.clone(),
            what: Backward::Over(s.under()),
            volts: s.amount(),
            limit: Amount::new(v, "V"),
            cure: better.map(|b| (Amount::new(b, "V"), named(b).map_or("", |r| r.id()).to_string())),
        };
        return Some(
            case.about_part(
                CheckId::DiodeReverse,
                if kind == Situation::Normal { Signal::Warning } else { Signal::Notice },
                part,
                "voltage",
            )
            .over(Compared::PeakReverseVolts, &s, &rated(v, "V"))
            .states(Said::DiodeReverse(said))
            .proposes(propose::rectifier(case, part)),
        );
    }
    None
}

/// A rating that stands the mains and leaves no room for its surges, where they reach it.
fn no_room(case: &Case, r: &Rectifier, v: f64) -> Option<Draft> {
    let ends = case.survey.model.items[r.item].ends;
    let crest = nominal_volts(case) * std::f64::consts::SQRT_2;
    let normal = reverse(case, r.item, Situation::Normal)?;
    let fault = reverse(case, r.item, Situation::SingleFault);
    let over = normal.value > v || fault.is_some_and(|s| s.value > v);
    // Surges come as far as the mains itself comes backwards.
    let reached = ends.iter().all(|n| case.is_mains(*n)) && normal.value > 0.5 * crest;
    let margin = standard::parts::reverse_margin();
    let needed = margin.value * crest;
    if over || !reached || v >= needed * (1.0 - 1e-2) {
        return None;
    }
    let better = standard::parts::rectifier().iter().filter(|row| row.peak_reverse_v >= needed);
    let better = better.min_by(|a, b| a.peak_reverse_v.total_cmp(&b.peak_reverse_v));
    let said = DiodeReverse {
        part: r.part.name.clone(),
        what: Backward::NoRoom { crest: Amount::new(crest, "V") },
        volts: Amount::new(needed, "V"),
        limit: Amount::new(v, "V"),
        cure: better.map(|row| (Amount::new(row.peak_reverse_v, "V"), row.id().to_string())),
    };
    let draft = case.about_part(CheckId::DiodeReverse, Signal::Caution, r.part, "voltage");
    let draft = draft.value(Compared::RatedVolts, v, "V").limit(needed, &margin.source);
    Some(draft.states(Said::DiodeReverse(said)).proposes(propose::rectifier(case, r.part)))
}
