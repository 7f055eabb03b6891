//! The grade of the insulation between hands and hazardous nets.

use super::barrier::{self, Pair, Series, Want, rank, wants};
use super::hazard::hazards;
use super::names;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::InsulationTooWeak;
use crate::finding::{CheckId, Said};
use crate::jig::NetId;

pub(super) const CHECK: Check = Check {
    id: CheckId::InsulationTooWeak,
    judges: &[],
    about: About {
        looks_at: "The grade of a stated insulation.",
        limit: "Basic insulation to earthed metal, double or reinforced to everything else.",
        rows: &["rules.rule.insulation_grade", "rules.rule.barrier"],
        how: "Compares the grade with what the touchable needs.",
        mend: "Earth the touchable as class I, or build reinforced insulation.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for want in wants(case, &hazards(case)) {
        match want {
            Want::Insulation(pair) => out.extend(weak(case, &pair)),
            Want::Barrier(t) => {
                let found = barrier::weak_barriers(case, CheckId::InsulationTooWeak, t);
                let said =
                    |(d, barrier): (Draft, _)| d.states(Said::InsulationTooWeak(InsulationTooWeak::Barrier(barrier)));
                out.extend(found.into_iter().map(said));
            }
        }
    }
}

fn weak(case: &Case, pair: &Pair) -> Option<Draft> {
    let t = pair.touchable;
    let weak =
        pair.stated.iter().filter_map(|(n, s)| Some((*n, s.as_ref().filter(|s| rank(s) < pair.wanted().rank())?)));
    let weak: Vec<(NetId, &Series)> = weak.collect();
    let first = weak.first()?.1[0];
    let nets = names::of_nets(case, weak.iter().map(|s| s.0));
    let said = InsulationTooWeak::Grade {
        circuit: pair.hazard.circuit.clone(),
        touchable: t.name.clone(),
        stated: first.grade,
        wanted: pair.wanted(),
    };
    let draft = barrier::draft(case, CheckId::InsulationTooWeak, first.place, t, &nets);
    Some(draft.states(Said::InsulationTooWeak(said)))
}
