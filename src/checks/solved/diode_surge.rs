//! The surge through diodes and bridges at switch-on.

use super::propose;
use super::rectifiers::{Rectifier, first_of_each};
use super::words::{rated, seen, show};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Kind, Signal};
use crate::standard::{self, Level};

pub(super) const CHECK: Check = Check {
    id: CheckId::DiodeSurge,
    about: About {
        looks_at: "the first current peak when the tool is switched on at the worst instant",
        limit: "its surge rating (one half cycle)",
        rows: &["jig"],
        how: "the circuit is started at eight angles of the mains with every capacitor empty; the largest peak counts",
        mend: "put a resistor or a thermistor in front that limits the peak: R ≥ √2 · U / I surge",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    first_of_each(case, |r| surge(case, r), out);
}

fn surge(case: &Case, r: &Rectifier) -> Option<Draft> {
    let a = r.surge?;
    let s = seen(case.survey.ledger.lasting.inrush[r.item].copied()?, "A", Kind::Transient);
    if s.value <= a {
        return None;
    }
    let crest = case.jig.supply.mains.as_ref().map_or(0.0, |m| m.crest(Level::High));
    let ohms = standard::preferred::nearest_at_least(crest / a, 12).unwrap_or(crest / a);
    let d = case.about_part(CheckId::DiodeSurge, Signal::Warning, r.part, "surge");
    let said = d.over("surge at switch-on", &s, &rated(a, "A")).says(
        format!(
            "Switched on at the worst instant {} shoots through {}, which stands {} once: it fails, mostly short",
            show(s.value, "A"),
            r.part.name,
            show(a, "A")
        ),
        format!(
            "put {} in series (flame-proof, made for pulses), or a thermistor of that cold resistance",
            show(ohms, "Ω")
        ),
    );
    Some(said.proposes(propose::rectifier(case, r.part)))
}
