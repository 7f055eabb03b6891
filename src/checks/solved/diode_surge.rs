//! The surge through diodes and bridges at switch-on.

use super::lookup::{rated, seen};
use super::propose;
use super::rectifiers::{Rectifier, first_of_each};
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, DiodeSurge, SurgeWhen};
use crate::finding::{CheckId, Compared, Said, Signal, Situation};
use crate::standard::{self, Level};
use crate::survey::condition::Moment;
use crate::survey::gravest::Gravest;
use crate::survey::records::Worst;

pub(super) const CHECK: Check = Check {
    id: CheckId::DiodeSurge,
    judges: &[
        of("diode", &["surge"], &[At::SwitchOn, At::Emptying]),
        of("bridge", &["surge"], &[At::SwitchOn, At::Emptying]),
    ],
    about: About {
        looks_at: "the current peak when the tool is switched on at the worst instant: from rest, and again after a moment off, with inrush limiters still hot and capacitors still charged; and when it is put on something charged",
        limit: "its surge rating (one half cycle), whatever the length of the peak. From rest WARNING, again CAUTION",
        rows: &["jig"],
        how: "the circuit is started at eight angles of the mains with every capacitor empty, then as they were left; the largest peak counts",
        mend: "put a resistor or a thermistor in front that limits the peak: R ≥ √2 · U / I surge",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    first_of_each(case, |r| surge(case, r), out);
}

fn surge(case: &Case, r: &Rectifier) -> Option<Draft> {
    let a = r.surge?;
    let lasting = &case.survey.ledger.lasting;
    let over = |peaks: &Gravest<Worst>| peaks.copied().filter(|w| w.value > a);
    let found = |when, signal, peaks| over(peaks).map(|w| (when, signal, w));
    let (when, signal, worst) = found(SurgeWhen::SwitchedOn, Signal::Warning, &lasting.inrush[r.item])
        .or_else(|| {
            let peaks = &lasting.put_on[r.item][Situation::Normal].amperes;
            found(SurgeWhen::Emptying, Signal::Warning, peaks)
        })
        .or_else(|| found(SurgeWhen::Again, Signal::Caution, &lasting.inrush_again[r.item]))?;
    let s = seen(worst, "A", Situation::Transient);
    let crest = match case.survey.ledger.tried_at(s.at).map(|t| &t.condition.moment) {
        Some(Moment::PutOn { volts, .. }) => *volts,
        _ => case.jig.supply.mains.as_ref().map_or(0.0, |m| m.crest(Level::High)),
    };
    let ohms = standard::preferred::nearest_at_least(crest / a, 12).unwrap_or(crest / a);
    let d = case.about_part(CheckId::DiodeSurge, signal, r.part, "surge");
    let said = DiodeSurge {
        part: r.part.name.clone(),
        when,
        current: s.amount(),
        limit: Amount::new(a, "A"),
        cure: Amount::new(ohms, "Ω"),
    };
    let d = d.over(Compared::SurgeAtSwitchOn, &s, &rated(a, "A")).states(Said::DiodeSurge(said));
    Some(d.proposes(propose::rectifier(case, r.part)))
}
