//! Words of smoulder.

use super::Known;
use super::finding::{NONE_NEEDED, minutes};
use crate::finding::said::{Smoulder, SmoulderCure, Smouldering};

pub(super) fn words(known: &Known, s: &Smoulder) -> (String, String) {
    let Smoulder { item, at, value, limit, fuse, ends, fate, cure } = s;
    let why = match (ends, fuse) {
        (Some((device, within)), _) => {
            format!("{} may take up to {} to open at that", known.device(*device), minutes(within))
        }
        (None, Some((fuse, current))) => {
            format!("{fuse} carries {current} then, above its rating but below the current at which it is sure to open")
        }
        (None, None) => match cure {
            SmoulderCure::TooLarge { fuse, rating, .. } => format!("{fuse} of {rating} is too large to open at that"),
            SmoulderCure::NoneNeeded
            | SmoulderCure::SmallerFuse { .. }
            | SmoulderCure::SitsOnIt { .. }
            | SmoulderCure::FuseAt { .. } => "no fuse sees enough to open".into(),
        },
    };
    let end = match fate {
        Smouldering::OpensAsMade => "it opens, as a fusible part does",
        Smouldering::FuseOpensLate => "it overheats until the fuse gives way, which may take minutes or an hour",
        Smouldering::UntilItOpens => "it overheats until then",
        Smouldering::Roasts => "it roasts without flame until it fails",
        Smouldering::RunsHot => "it runs hot and ages",
        Smouldering::Burns => "it smoulders until something burns",
    };
    let remedy = match cure {
        SmoulderCure::NoneNeeded => NONE_NEEDED.into(),
        SmoulderCure::SmallerFuse { fuse, part } => {
            format!("a smaller {fuse}, if normal use allows it; else a thermal fuse on {part}")
        }
        SmoulderCure::SitsOnIt { link, part } => {
            format!("if {link} sits on {part}, write on = \"{part}\" there: it ends this; else move it there")
        }
        SmoulderCure::TooLarge { fuse, value, part, .. } => {
            format!("a smaller {fuse}, sure to open at {value}, if normal use allows it; else a thermal fuse on {part}")
        }
        SmoulderCure::FuseAt { value, part } => {
            format!("a fuse in its path that opens at {value}, or a thermal fuse on {part}")
        }
    };
    let fault = known.fault(*at);
    (format!("With one fault ({fault}) {item} sits at {value}, made for {limit}, and {why}: {end}"), remedy)
}
