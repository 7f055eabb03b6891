//! Words of fuse-voltage.

use super::contact;
use crate::finding::said::FuseVoltage;

pub(super) fn words(s: &FuseVoltage) -> (String, String) {
    match s {
        FuseVoltage::Open { part, volts, limit } => (
            format!("{volts} stand across {part} when it has blown, it is made for {limit}: the arc does not go out"),
            "use a fuse rated for at least the nominal supply (250 V types serve 230 V)".into(),
        ),
        FuseVoltage::Thermal(s) => contact::words(s),
    }
}
