//! Lamps that flash where it harms, and moving parts that seem to stand still.

use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::FlashRate;
use crate::finding::{CheckId, Compared, Said, Signal, When};
use crate::nets::Edge;
use crate::part::Link;
use crate::standard::flash::{hazard, main_band, widest_band};
use crate::standard::{Limit, Row};
use crate::survey::records::Lamp;

pub(super) const CHECK: Check = Check {
    id: CheckId::FlashRate,
    judges: &[],
    about: About {
        looks_at: "Flashes a second of every lamp, and whether the tool is a strobe lamp.",
        limit: "Photosensitive bands: {flash.hazard.photosensitive_main_band.flash_min_hz} to {flash.hazard.photosensitive_main_band.flash_max_hz} (WARNING), {flash.hazard.photosensitive_official_1990.flash_min_hz} to {flash.hazard.photosensitive_official_1990.flash_max_hz} (CAUTION).",
        rows: &["flash.hazard.rotating_parts_seem_still"],
        how: "Flashes a second at nominal supply from the solved circuit, against the main band and the widest one on record.",
        mend: "Drive the lamp at both half-waves of the mains, or by steady current; change the R or C of a flasher.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let (main, wide) = (main_band(), widest_band());
    let mut above = false;
    for lamp in case.survey.ledger.lamps() {
        let Some(rate) = lamp.light.as_ref().map(|l| l.flashes_per_second) else { continue };
        let rate = rate + in_turn(case, lamp);
        let item = &case.survey.model.items[lamp.item];
        let part = &case.jig.parts[item.part];
        let inside = |(from, to): &(Limit, Limit)| rate >= from.value * (1.0 - 1e-6) && rate <= to.value * (1.0 + 1e-6);
        let (signal, (from, to)) = if inside(&main) {
            (Signal::Warning, &main)
        } else if inside(&wide) {
            (Signal::Caution, &wide)
        } else {
            above |= rate > wide.1.value;
            continue;
        };
        let draft = case.about_part(CheckId::FlashRate, signal, part, "kind");
        let draft = draft.value(Compared::FlashesASecond, rate, "Hz").limit(to.value, &to.source);
        let said = FlashRate::Seizure { lamp: item.name.clone(), rate, band: [from.value, to.value] };
        out.push(draft.when(When::NominalSupply).states(Said::FlashRate(said)));
    }
    // Only a tool that is used as a strobe is told: beside it someone is about to trust a still picture.
    if above && case.jig.unit.contains("strobe") {
        let source = hazard().iter().find(|r| r.id() == "rotating_parts_seem_still").map(Row::cite).unwrap_or_default();
        let draft = case.about_key(CheckId::FlashRate, Signal::Notice, "jig.unit").source(&source);
        out.push(draft.states(Said::FlashRate(FlashRate::StandStill)));
    }
}

/// Flashes a second of lamps that lie across the same two nets the other way round: they light in turn, and are seen as one.
fn in_turn(case: &Case, lamp: &Lamp) -> f64 {
    let items = &case.survey.model.items;
    let wired = case.nets().groups(&|e: &Edge| e.link == Link::Wire);
    let [a, b] = items[lamp.item].ends;
    let turned = |other: &&Lamp| {
        let [c, d] = items[other.item].ends;
        other.item != lamp.item && wired.same(a, d) && wired.same(b, c)
    };
    // Two that light at once, as a pair of neons does, are seen as one as well.
    let apart = |other: &&Lamp| other.light.as_ref().map(|l| &l.on_deg) != lamp.light.as_ref().map(|l| &l.on_deg);
    let others = case.survey.ledger.lamps().filter(turned).filter(apart);
    others.filter_map(|o| o.light.as_ref()).map(|l| l.flashes_per_second).sum()
}
