//! Words of touch-voltage.

use super::Known;
use super::touching::{between, fault};
use crate::finding::said::TouchVoltage;

pub(super) fn words(known: &Known, s: &TouchVoltage) -> (String, String) {
    let TouchVoltage { touching, quantity, volts, limit, draws } = s;
    let (what, fault) = (between(touching), fault(known, touching));
    (
        format!("{what}: {volts} ({quantity}) stands on it {fault}, the limit is {limit}; a hand on it draws {draws}"),
        format!("use a supply of at most {limit} there, or cover what can be touched"),
    )
}
