//! The grade of the insulation between hands and hazardous nets.

use super::barrier::{self, Pair, Series, Want, hazards, rank, wants};
use super::graph::Wiring;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::CheckId;
use crate::jig::NetId;

pub(super) const CHECK: Check = Check {
    id: CheckId::InsulationTooWeak,
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
    let w = Wiring::new(case.jig);
    for want in wants(case, &w, &hazards(case, &w)) {
        match want {
            Want::Insulation(pair) => out.extend(weak(case, &pair)),
            Want::Barrier(t) => barrier::weak_barriers(case, CheckId::InsulationTooWeak, t, &w, out),
        }
    }
}

fn weak(case: &Case, pair: &Pair) -> Option<Draft> {
    let (t, h) = (pair.touchable, pair.hazard);
    let (need, need_words, _) = pair.needed();
    let weak = pair.stated.iter().filter_map(|(n, s)| Some((n, s.as_ref().filter(|i| rank(i) < need)?)));
    let weak: Vec<(&NetId, &Series)> = weak.collect();
    let first = weak.first()?.1[0];
    let names: Vec<String> = weak.iter().map(|s| case.net(*s.0).to_string()).collect();
    Some(barrier::draft(case, CheckId::InsulationTooWeak, first.place, t, &names).says(
        format!(
            "the insulation between {} and {} is {} where {need_words} is needed",
            h.words,
            t.name,
            first.grade.word()
        ),
        if pair.earthed {
            "build basic insulation at least".to_string()
        } else {
            format!("build it as reinforced insulation, or bond {} to the protective earth (class I)", t.name)
        },
    ))
}
