//! Nothing that can open stands in the protective conductor.

use super::bonding;
use super::graph::{Link, Wiring};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{NET_L, NET_N, NET_PE};
use crate::standard::rules;
use crate::wording::join::list;

pub(super) const CHECK: Check = Check {
    id: CheckId::EarthBrokenByPart,
    about: About {
        looks_at: "A fuse, switch or part between metal and the protective earth.",
        limit: "Nothing that can open stands in the protective conductor.",
        rows: &["rules.rule.earth_path"],
        how: "Walks from the metal to PE over wires alone, then over parts too.",
        mend: "Bond the metal to PE with a wire of its own.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let w = Wiring::new(case.jig);
    fuses_in_earth(case, &w, out);
    for u in bonding::unbonded(case, &w).into_iter().filter(|u| !u.through.is_empty()) {
        let (t, through) = (u.touchable, u.through);
        let d = bonding::draft(case, CheckId::EarthBrokenByPart, t);
        let d = through.iter().fold(d, |d, p| d.part(p));
        out.push(d.says(
            format!("the earth of {} goes through {}, which can open and leave it live", t.name, list(&through)),
            format!("bond {} to PE with a wire of its own, past {}", t.name, list(&through)),
        ));
    }
}

/// A fuse belongs nowhere in the protective conductor.
fn fuses_in_earth(case: &Case, w: &Wiring, out: &mut Vec<Draft>) {
    if case.jig.supply.mains.is_none() {
        return;
    }
    let earth = w.wired(NET_PE);
    let stays = |n: usize| case.jig.touchables.iter().any(|t| t.net == n);
    for e in w.edges.iter().filter(|e| matches!(e.link, Link::Fuse | Link::Thermal)) {
        let beyond = if earth[e.ends[0]] { e.ends[1] } else { e.ends[0] };
        let told = w.class_one() && (0..case.jig.nets.len()).any(|n| w.wired(beyond)[n] && stays(n));
        if earth[e.ends[0]] != earth[e.ends[1]]
            && !told
            && ![NET_L, NET_N].contains(&beyond)
            && let Some(p) = e.part.map(|k| &case.jig.parts[k])
        {
            out.push(
                case.about_part(CheckId::EarthBrokenByPart, Signal::Warning, p, "across").net("PE").source(&rules::earth_path()).says(
                    format!(
                        "{} is a fuse in the protective conductor: once it opens nothing says that the earth is gone",
                        p.name
                    ),
                    format!("take {} out: the earth runs unbroken, fuses go into the live conductors", p.name),
                ),
            );
        }
    }
}
