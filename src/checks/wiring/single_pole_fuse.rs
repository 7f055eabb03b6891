//! A fuse in each pole that can be live.

use super::graph::Wiring;
use super::poles::{self, poles};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::CheckId;

pub(super) const CHECK: Check = Check {
    id: CheckId::SinglePoleFuse,
    about: About {
        looks_at: "A fuse in one pole where either pin can be live.",
        limit: "A fuse in each pole that can be live: both on reversible plugs and on line-to-line supplies.",
        rows: &["rules.rule.fuse_each_pole"],
        how: "Walks from each pin that can be live: the fuse must be the first thing it meets.",
        mend: "Add a second fuse of the same rating directly behind the other pin.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let w = Wiring::new(case.jig);
    let assured = w.live_pins().len() == 1;
    if !assured {
        let found = poles(case, &w);
        let end = found.iter().filter(|p| !p.1.end.is_empty());
        out.extend(end.map(|(pin, pole)| poles::one_pole(case, &w, *pin, &pole.end, assured)));
    }
}
