//! Words of rcd-standing-leakage.

use crate::finding::said::{LeakageLimit, RcdStandingLeakage};

pub(super) fn words(s: &RcdStandingLeakage) -> (String, String) {
    let RcdStandingLeakage { current, limit, by } = s;
    let what = match by {
        LeakageLimit::Device => "the residual-current device may trip for no fault",
        LeakageLimit::Inspection => {
            "an inspection fails it, and a residual-current device has little left for real faults"
        }
    };
    (
        format!("{current} flow in the earth conductor in normal use (limit {limit}): {what}"),
        "use smaller Y capacitors, or fewer of them".into(),
    )
}
