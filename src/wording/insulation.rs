//! Words that the checks of insulation share.

use crate::finding::said::{HazardSource, Wanted, WeakBarrier};

/// A hazardous circuit.
pub(super) fn circuit(circuit: &HazardSource) -> String {
    match circuit {
        HazardSource::Mains => "the mains".into(),
        HazardSource::Winding { winding, part } => format!("the {winding} of {part}"),
        HazardSource::Output { part } => format!("the output of {part}"),
        HazardSource::Charged { part } => format!("charged {part}"),
        HazardSource::OnOutlet { outlet } => format!("what is on {outlet}"),
    }
}

/// The grade that is wanted.
pub(super) fn wanted(wanted: Wanted) -> &'static str {
    match wanted {
        Wanted::Basic => "basic",
        Wanted::Double => "double or reinforced",
    }
}

/// A transformer that alone keeps the mains off.
pub(super) fn barrier(s: &WeakBarrier) -> (String, String) {
    let WeakBarrier { part, touchable } = s;
    (
        format!(
            "only {part} keeps the mains off {touchable}, and its insulation is not stated as double or reinforced"
        ),
        format!("use a safety isolating transformer for {part} and write insulation = \"reinforced\""),
    )
}
