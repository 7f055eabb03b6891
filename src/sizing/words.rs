//! What is said of a design: why it is as it is, and why none will do. Must not choose.

use super::design::{BLEEDERS, Design};
use super::parts;
use super::trial::{Trial, ohms};
use crate::finding::{Finding, Signal};
use crate::quantity::{Kind, format};
use crate::standard::colour_code;

/// "two" and so on, as people write small numbers.
fn number(n: usize) -> String {
    const WORDS: [&str; 10] = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"];
    WORDS.get(n).map_or_else(|| n.to_string(), |w| (*w).to_string())
}

/// Parts to buy, with the colours on the resistors.
pub(super) fn parts(d: &Design) -> Vec<String> {
    let mut out = vec![format!("{} of {}", number(d.count), resistor(d.each, d.rating))];
    if d.count > 1 {
        out[0] += ", in series: one that shorts leaves the others to hold the current";
    }
    if d.rating.fusible {
        out[0] += "; fusible and flame-proof, since it takes the mains until the fuse opens when the capacitor shorts";
    }
    if let Some(c) = &d.capacitor {
        out.push(format!(
            "{} X2 {}; across it a bleeder of {} {}",
            format(c.farads, Kind::Capacitance),
            format(c.x2.volts, Kind::Voltage),
            number(BLEEDERS),
            resistor(c.bleeder, c.rating)
        ));
    }
    let sheet = parts::fuse_sheet();
    let pole = if d.feed.both_poles() { "in each pole, for either pin can be live" } else { "in the live pole" };
    out.push(format!(
        "fuse {} {} {} {} A, {pole}: the smallest quick one that carries the current and the inrush ({})",
        sheet.speed,
        format(d.fuse, Kind::Current),
        format(sheet.rated_v, Kind::Voltage),
        sheet.breaking,
        sheet.source
    ));
    out.into_iter().map(sentence).collect()
}

/// One resistor: value, rating, bands.
fn resistor(each: f64, rating: parts::Rating) -> String {
    let mut text =
        format!("{} {} {}", ohms(each), format(rating.watts, Kind::Power), format(rating.volts, Kind::Voltage));
    if let Some(bands) = colour_code::bands(each, parts::resistor_tolerance()) {
        let words: Vec<&str> = bands.iter().map(|b| b.word()).collect();
        text += &format!(" ({})", words.join(" "));
    }
    text
}

/// With a capital and a full stop.
fn sentence(text: String) -> String {
    let mut letters = text.chars();
    letters.next().map(|c| c.to_uppercase().chain(letters).chain(['.']).collect()).unwrap_or_default()
}

/// Why a lamp stays dark.
pub(super) fn dark(d: &Design, margin: f64) -> String {
    let crest = d.feed.low_crest();
    format!(
        "At its lowest {} this supply peaks at {}; the worst lamp strikes at {}: it may stay dark.",
        format(d.feed.mains.low, Kind::Voltage),
        format(crest, Kind::Voltage),
        format(crest / margin, Kind::Voltage)
    )
}

/// Why none of the trials will do.
pub(super) fn why_none(trials: &[Trial]) -> Vec<String> {
    let mut out: Vec<String> = vec![];
    let mut say = |text: String| {
        if !out.contains(&text) {
            out.push(text);
        }
    };
    for t in trials {
        if let Some(why) = &t.blocked {
            say(why.clone());
        }
        if !t.complete {
            say("Some conditions could not be solved, and what is not solved is not passed.".to_string());
        }
    }
    let grave = |f: &&Finding| matches!(f.signal, Signal::Danger | Signal::Warning);
    if let Some(nearest) = trials.first() {
        for f in nearest.candidate.findings.iter().filter(grave) {
            say(format!("In the nearest design {}: {}.", f.check, f.message.trim_end_matches('.')));
        }
    }
    if out.is_empty() {
        out.push("No resistor of the tables stands what this dropper would have to take.".to_string());
    }
    out
}
