//! Off means dead: no switch in the neutral alone.

use super::switched;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Said};
use crate::nets::Live;

pub(super) const CHECK: Check = Check {
    id: CheckId::SwitchInNeutral,
    judges: &[],
    about: About {
        looks_at: "A switch that opens the neutral and leaves the tool live.",
        limit: "A switch in one pole stands in the line conductor.",
        rows: &["rules.rule.switch_means_dead"],
        how: "With the switch off, walks from the live pin through everything that conducts: no part the switch turns off may be reached.",
        mend: "Move the contact into the line conductor, or use a switch that opens both poles.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    if case.nets().live() == Some(Live::Line) {
        let found = switched::kept_live(case, CheckId::SwitchInNeutral);
        out.extend(found.into_iter().map(|(draft, said)| draft.states(Said::SwitchInNeutral(said))));
    }
}
