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
        StoredCharge::Meanwhile { volts, between: [a, b], kind } => {
            let fault = if *kind == Situation::Normal { "" } else { " with one fault" };
            (
                format!(
                    "while what is charged empties, {volts} stands between {a}, which fingers reach, and {b}{fault}"
                ),
                format!("cover {a}, or put it out of reach of fingers for as long as it is charged"),
            )
        }
        StoredCharge::Inside { after, volts, energy, part, bleeder } => {
            let of = bleeder.as_ref().map(|ohms| format!(" of {ohms} or less")).unwrap_or_default();
            (
                format!(
                    "{after} after the plug is pulled {part} inside the box still holds {volts} ({energy}): whoever opens the box \
                     to mend it gets that in the hand"
                ),
                format!("put a bleeder{of} across {part}, and write on the lid how long to wait"),
            )
        }
        StoredCharge::Unplugged { after, volts, limit, on, kind, cure } => {
            let place = match on {
                None => "on the pins of the plug".into(),
                Some([a, b]) if b == "earth" => format!("on {a} (to earth)"),
                Some([a, b]) => format!("between {a} and {b}"),
            };
            let fault = if *kind == Situation::Normal { "" } else { " with one fault" };
            let message = format!(
                "{after} after the plug is pulled {volts} still stands {place}{fault}: fingers get it, the limit is {limit}"
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
