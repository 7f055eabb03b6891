//! Isolated outlets: one hand on a terminal, and hands on both.

use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{Amount, OutletShock};
use crate::finding::{CheckId, Compared, Said, Signal, Situation, When};
use crate::jig::NET_PE;
use crate::nets::Edge;
use crate::part::Transformer;
use crate::standard::touch::{LimitsIn, limits};

pub(super) const CHECK: Check = Check {
    id: CheckId::OutletShock,
    judges: &[],
    about: About {
        looks_at: "one hand on a terminal of an isolated outlet and the other on earth (first touch), and hands on both terminals (second touch)",
        limit: "first touch: {touch.current_limit.iec61010_normal_ac.ac_rms_ma} r.m.s. in normal condition, {touch.current_limit.iec61010_fault.ac_rms_ma} after a single fault, as for anything touchable; second touch: no isolation helps, so more than {touch.voltage_limit.iec61010_2010_normal_dry.ac_rms_v} between the terminals is told as a NOTICE",
        rows: &[],
        how: "the body network of IEC 60990, Figure 4, from each terminal to earth, in normal condition and with any one fault; what leaks is the capacitance between the windings and whatever is joined across them",
        mend: "a transformer with double or reinforced insulation and little winding capacitance, nothing joined from its secondary to earth or the mains",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, outlet) in case.jig.outlets.iter().enumerate() {
        if case.survey.model.outlet_probes[k].is_none() || stands_on_earth(case, k) {
            continue;
        }
        let rows = &case.survey.ledger.lasting.outlets[k];
        let hazardous = |kind: Situation| Some((kind, rows[kind].copied().filter(|t| t.hazard > 1.0)?));
        let worst = [Situation::Normal, Situation::SingleFault].into_iter().find_map(hazardous);
        if let Some((kind, t)) = worst {
            let l = limits(if kind == Situation::Normal { LimitsIn::Normal } else { LimitsIn::SingleFault });
            let signal = if kind == Situation::Normal { Signal::Danger } else { Signal::Warning };
            out.push(
                case.at(CheckId::OutletShock, signal, outlet.place)
                    .net(case.net(outlet.across[0]))
                    .net(case.net(outlet.across[1]))
                    .value(Compared::TouchCurrentRms, t.current_rms, "A")
                    .limit(l.current_rms.value, &l.current_rms.source)
                    .found_in(t.at)
                    .states(Said::OutletShock(OutletShock::FirstTouch {
                        outlet: outlet.name.clone(),
                        kind,
                        current: Amount::new(t.current_rms, "A"),
                        limit: Amount::new(l.current_rms.value, "A"),
                    })),
            );
            continue;
        }
        let between = outlet_volts(case, k);
        let limit = limits(LimitsIn::Normal).voltage_rms;
        if between.is_some_and(|v| v > limit.value) {
            let v = between.unwrap_or_default();
            out.push(
                case.at(CheckId::OutletShock, Signal::Notice, outlet.place)
                    .value(Compared::VoltsBetweenTerminals, v, "V")
                    .limit(limit.value, &limit.source)
                    .when(When::BothTerminals)
                    .states(Said::OutletShock(OutletShock::SecondTouch {
                        outlet: outlet.name.clone(),
                        volts: Amount::new(v, "V"),
                    })),
            );
        }
    }
}

/// Whether an outlet gives rectified volts with one side on earth, as the supply of a valve amplifier does: nobody takes
/// that for isolated.
fn stands_on_earth(case: &Case, k: usize) -> bool {
    let earth = case.nets().hard_joined(NET_PE);
    earth.has_any(&case.jig.outlets[k].across) && outlet_volts(case, k).is_none()
}

/// Rated volts of the secondary that feeds an outlet.
fn outlet_volts(case: &Case, k: usize) -> Option<f64> {
    let across = case.jig.outlets[k].across;
    let wired = case.nets().groups(&Edge::is_hard);
    case.jig.parts.iter().find_map(|p| {
        let crate::jig::PartKind::Transformer(Transformer { secondaries, .. }) = &p.kind else { return None };
        secondaries.iter().find(|s| across.iter().all(|n| s.across.iter().any(|e| wired.same(*n, *e)))).map(|s| s.volts)
    })
}
