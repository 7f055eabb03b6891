//! Droppers for LEDs: resistances round the one that gives the wanted mean current at nominal supply, or capacitances
//! with the surge resistor and bleeder that belong to them. Must not know what a survey is.

use super::design::{BLEEDERS, Capacitor, Design, Lamp};
use super::neon::{COUNTS, around};
use super::parts;
use super::supply::Feed;
use super::trial::{self, Trial, ohms, resistance_for};
use super::wish::{Dropper, LedCircuit, LedWish, Reader};
use super::{Sized, choose, passes, refused};
use crate::jig::InputError;
use crate::quantity::{Kind, format};
use crate::standard::{Level, bench, discharge, fuse, lamp, preferred};

/// Most LEDs in one string.
const MOST: u32 = 200;

struct Wanted {
    /// Forward volts of the whole string.
    forward: f64,
    /// Mean current.
    current: f64,
    keys: Vec<(&'static str, String, &'static str)>,
}

pub(super) fn size(wish: &LedWish) -> Result<Sized, Vec<InputError>> {
    let mut r = Reader::default();
    let feed = Feed::read(&wish.mains, &mut r);
    let wanted = wanted(wish, &mut r);
    let (Some(feed), Some(w), true) = (feed, wanted, r.errors.is_empty()) else { return Err(r.errors) };
    let (circuit, note) = circuit(wish);
    let (many, words) = match (wish.series, circuit) {
        (1, LedCircuit::AntiparallelLed) => ("two LEDs".to_string(), "the second one the other way round"),
        (1, _) => ("an LED".to_string(), circuit_words(circuit)),
        (n, LedCircuit::AntiparallelLed) => (format!("two strings of {n} LEDs"), "the second one the other way round"),
        (n, _) => (format!("a string of {n} LEDs"), circuit_words(circuit)),
    };
    let behind = if wish.dropper == Dropper::Capacitor { ", behind an X2 capacitor" } else { "" };
    let task =
        format!("{many}, {words}{behind}, at {} mean, on {}", format(w.current, Kind::Current), feed.mains.label);
    let volts = |v| format(v, Kind::Voltage);
    if let Some(why) = feed.refusal() {
        return Ok(refused(task, vec![why]));
    }
    if w.forward >= feed.low_crest() {
        let why = format!(
            "The string takes {}, and at its lowest {} this supply peaks at {}: it stays dark. Use fewer LEDs in a string.",
            volts(w.forward),
            volts(feed.mains.low),
            volts(feed.low_crest())
        );
        return Ok(refused(task, vec![why]));
    }
    let mut notes = feed.notes.clone();
    notes.extend(note);
    let capacitor = wish.dropper == Dropper::Capacitor;
    let each = feed.mains.nominal / w.current / *COUNTS.start() as f64;
    let design = Design {
        feed: &feed,
        name: format!("LED lamp, {}", feed.mains.label),
        lamp: Lamp::Led { keys: w.keys.clone(), series: wish.series, circuit },
        count: *COUNTS.start(),
        each: preferred::nearest_at_least(each, 12).unwrap_or(each),
        rating: parts::largest_rating(capacitor),
        fuse: parts::fuse_sheet().range[0],
        capacitor: None,
        shell: 1,
    };
    let trials = if capacitor { behind_capacitor(&design, &w) } else { behind_resistors(&design, &w, wish.series) };
    Ok(choose(task, trials, notes))
}

fn circuit_words(c: LedCircuit) -> &'static str {
    match c {
        LedCircuit::Bridge => "in a bridge",
        LedCircuit::AntiparallelDiode | LedCircuit::AntiparallelLed => "with a diode the other way round across it",
    }
}

/// The circuit wished for, else a bridge: both half-waves give light, so that the lamp flashes twice a cycle, out of the
/// band that can bring on a seizure, and a dropper capacitor is charged back.
fn circuit(wish: &LedWish) -> (LedCircuit, Option<String>) {
    let note = "A bridge, so that both half-waves give light; name another with --circuit.";
    wish.circuit.map_or_else(|| (LedCircuit::Bridge, Some(note.to_string())), |c| (c, None))
}

fn behind_resistors(design: &Design, w: &Wanted, series: u32) -> Vec<Trial> {
    let have = design.each * design.count as f64;
    let Some(now) = trial::lamp_current(design).filter(|c| c.mean > 0.0) else { return vec![] };
    let total = resistance_for(have, f64::from(series) * bench::led_slope(Some(w.current)).value, now.mean, w.current);
    if total <= 0.0 {
        return vec![];
    }
    around(design, total, |each, count| {
        let have = each * count as f64;
        let asks = format!("{} mean asks for {}", format(w.current, Kind::Current), ohms(total));
        let than = if have >= total * (1.0 - 1e-9) { "no more" } else { "more" };
        vec![format!("At nominal supply {asks}; {} gives {than} than that.", ohms(have))]
    })
}

/// The capacitor that comes nearest to the current, the next smaller and the next larger of E6, in which X2 capacitors are
/// made.
fn behind_capacitor(design: &Design, w: &Wanted) -> Vec<Trial> {
    let Some(exact) = capacitance_for(design, w) else { return vec![] };
    let nearest = preferred::nearest(exact, 6);
    let Some((below, above)) = nearest.and_then(|c| preferred::neighbours(c, 6)) else { return vec![] };
    let all = [nearest, Some(below), Some(above)].into_iter().flatten();
    let made = all.filter(|c| parts::x2(design.feed.mains.nominal, *c).is_some());
    made.filter_map(|farads| with_capacitor(design, w, exact, farads)).collect()
}

/// Farads that give the wanted current: the current is nearly in proportion to them, so a few rounds do.
fn capacitance_for(design: &Design, w: &Wanted) -> Option<f64> {
    const ROUNDS: usize = 12;
    let mains = &design.feed.mains;
    let mut farads = w.current / (std::f64::consts::TAU * mains.hertz * mains.nominal);
    for _ in 0..ROUNDS {
        let now = trial::lamp_current(&dropped(design, farads, design.fuse)?)?;
        if now.mean <= 0.0 {
            return None;
        }
        let better = farads * w.current / now.mean;
        let close = (better / farads - 1.0).abs() < 1e-4;
        farads = better;
        if close {
            break;
        }
    }
    farads.is_finite().then_some(farads)
}

/// Tries a capacitor with the smallest fuse with which the whole passes: the surge resistor has to let the fuse open
/// when the capacitor shorts, and to keep the inrush from opening it when it does not.
fn with_capacitor(design: &Design, w: &Wanted, exact: f64, farads: f64) -> Option<Trial> {
    let asks = format!("{} mean asks for {}", format(w.current, Kind::Current), format(exact, Kind::Capacitance));
    let than = if farads <= exact * (1.0 + 1e-9) { "no more" } else { "more" };
    let sheet = parts::fuse_sheet();
    let mut best: Option<Trial> = None;
    let sizes = fuse::ratings().into_iter().filter(|a| (sheet.range[0]..=sheet.range[1]).contains(a));
    for amperes in sizes.filter(|a| *a >= w.current).take(5) {
        let Some(one) = dropped(design, farads, amperes) else { continue };
        let why = format!("At nominal supply {asks}; {} gives {than} than that.", format(farads, Kind::Capacitance));
        let surge =
            format!("{} limits the inrush, and lets the fuse open at once when the capacitor shorts.", ohms(one.each));
        if let Some(t) = trial::run(one, vec![why, surge]) {
            let done = passes(&t);
            if best.is_none() || done {
                best = Some(t);
            }
            if done {
                break;
            }
        }
    }
    best
}

/// A design with this capacitor and fuse: its bleeder by the strictest rule for the pins, its surge resistor the largest
/// with which the shorted capacitor's current opens the fuse within the time that a resistor stands an overload.
fn dropped<'a>(design: &Design<'a>, farads: f64, amperes: f64) -> Option<Design<'a>> {
    let mains = &design.feed.mains;
    let sheet = parts::fuse_sheet();
    let gates = fuse::fuse_gates(amperes, sheet.speed, Some(sheet.breaking))?;
    let (_, brief) = bench::short_overload_power();
    let quick = gates.gates.iter().filter(|g| g.max_s.is_some_and(|s| s <= brief.value)).map(|g| g.multiple);
    let opens = quick.min_by(f64::total_cmp)? * amperes;
    let x2 = parts::x2(mains.nominal, farads)?;
    let tolerance = parts::resistor_tolerance();
    // No more than a half-power part of the table takes: the capacitor alone passes at most V ω C.
    let watts = parts::largest_rating(true).watts * bench::half_power().value;
    let most = mains.high * std::f64::consts::TAU * mains.hertz * farads * (1.0 + x2.tolerance);
    let by_watts = watts / (1.0 + tolerance) / most.powi(2);
    let each = preferred::nearest_at_most((mains.low / opens / (1.0 + tolerance)).min(by_watts), 12)?;
    let crest = mains.crest(Level::High);
    let most = discharge::plug_pin_rules()
        .iter()
        .map(|r| r.after_s / (farads * (1.0 + x2.tolerance) * (1.0 + tolerance) * (crest / r.limit_v).ln()))
        .min_by(f64::total_cmp)?;
    let bleeder = preferred::nearest_at_most(most / BLEEDERS as f64, 12)?;
    let capacitor = Some(Capacitor { farads, x2, bleeder, rating: parts::largest_rating(false) });
    Some(Design { count: 1, each, fuse: amperes, capacitor, ..design.clone() })
}

fn wanted(wish: &LedWish, r: &mut Reader) -> Option<Wanted> {
    if wish.series == 0 || wish.series > MOST {
        r.wrong("--series", format!("{} LEDs in a string", wish.series), format!("give 1 to {MOST}"));
    }
    let forward = r.quantity("--forward", &wish.forward, Kind::Voltage);
    let current = r.quantity("--current", &wish.current, Kind::Current);
    let most = r.optional("--max-current", wish.max_current.as_ref(), Kind::Current);
    let peak = r.optional("--peak-current", wish.peak_current.as_ref(), Kind::Current);
    r.optional("--reverse", wish.reverse.as_ref(), Kind::Voltage);
    let (forward, current) = (forward?, current?);
    let usual = lamp::led_current();
    if most.is_some_and(|m| m < current) {
        r.wrong("--max-current", "is below the wanted current", "give the larger of the two currents, or leave it out");
    }
    if peak.is_some_and(|p| p < current) {
        r.wrong("--peak-current", "is below the wanted mean current", "look at both on the LED's sheet");
    }
    if most.is_none() && current > usual.value {
        let help = format!(
            "give --max-current, the highest mean current on the LED's sheet: ordinary 5 mm LEDs stand {} ({})",
            format(usual.value, Kind::Current),
            usual.source
        );
        r.wrong("--current", format!("{} is more than an ordinary LED stands", format(current, Kind::Current)), help);
    }
    let table = "of an ordinary 5 mm LED: put in that of yours";
    let or = |key, text: &Option<String>, usual: f64, kind| match text {
        Some(t) => (key, t.clone(), ""),
        None => (key, format(usual, kind), table),
    };
    let mut keys = vec![
        ("forward", wish.forward.clone(), ""),
        or("current", &wish.max_current, usual.value, Kind::Current),
        or("reverse", &wish.reverse, lamp::led_reverse().value, Kind::Voltage),
    ];
    if let Some(text) = &wish.peak_current {
        keys.push(("peak-current", text.clone(), ""));
    }
    Some(Wanted { forward: forward * f64::from(wish.series), current, keys })
}
