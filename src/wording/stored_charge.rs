//! Words of stored-charge.

use crate::finding::Situation;
use crate::finding::said::{BleederCure, StoredCharge};

pub(super) fn words(s: &StoredCharge) -> (String, String) {
    match s {
        StoredCharge::PutOn { after, volts, between: [a, b], kind } => {
            let remedy = if *kind == Situation::Normal {
                "lower the discharge resistance, or hold the probe on for longer and say so on it"
            } else {
                "measure before touching, every time: a probe with an open path looks like one that has done its work"
            };
            let message = format!(
                "{after} after it was put on, {volts} is still between {a} and {b}: whoever takes it for discharged gets it in \
                 the hand"
            );
            (message, remedy.into())
        }
        StoredCharge::Unplugged { after, volts, limit, on, kind, cure } => {
            let place = on.as_ref().map_or_else(|| "the pins of the plug".into(), |on| format!("{on} (to earth)"));
            let fault = if *kind == Situation::Normal { "" } else { " once the bleeder has failed (one fault)" };
            let message = format!(
                "{after} after the plug is pulled {volts} still stands on {place}{fault}: fingers get it, the limit is {limit}"
            );
            (message, remedy(cure))
        }
    }
}

fn remedy(cure: &BleederCure) -> String {
    match cure {
        BleederCure::TwoPaths => {
            "split the bleeder into two parallel paths, so that one that opens leaves the other".into()
        }
        BleederCure::Bleeder => "put a bleeder across what stays charged".into(),
        BleederCure::BleederAcross(part) => format!("put a bleeder across {part}"),
        BleederCure::TwoInSeries { each, both, across, farads } => format!(
            "put two resistors of {each} in series across {across}: {both} then discharge {farads} in time for both published \
             rules"
        ),
    }
}
