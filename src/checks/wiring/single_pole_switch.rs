//! Off means dead, either way round.

use super::switched;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Said};
use crate::nets::Live;

pub(super) const CHECK: Check = Check {
    id: CheckId::SinglePoleSwitch,
    judges: &[of("switch", &["poles", "positions", "coil"], &[At::Use])],
    about: About {
        looks_at: "A switch in one pole where either pin can be live.",
        limit: "Every live pole is opened: both on reversible plugs and on line-to-line supplies.",
        rows: &["rules.rule.switch_means_dead"],
        how: "With the switch off, walks from each pin that can be live: no part the switch turns off may be reached.",
        mend: "Use a switch that opens both poles.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    // A probe that is taken away is off.
    if !case.jig.supply.held && case.nets().live().is_some_and(|live| live != Live::Line) {
        let found = switched::kept_live(case, CheckId::SinglePoleSwitch);
        out.extend(found.into_iter().map(|(draft, said)| draft.states(Said::SinglePoleSwitch(said))));
    }
}
