//! No fuse in the neutral while the live conductor has none.

use super::graph::Wiring;
use super::poles::{self, poles};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::CheckId;

pub(super) const CHECK: Check = Check {
    id: CheckId::FuseInNeutral,
    about: About {
        looks_at: "A fuse that opens the neutral and leaves the tool live.",
        limit: "The fuse stands in the line conductor.",
        rows: &["rules.rule.fuse_in_line"],
        how: "With the live pin assured, walks from it: a fuse that is met only behind the load is in the neutral.",
        mend: "Move the fuse into the line conductor, directly behind the plug.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let w = Wiring::new(case.jig);
    let assured = w.live_pins().len() == 1;
    if assured {
        let found = poles(case, &w);
        let end = found.iter().filter(|p| !p.1.end.is_empty());
        out.extend(end.map(|(pin, pole)| poles::one_pole(case, &w, *pin, &pole.end, assured)));
    }
}
