//! Volts and current of switch contacts in normal use.

use super::contacts::{self, ContactRating};
use super::lookup::rated;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Said};
use crate::jig::PartKind;
use crate::part::Switch;

pub(super) const CHECK: Check = Check {
    id: CheckId::SwitchRating,
    judges: &[of("switch", &["voltage", "current"], &[At::Use])],
    about: About {
        looks_at: "the volts and the current of every switch contact in normal use",
        limit: "its rated volts (against the nominal supply) and amperes",
        rows: &["jig"],
        how: "on the mains the nominal supply; elsewhere the volts solved with the contact open; r.m.s. current at nominal supply",
        mend: "use a mains switch with the voltage and current marked on it",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let rating = |kind: &PartKind| {
        let PartKind::Switch(Switch { voltage, current, .. }) = kind else { return None };
        Some(ContactRating { volts: *voltage, amperes: current.map(|a| rated(a, "A")) })
    };
    let found = contacts::judge(case, CheckId::SwitchRating, rating);
    out.extend(found.into_iter().map(|(d, said)| d.states(Said::SwitchRating(said))));
}
