//! Reverse volts of diodes and bridges.

use super::lookup::{KINDS, next_of, rated, reverse, to_nominal};
use super::propose;
use super::rectifiers::{Rectifier, first_of_each};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, DiodeReverse};
use crate::finding::{CheckId, Compared, Said, Signal, Situation};
use crate::standard::{self, Row};

pub(super) const CHECK: Check = Check {
    id: CheckId::DiodeReverse,
    about: About {
        looks_at: "the largest reverse volts across every diode and every arm of a bridge",
        limit: "its peak reverse rating; the remedy asks for {parts.rectifier_fact.piv_margin.peak_reverse_over_crest_min} times the crest on the mains, which takes up surges",
        rows: &["jig"],
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
    for kind in KINDS {
        let Some(s) = reverse(case, r.item, kind).filter(|s| s.value > v) else { continue };
        let margin = standard::parts::reverse_margin().value;
        let better = next_of(sizes(), margin * s.value * to_nominal(case)).or(next_of(sizes(), s.value));
        let named = |v: f64| standard::parts::rectifier().iter().find(|r| r.peak_reverse_v == v);
        let said = DiodeReverse {
            part: part.name.clone(),
            under: s.under(),
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
