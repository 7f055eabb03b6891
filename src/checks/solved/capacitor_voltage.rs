//! Working volts of capacitors, and which way round they stand on a polarised one.

use super::lookup::{
    KINDS, alternating, emptying_reverse, emptying_volts, graded, inrush_volts, larger, lasting, next_of,
    nominal_volts, rated, reverse, slow_reverse, slow_volts, to_nominal,
};
use super::{coils, propose};
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft, Seen};
use crate::finding::said::{Amount, CapacitorCure, CapacitorVoltage};
use crate::finding::{CheckId, Compared, Ordinal, Quantity, Said, Signal, Situation};
use crate::jig::{Part, PartKind};
use crate::part::Capacitor;
use crate::standard::{self, Limit};

pub(super) const CHECK: Check = Check {
    id: CheckId::CapacitorVoltage,
    judges: &[
        of(
            "capacitor",
            &["voltage", "dc-voltage", "polarised"],
            &[At::Use, At::Fault, At::Emptying, At::Opening, At::Opened],
        ),
        of("capacitor", &["ac-voltage"], At::LASTING),
        of("capacitor", &["voltage", "dc-voltage"], &[At::SwitchOn, At::Unplugged]),
        of("capacitor", &["ripple"], At::LASTING),
    ],
    about: About {
        looks_at: "the volts across every capacitor, and which way round they stand on a polarised one",
        limit: "its own rating: a.c. r.m.s. for X and Y types (compared with the nominal supply: their standard allows for its tolerance), d.c. or peak for the others at the highest supply; an electrolytic stands {bench.rule.electrolytic_reverse.reverse_v} the wrong way round; one rated for d.c. stands on a.c. what its maker states, else what the rows of film capacitors say (of the better dielectric: WARNING, of the other: CAUTION); ripple by its own rating, with one fault {bench.rule.sustained_fire.multiple} times its heat; at switch-on an electrolytic stands {bench.rule.electrolytic_surge.multiple} times its volts; what a coil drives it to when it is switched off: its impulse volts if it is of a class that has any, else its own. After a fault a step milder, but for an electrolytic at {bench.rule.electrolytic_bursts.multiple} times its volts",
        rows: &["jig", "capacitors.film_capacitor"],
        how: "r.m.s., peak and most negative volts over a mains cycle, normal and with any one fault, while a charged thing that was put on empties, and of an electrolytic where a device takes {bench.heat.electrolytic_vents.time_s} or more to open",
        mend: "take the next rating of the row; X2 275 V or 310 V across 230 V mains; turn an electrolytic round or put it behind the rectifier",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        let told = volts(case, k, part);
        if let PartKind::Capacitor(capacitor) = &part.kind {
            // What only a fault does hides nothing of what each switching does.
            if told.as_ref().is_none_or(|d| d.finding.signal > Signal::Warning) {
                out.extend(surge(case, k, part, capacitor));
                out.extend(off_coil(case, k, part, capacitor));
            }
            out.extend(told);
            out.extend(on_ac(case, k, part, capacitor));
            out.extend(ripple(case, k, part, capacitor));
        }
    }
}

/// The condition in which something empties into a capacitor.
fn emptying_at(case: &Case, k: usize, kind: Situation) -> Option<Ordinal> {
    emptying_volts(case, k, kind).map(|s| s.at)
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
            let slow = slow_reverse(case, k).filter(|_| kind == Situation::SingleFault);
            let worst = larger(larger(reverse(case, k, kind), emptying), slow);
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
        let rms = quantity == Quantity::VoltageRms;
        let share = if rms { std::f64::consts::FRAC_1_SQRT_2 } else { 1.0 };
        let emptying = emptying_volts(case, k, kind).map(|s| Seen { value: s.value * share, ..s });
        // What a device ends in its time vents one that it has far above its volts until then.
        let vents = |s: &Seen| polarised && s.value > standard::bench::electrolytic_bursts().value * limit;
        let slow = slow_volts(case, k).filter(|_| kind == Situation::SingleFault).filter(vents);
        let Some(mut s) = larger(larger(lasting(case, k, quantity, kind), emptying), slow) else { continue };
        let empties = rms && emptying_at(case, k, kind) == Some(s.at);
        if class.is_some() && !empties {
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
            // What is made for surges stands d.c. above its crest for a while.
            let usual = if class.is_some() && empties { Signal::Caution } else { graded(Signal::Warning, kind) };
            let signal = if bursts { Signal::Warning } else { usual };
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

/// More ripple than a capacitor is made for; with one fault so much more that it boils.
fn ripple(case: &Case, k: usize, part: &Part, capacitor: &Capacitor) -> Option<Draft> {
    let limit = rated(capacitor.ripple?, "A");
    let fire = standard::bench::sustained_fire().value;
    let over = |s: &Seen| match s.kind {
        Situation::Normal => s.value > limit.value * (1.0 + 1e-3),
        Situation::SingleFault | Situation::Transient => s.value.powi(2) > fire * limit.value.powi(2),
    };
    let s = KINDS.into_iter().find_map(|kind| lasting(case, k, Quantity::CurrentRms, kind).filter(over))?;
    let said = CapacitorVoltage::Ripple {
        part: part.name.clone(),
        under: s.under(),
        current: s.amount(),
        limit: (&limit).into(),
    };
    let draft = case.about_part(CheckId::CapacitorVoltage, Signal::Caution, part, "ripple");
    Some(draft.over(Compared::CurrentRms, &s, &limit).states(Said::CapacitorVoltage(said)))
}

/// Volts of a moment: above the surge volts of an electrolytic at switch-on, where a choke rings with it.
fn surge(case: &Case, k: usize, part: &Part, capacitor: &Capacitor) -> Option<Draft> {
    let rated = capacitor.dc_voltage.or(capacitor.voltage).filter(|_| capacitor.is_polarised())?;
    let surge = standard::bench::electrolytic_surge();
    let limit = Limit { value: surge.value * rated, unit: "V", ..surge };
    let s = inrush_volts(case, k).filter(|s| s.value > limit.value)?;
    let bursts = s.value > standard::bench::electrolytic_bursts().value * rated;
    let signal = if bursts { Signal::Warning } else { Signal::Caution };
    let said =
        CapacitorVoltage::Surge { part: part.name.clone(), volts: s.amount(), limit: (&limit).into(), coil: None };
    let draft = case.about_part(CheckId::CapacitorVoltage, signal, part, "voltage");
    Some(draft.over(Compared::VoltsPeak, &s, &limit).states(Said::CapacitorVoltage(said)))
}

/// The crest that a coil drives a capacitor across it to when it is switched off.
fn off_coil(case: &Case, k: usize, part: &Part, capacitor: &Capacitor) -> Option<Draft> {
    let limit = match (capacitor.class.filter(|c| c.is_suppression()), capacitor.dc_voltage, capacitor.voltage) {
        (Some(class), ..) => standard::capacitor::impulse(class)?,
        (None, Some(dc), _) => rated(dc, "V"),
        (None, None, Some(ac)) if !capacitor.is_polarised() => rated(ac * std::f64::consts::SQRT_2, "V"),
        (None, None, _) => return None,
    };
    let coil = coils::switched_off(case, k)?;
    if coil.volts <= limit.value {
        return None;
    }
    let name = case.jig.parts[coil.part].name.clone();
    let said = CapacitorVoltage::Surge {
        part: part.name.clone(),
        volts: Amount::new(coil.volts, "V"),
        limit: (&limit).into(),
        coil: Some(name.clone()),
    };
    let draft = case.about_part(CheckId::CapacitorVoltage, Signal::Caution, part, "voltage").part(&name);
    let draft = draft.value(Compared::VoltsPeak, coil.volts, "V").limit(limit.value, &limit.source).found_in(coil.at);
    Some(draft.states(Said::CapacitorVoltage(said)))
}
