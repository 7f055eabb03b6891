//! Where charge is left, in words.

use crate::jig::Jig;
use crate::survey::records::ChargeSide;

/// One of the two sides between which charge is left.
pub(crate) fn side(jig: &Jig, side: ChargeSide) -> String {
    match side {
        ChargeSide::PinL => "L".into(),
        ChargeSide::PinN => "N".into(),
        ChargeSide::Earth => "earth".into(),
        ChargeSide::Touchable(k) => jig.touchables.get(k).map_or("?", |t| t.name.as_str()).into(),
        ChargeSide::Net(k) => jig.nets.get(k).map_or("?", |n| n.name.as_str()).into(),
    }
}
