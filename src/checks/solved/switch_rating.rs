//! Volts and current of switch contacts in normal use.

use super::contacts::{self, ContactRating};
use super::lookup::{item_name, rated};
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, Contact};
use crate::finding::{CheckId, Compared, Said, Signal};
use crate::jig::{Part, PartKind};
use crate::part::Switch;
use crate::standard::Limit;
use crate::standard::bench::contact_makes;
use crate::survey::records::Made;

pub(super) const CHECK: Check = Check {
    id: CheckId::SwitchRating,
    judges: &[
        of("switch", &["voltage", "current", "dc-voltage"], &[At::Use]),
        of("switch", &["current"], &[At::SwitchOn, At::Unplugged]),
    ],
    about: About {
        looks_at: "the volts and the current of every switch contact in normal use, what it makes at switch-on, and what it shorts when it is moved",
        limit: "its rated volts (against the nominal supply) and amperes; a steady direct current it breaks at its own d.c. volts, else {bench.rule.dc_break_60.current_a} at {bench.rule.dc_break_60.volts_v}, {bench.rule.dc_break_110.current_a} at {bench.rule.dc_break_110.volts_v}, {bench.rule.dc_break_250.current_a} at {bench.rule.dc_break_250.volts_v}: past that CAUTION, past {bench.rule.dc_break_doubt.multiple} times that WARNING; what it makes: {bench.rule.contact_makes.multiple} times its amperes for {bench.rule.contact_makes.time_s} as I²t",
        rows: &["jig", "bench.rule.dc_break_30"],
        how: "on the mains the nominal supply or what is solved above it; elsewhere the volts solved with the contact open; r.m.s. current at nominal supply",
        mend: "use a mains switch with the voltage and current marked on it",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let rating = |kind: &PartKind| {
        let PartKind::Switch(Switch { voltage, current, .. }) = kind else { return None };
        Some(ContactRating { volts: *voltage, amperes: current.map(|a| rated(a, "A")) })
    };
    let found = contacts::judge(case, CheckId::SwitchRating, rating);
    out.extend(found.into_iter().map(|(d, said)| d.states(Said::SwitchRating(said))));
    for (index, part) in case.jig.parts.iter().enumerate() {
        let PartKind::Switch(Switch { current: Some(rated), .. }) = part.kind else { continue };
        out.extend(case.items_of(index).find_map(|k| makes(case, k, part, rated)));
    }
}

/// A current that welds a contact in the moment it closes: of a reservoir that it shorts, or of the inrush.
fn makes(case: &Case, k: usize, part: &Part, rated: f64) -> Option<Draft> {
    let lasting = &case.survey.ledger.lasting;
    let (crest, i2t) = contact_makes();
    let limit = Limit { value: i2t.value * rated * rated, unit: "A²s", ..i2t };
    let welds = |m: &Made| m.i2t > limit.value && m.peak > crest.value * rated;
    let dumped = lasting.dumped[k].copied().filter(welds).map(|m| (m, true));
    let inrush = || {
        let (peak, i2t) = (lasting.inrush[k].copied()?, lasting.inrush_i2t[k].copied()?);
        Some((Made { i2t: i2t.value, peak: peak.value, at: i2t.at }, false)).filter(|(m, _)| welds(m))
    };
    let (made, dumps) = dumped.or_else(inrush)?;
    let said = Contact::Makes {
        item: item_name(case, k).to_string(),
        peak: Amount::new(made.peak, "A"),
        rated: Amount::new(rated, "A"),
        i2t: Amount::new(made.i2t, "A²s"),
        limit: (&limit).into(),
        dumps,
    };
    let signal = if dumps { Signal::Warning } else { Signal::Caution };
    let draft = case.about_part(CheckId::SwitchRating, signal, part, "current");
    let draft = draft.value(Compared::PulseI2t, made.i2t, "A²s").limit(limit.value, &limit.source).found_in(made.at);
    Some(draft.states(Said::SwitchRating(said)))
}
