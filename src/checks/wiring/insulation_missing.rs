//! Insulation between hands and hazardous nets that nobody stated.

use super::barrier::{self, Pair, Want, hazards, wants};
use super::graph::Wiring;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::CheckId;
use crate::wording::join::list;

pub(super) const CHECK: Check = Check {
    id: CheckId::InsulationMissing,
    about: About {
        looks_at: "Every touchable against every net that can be hazardous: is there a stated insulation.",
        limit: "Basic insulation to earthed metal, double or reinforced to everything else.",
        rows: &["rules.rule.insulation_grade", "rules.rule.barrier"],
        how: "Nets joined to the mains, and circuits above the touch limits; each wants an [[insulation]] to the touchable, directly or as basic and supplementary over metal between them.",
        mend: "Add [[insulation]] between the two with grade, clearance and creepage as built and measured.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let w = Wiring::new(case.jig);
    for want in wants(case, &w, &hazards(case, &w)) {
        match want {
            Want::Insulation(pair) => out.extend(missing(case, &pair)),
            Want::Barrier(t) => barrier::weak_barriers(case, CheckId::InsulationMissing, t, &w, out),
        }
    }
}

fn missing(case: &Case, pair: &Pair) -> Option<Draft> {
    let (t, h) = (pair.touchable, pair.hazard);
    let without = pair.stated.iter().filter(|s| s.1.is_none());
    let missing: Vec<String> = without.map(|s| case.net(s.0).to_string()).collect();
    let all = h.mains && missing.len() == pair.stated.len();
    let side = if all { "mains" } else { missing.first()?.as_str() };
    let need_words = pair.needed().1;
    (!missing.is_empty()).then(|| {
        barrier::draft(case, CheckId::InsulationMissing, t.place, t, &missing).says(
            format!("nothing says what keeps {} ({}) off {}", h.words, list(&missing), t.name),
            format!(
                "add [[insulation]] between = [\"{side}\", \"{}\"] with grade ({need_words}), clearance and creepage as built",
                case.net(t.net)
            ),
        )
    })
}
