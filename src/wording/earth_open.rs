//! Words of earth-open.

use crate::finding::said::EarthOpen;

pub(super) fn words(s: EarthOpen) -> (String, String) {
    let what = match s {
        EarthOpen::Plug => "plug has no earth contact",
        EarthOpen::Cord => "cord has no earth core",
    };
    (
        format!("the {what}, so the net PE hangs in the air: one insulation fault puts the mains on the metal"),
        "use an earthed plug and a three-core cord".into(),
    )
}
