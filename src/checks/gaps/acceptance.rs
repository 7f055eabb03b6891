//! Acceptances that do not hold. Told where the findings are gathered: only there is to be seen
//! what an acceptance is about.

use crate::checks::{About, Check};
use crate::finding::CheckId;

pub(super) const CHECK: Check = Check {
    id: CheckId::Acceptance,
    judges: &[],
    about: About {
        looks_at: "Every [[accept]] of the file: whether the finding it names is there, and whether its day has passed.",
        limit: "An acceptance names a finding that is there, and a day on which it ends.",
        rows: &["rules.rule.acceptance_ends"],
        how: "Compares check and part with the findings, and until with today. An accepted finding stays in the report and counts as before.",
        mend: "Take out an acceptance that matches nothing; look at the finding again before you renew a date.",
    },
    run: |_, _| {},
};
