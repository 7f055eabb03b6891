//! Words of outlet-shock.

use crate::finding::Situation;
use crate::finding::said::OutletShock;

pub(super) fn words(s: &OutletShock) -> (String, String) {
    match s {
        OutletShock::FirstTouch { outlet, kind, current, limit } => {
            let fault = if *kind == Situation::Normal { "without any fault" } else { "after one fault" };
            (
                format!(
                    "The outlet {outlet} passes for isolated, yet {fault} a hand on one terminal and one on earth gets \
                     {current} (limit {limit})"
                ),
                "join nothing from the secondary to earth or to the mains, and use a transformer with reinforced insulation"
                    .into(),
            )
        }
        OutletShock::SecondTouch { outlet, volts } => (
            format!(
                "Isolation helps with the first touch of {outlet} only: {volts} stands between its two terminals, and whoever \
                 bridges them gets all of it; once one side has found earth unnoticed, the other is live"
            ),
            "work with one hand, one tool under test at a time, and nothing of it earthed".into(),
        ),
    }
}
