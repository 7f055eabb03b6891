//! Words of no-limiting.

use crate::finding::said::{NoLimiting, Unlimited};

pub(super) fn words(s: &NoLimiting) -> (String, String) {
    match s {
        NoLimiting::AsBuilt { part, why, current, cure } => {
            let what = match why {
                Unlimited::Nothing => "nothing but the fuse and the wiring limits its current",
                Unlimited::NextToNothing => "what is in series limits next to nothing",
            };
            let current = current.map_or_else(|| "unknown current".to_string(), |a| a.to_string());
            (
                format!("{part}: {what}, {current} flows as soon as it conducts: it bursts or burns"),
                match cure {
                    Some(each) => format!("put two resistors of at least {each} in series with it"),
                    None => "put a resistor in series that brings the current to what it is made for".into(),
                },
            )
        }
        NoLimiting::OnOnePart { part, limiter, alone, current, extra_low } => {
            let end = if *extra_low { "the lamp dies" } else { "the lamp bursts" };
            let flows = format!("when it shorts, {current} flows and no fuse is sure to end it; {end}");
            if *alone {
                (
                    format!("{limiter} is all that limits {part}: {flows}"),
                    format!("split {limiter} into two in series, so that one that shorts leaves the other"),
                )
            } else {
                (
                    format!("beside {limiter} next to nothing limits {part}: {flows}"),
                    format!("put more resistance in series with {part}, or a fuse in that path that {current} opens"),
                )
            }
        }
    }
}
