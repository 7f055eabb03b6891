//! Whether glow lamps strike on the lowest mains.
use crate::checks::matrix::{At, of};
use crate::survey::records::Lamp;

use super::lookup::seen;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::LampStrike;
use crate::finding::{CheckId, Compared, Said, Signal, Situation};
use crate::jig::{Part, PartKind};
use crate::standard;

pub(super) const CHECK: Check = Check {
    id: CheckId::LampStrike,
    judges: &[of("neon-lamp", &["strike", "strike-max"], &[At::Use])],
    about: About {
        looks_at: "whether every glow lamp strikes on the lowest mains",
        limit: "the crest of the lowest mains across the dark lamp is at least {lamps.neon_fact.strike_margin.crest_over_strike_dc_min} times the volts its worst specimen strikes at",
        rows: &[],
        how: "the circuit is solved at low mains with the lamp dark; margin = crest / strike-max",
        mend: "put the lamp where the full mains stands across it, or choose one that strikes lower",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        if matches!(part.kind, PartKind::Neon(_)) {
            strike(case, k, part, out);
        }
    }
}

fn strike(case: &Case, k: usize, part: &Part, out: &mut Vec<Draft>) {
    let margin = case.survey.ledger.lamps().find(|l| l.item == k).and_then(Lamp::strike_margin);
    let limit = standard::lamp::strike_margin();
    let Some(m) = margin.filter(|m| m.value < limit.value) else { return };
    let s = seen(m, "", Situation::Normal);
    let said = LampStrike { part: part.name.clone(), margin: m.value, wanted: limit.value };
    let d = case.about_part(CheckId::LampStrike, Signal::Notice, part, "strike-max");
    out.push(d.over(Compared::StrikeMargin, &s, &limit).states(Said::LampStrike(said)));
}
