//! Words for what cures a finding, as orders without a full stop: "use a part of 2 W 350 V for R1".

use super::finding::count;
use crate::finding::way::{Fitted, Rating, ResistorString};
use crate::finding::{Cure, Way};
use crate::quantity::{Kind, format, format_rated_watts as rated_watts};

/// What was tried for a finding and cures it: its remedy.
pub(crate) fn cure(cure: &Cure) -> String {
    let ways: Vec<String> = cure.ways.iter().map(way).collect();
    let how = if cure.alone { "" } else { ", together with the other changes marked “tried”" };
    format!("{} (tried{how}: this finding goes, no new one comes)", ways.join(", and "))
}

fn way(way: &Way) -> String {
    match way {
        Way::Values(each) => {
            let each: Vec<String> = each.iter().map(|(value, part)| format!("{value} for {part}")).collect();
            format!("use {}", each.join(" and "))
        }
        Way::Resistor { watts, volts, part } => {
            let volts = volts.map_or_else(String::new, |v| format!(" {}", rated_volts(v)));
            format!("use a part of {}{volts} for {part}", rated_watts(*watts))
        }
        Way::PulseResistor { watts, part } => {
            format!("use a part of {} for {part}, made for pulses", rated_watts(*watts))
        }
        Way::Resistors(strings) => {
            let each: Vec<String> = strings.iter().map(series).collect();
            format!("use {}", each.join(", and "))
        }
        Way::Bleeders { each, across } => format!(
            "put two resistors of {} across {across}, side by side, so that one that opens leaves the other",
            fitted(each)
        ),
        Way::Capacitor { class, volts, part } => {
            let class = class.map_or_else(String::new, |c| format!("class {}, ", c.word()));
            format!("use a capacitor of {class}{volts} for {part}")
        }
        Way::X2 { volts, part } => format!("use an X2 capacitor of {volts} a.c. for {part}"),
        Way::Wire { area, part } => format!("use a wire of {area} for {part}"),
        Way::Cord { area } => format!("use a cord of {area}"),
        Way::Rated { kind, rating, part } => format!("use a {kind} rated {rating} for {part}"),
        Way::Fuses { slow, rating, fuses } => {
            format!("use {}{rating} for {}", if *slow { "T " } else { "" }, fuses.join(" and "))
        }
        Way::FuseBreaking { amperes, quick_only, part } => {
            // A slow one may be on sale; it has no sheet of its own, and nobody finds it by the letter.
            let quick = if *quick_only { "; of this rating take F" } else { "" };
            format!("use a fuse of high breaking capacity (H, {amperes} A{quick}) for {part}")
        }
        Way::DiodeAcross { diode, led } => format!("put a diode ({diode}) the other way round across {led}"),
        Way::Rectifier { kind, volts, amperes, part } => format!("use a {kind} of {volts} {amperes} for {part}"),
        Way::ReadOff { ratings, part } => {
            let keys: Vec<&str> = ratings.iter().map(|r| r.0).collect();
            let least: Vec<String> = ratings.iter().map(|r| rating(r.1)).collect();
            format!(
                "read {} off {part} or its data sheet and write it down; it must have at least {}, or be changed for one that has",
                keys.join(" and "),
                least.join(" ")
            )
        }
    }
}

/// A resistor, or several in series in the place of one.
fn series(ResistorString { each, part }: &ResistorString) -> String {
    let words: Vec<String> = each.iter().map(fitted).collect();
    match words.as_slice() {
        [one] => format!("{one} for {part}"),
        [first, rest @ ..] if rest.len() < 3 && rest.iter().all(|r| r == first) => {
            format!("{} {first} in series in the place of {part}", count(words.len()))
        }
        _ => format!("{} in series in the place of {part}", words.join(" and ")),
    }
}

fn fitted(f: &Fitted) -> String {
    let watts = f.watts.map_or_else(String::new, |w| format!(" {}", rated_watts(w)));
    let volts = f.volts.map_or_else(String::new, |v| format!(" {}", rated_volts(v)));
    format!("{}{watts}{volts}", format(f.ohms, Kind::Resistance))
}

fn rating(r: Rating) -> String {
    match r {
        Rating::Watts(w) => rated_watts(w),
        Rating::Volts(v) => rated_volts(v),
        Rating::Amperes(a) => format(a, Kind::Current),
        Rating::Breaking(a) => format!("{a} A"),
    }
}

fn rated_volts(volts: f64) -> String {
    format(volts, Kind::Voltage)
}
