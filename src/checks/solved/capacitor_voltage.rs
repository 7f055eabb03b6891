//! Working volts of capacitors, and which way round they stand on a polarised one.

use super::lookup::{
    KINDS, alternating, emptying_reverse, emptying_volts, graded, larger, lasting, next_of, nominal_volts, rated,
    reverse, to_nominal,
};
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft, Seen};
use crate::finding::said::{Amount, CapacitorCure, CapacitorVoltage};
use crate::finding::{CheckId, Compared, Quantity, Said, Signal, Situation};
use crate::jig::{Part, PartKind};
use crate::part::Capacitor;
use crate::standard::{self, Limit};

pub(super) const CHECK: Check = Check {
    id: CheckId::CapacitorVoltage,
    judges: &[
        of("capacitor", &["voltage", "dc-voltage", "polarised"], &[At::Use, At::Fault, At::Emptying, At::Opened]),
        of("capacitor", &["ac-voltage"], At::LASTING),
        of("capacitor", &["ripple"], &[At::Use]),
    ],
    about: About {
        looks_at: "the volts across every capacitor, and which way round they stand on a polarised one",
        limit: "its own rating: a.c. r.m.s. for X and Y types (compared with the nominal supply: their standard allows for its tolerance), d.c. or peak for the others at the highest supply; an electrolytic stands {bench.rule.electrolytic_reverse.reverse_v} the wrong way round; one rated for d.c. stands on a.c. what its maker states, else what the rows of film capacitors say (of the better dielectric: WARNING, of the other: CAUTION); ripple by its own rating. After a fault a step milder, but for an electrolytic at {bench.rule.electrolytic_bursts.multiple} times its volts",
        rows: &["jig", "capacitors.film_capacitor"],
        how: "r.m.s., peak and most negative volts over a mains cycle, normal and with any one fault, and while a charged thing that was put on empties",
        mend: "take the next rating of the row; X2 275 V or 310 V across 230 V mains; turn an electrolytic round or put it behind the rectifier",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        out.extend(volts(case, k, part));
        if let PartKind::Capacitor(capacitor) = &part.kind {
            out.extend(on_ac(case, k, part, capacitor));
            out.extend(ripple(case, k, part, capacitor));
        }
    }
}

fn volts(case: &Case, k: usize, part: &Part) -> Option<Draft> {
    let PartKind::Capacitor(capacitor) = &part.kind else { return None };
    let Capacitor { voltage, dc_voltage, .. } = *capacitor;
    let (polarised, class) = (capacitor.is_polarised(), capacitor.class.filter(|c| c.is_suppression()));
    for kind in KINDS {
        if polarised {
            let limit = standard::bench::electrolytic_reverse();
            // One that is charged before anything begins is tried both ways round, which is not its own doing.
            let emptying = emptying_reverse(case, k, kind).filter(|_| capacitor.charged.is_none());
            let worst = larger(reverse(case, k, kind), emptying);
            if let Some(s) = worst.filter(|s| s.value > limit.value) {
                return Some(
                    case.about_part(CheckId::CapacitorVoltage, graded(Signal::Warning, kind), part, "polarised")
                        .over(Compared::ReverseVolts, &s, &limit)
                        .states(Said::CapacitorVoltage(CapacitorVoltage::WrongWay {
                            part: part.name.clone(),
                            under: s.under(),
                            volts: s.amount(),
                        })),
                );
            }
        }
        let ac = capacitor.class.is_some() || !polarised && dc_voltage.is_none();
        let (quantity, compared, limit) = match (ac, dc_voltage, voltage) {
            (true, _, Some(v)) => (Quantity::VoltageRms, Compared::VoltsRms, v),
            (false, Some(v), _) => (Quantity::VoltagePeak, Compared::VoltsPeak, v),
            (false, None, Some(v)) => (Quantity::VoltagePeak, Compared::VoltsPeak, v),
            _ => return None,
        };
        // X and Y types stand surges of kilovolts: what counts is the supply they lie on.
        if class.is_some() && kind != Situation::Normal {
            continue;
        }
        // What empties into it is d.c.: a rating for a.c. stands that at its crest.
        let emptying = emptying_volts(case, k, kind).filter(|_| quantity == Quantity::VoltagePeak);
        let Some(mut s) = larger(lasting(case, k, quantity, kind), emptying) else { continue };
        if class.is_some() {
            s.value *= to_nominal(case);
        }
        if s.value > limit * (1.0 + 1e-3) {
            let key = if !ac && dc_voltage.is_some() { "dc-voltage" } else { "voltage" };
            let cure = match class {
                Some(c) => {
                    let rows = standard::parts::x2_capacitor().iter().filter_map(|r| r.number("rated_ac_v"));
                    next_of(rows, s.value)
                        .map_or(CapacitorCure::Higher, |v| CapacitorCure::OfClass(c, Amount::new(v, "V")))
                }
                None => {
                    let least = standard::preferred::nearest_at_least(s.value, 6).unwrap_or(s.value);
                    CapacitorCure::AtLeast(Amount::new(least, "V"))
                }
            };
            // One that bursts at once is no lesser thing for the fault that came first.
            let bursts = polarised && s.value > standard::bench::electrolytic_bursts().value * limit;
            let signal = if bursts { Signal::Warning } else { graded(Signal::Warning, kind) };
            return Some(
                case.about_part(CheckId::CapacitorVoltage, signal, part, "voltage")
                    .over(compared.clone(), &s, &rated(limit, "V"))
                    .states(Said::CapacitorVoltage(CapacitorVoltage::Over {
                        part: part.name.clone(),
                        under: s.under(),
                        quantity: compared,
                        volts: s.amount(),
                        limit: Amount::new(limit, "V"),
                        cure,
                    }))
                    .proposes(propose::capacitor_class(case, part, nominal_volts(case).max(s.value)))
                    .proposes(propose::capacitor_volts(part, s.value, key)),
            );
        }
    }
    None
}

/// Too much a.c. on a capacitor that is rated for d.c.: as its maker states it, or by the rows of film capacitors.
fn on_ac(case: &Case, k: usize, part: &Part, capacitor: &Capacitor) -> Option<Draft> {
    let dc = capacitor.dc_voltage.filter(|_| capacitor.class.is_none() && !capacitor.is_polarised())?;
    let stated = capacitor.ac_voltage.or(capacitor.voltage);
    let usual = standard::capacitor::film_ac(dc);
    for kind in KINDS {
        let Some(s) = alternating(case, k, kind) else { continue };
        let over = |limit: &Limit| s.value > limit.value * (1.0 + 1e-3);
        let (limit, signal) = match (stated, &usual) {
            (Some(ac), _) => (rated(ac, "V"), Signal::Warning),
            (None, Some(rows)) if over(&rows.most) => (rows.most.clone(), Signal::Warning),
            // Which dielectric it is decides, and is not stated.
            (None, Some(rows)) => (rows.least.clone(), Signal::Caution),
            (None, None) => continue,
        };
        if !over(&limit) {
            continue;
        }
        let said = CapacitorVoltage::OnAc {
            part: part.name.clone(),
            under: s.under(),
            volts: s.amount(),
            limit: (&limit).into(),
            dc: Amount::new(dc, "V"),
            stated: stated.is_some(),
        };
        let key = if capacitor.ac_voltage.is_some() { "ac-voltage" } else { "dc-voltage" };
        let draft = case.about_part(CheckId::CapacitorVoltage, graded(signal, kind), part, key);
        return Some(draft.over(Compared::VoltsRms, &s, &limit).states(Said::CapacitorVoltage(said)));
    }
    None
}

/// More ripple than a capacitor is made for.
fn ripple(case: &Case, k: usize, part: &Part, capacitor: &Capacitor) -> Option<Draft> {
    let limit = rated(capacitor.ripple?, "A");
    let over = |s: &Seen| s.value > limit.value * (1.0 + 1e-3);
    let s = lasting(case, k, Quantity::CurrentRms, Situation::Normal).filter(over)?;
    let said = CapacitorVoltage::Ripple { part: part.name.clone(), current: s.amount(), limit: (&limit).into() };
    let draft = case.about_part(CheckId::CapacitorVoltage, Signal::Caution, part, "ripple");
    Some(draft.over(Compared::CurrentRms, &s, &limit).states(Said::CapacitorVoltage(said)))
}
