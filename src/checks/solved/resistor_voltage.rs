//! Volts across the element of resistors.

use super::lookup::{KINDS, graded, inrush_volts, larger, lasting, rated, seen};
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, ElementCure, ResistorVoltage};
use crate::finding::{CheckId, Compared, Quantity, Said, Signal, Situation};
use crate::jig::{Part, PartKind};
use crate::part::Resistor;
use crate::standard::{self, Limit};

pub(super) const CHECK: Check = Check {
    id: CheckId::ResistorVoltage,
    judges: &[of("resistor", &["voltage"], &[At::Use, At::Fault, At::SwitchOn, At::Emptying, At::Opened])],
    about: About {
        looks_at: "the r.m.s. volts across the element of every resistor",
        limit: "its limiting element voltage as stated in the file (r.m.s.); for {bench.rule.resistor_short_overload_voltage.time_s} up to {bench.rule.resistor_short_overload_voltage.multiple} times that",
        rows: &["jig"],
        how: "r.m.s. volts at the highest supply and worst tolerances, in every condition that lasts; the crest at switch-on and where a charged thing is put on",
        mend: "share the volts between two or more resistors in series, or take a size with a higher limiting voltage",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        if let PartKind::Resistor(Resistor { resistance, voltage: Some(v), .. }) = part.kind {
            volts(case, k, part, resistance, v, out);
        }
    }
}

fn volts(case: &Case, k: usize, part: &Part, ohms: f64, v: f64, out: &mut Vec<Draft>) {
    let (multiple, _) = standard::bench::short_overload_voltage();
    for kind in KINDS {
        let long = lasting(case, k, Quantity::VoltageRms, kind).filter(|s| s.value > v);
        // What empties a charged thing is over within seconds, or told as charge that stays.
        let short = || {
            let w = case.survey.ledger.lasting.put_on[k][kind].volts.copied().map(|w| seen(w, "V", kind));
            let inrush = inrush_volts(case, k).filter(|_| kind == Situation::Normal);
            larger(w, inrush).filter(|s| s.value > multiple.value * v)
        };
        let (crest, s) = match (long, short()) {
            (Some(s), _) => (false, s),
            (None, Some(s)) => (true, s),
            (None, None) => continue,
        };
        let usable = if crest { s.value / multiple.value } else { s.value };
        let count = (usable / v).ceil().max(2.0);
        let each = standard::preferred::nearest_at_least(ohms / count, 24).unwrap_or(ohms / count);
        let sizes = standard::resistor::resistor().iter().filter_map(|s| s.limiting_rms());
        let size = super::lookup::next_of(sizes, usable).map(|v| Amount::new(v, "V"));
        // A crest of microseconds at switch-on is a lesser thing than seconds at it.
        let at_switch_on = crest && inrush_volts(case, k).is_some_and(|i| i.at == s.at);
        let signal = if at_switch_on { Signal::Caution } else { graded(Signal::Warning, kind) };
        let draft = case.about_part(CheckId::ResistorVoltage, signal, part, "voltage");
        let (draft, limit) = if crest {
            let limit = Limit { value: multiple.value * v, unit: "V", ..multiple };
            (draft.over(Compared::ElementVoltageCrest, &s, &limit), limit.value)
        } else {
            (draft.over(Compared::ElementVoltageRms, &s, &rated(v, "V")), v)
        };
        let said = ResistorVoltage {
            part: part.name.clone(),
            under: s.under(),
            volts: s.amount(),
            limit: Amount::new(limit, "V"),
            brief: crest,
            cure: ElementCure { size, count: count as usize, each: Amount::new(each, "Ω") },
        };
        out.push(draft.states(Said::ResistorVoltage(said)).proposes(propose::stronger(case, k, part)));
        return;
    }
}
