//! Words of flash-rate.

use crate::finding::said::FlashRate;

pub(super) fn words(s: &FlashRate) -> (String, String) {
    match s {
        FlashRate::Seizure { lamp, rate, band: [from, to] } => (
            format!(
                "{lamp} flashes {rate:.0} times a second, inside the band ({from:.0} to {to:.0}) that can bring on a seizure"
            ),
            "feed it on both half-waves of the mains, or change the parts that set the rate".into(),
        ),
        FlashRate::StandStill => (
            "under this lamp a moving part can seem to stand still".into(),
            "never judge standstill by the strobe, and keep ordinary light on as well".into(),
        ),
    }
}
