//! Words of insulation-too-weak.

use super::insulation;
use crate::finding::said::{InsulationTooWeak, Wanted};

pub(super) fn words(s: &InsulationTooWeak) -> (String, String) {
    match s {
        InsulationTooWeak::Grade { circuit, touchable, stated, wanted } => {
            let remedy = match wanted {
                Wanted::Basic => "build basic insulation at least".into(),
                Wanted::Double => {
                    format!("build it as reinforced insulation, or bond {touchable} to the protective earth (class I)")
                }
            };
            let (circuit, needed) = (insulation::circuit(circuit), insulation::wanted(*wanted));
            let stated = stated.word();
            (format!("the insulation between {circuit} and {touchable} is {stated} where {needed} is needed"), remedy)
        }
        InsulationTooWeak::Barrier(s) => insulation::barrier(s),
    }
}
