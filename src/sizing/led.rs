//! A string of LEDs behind resistors (antiparallel diode, antiparallel string, bridge) or behind an X2 capacitor.

use super::design::{bands, box_for, head, string, tail};
use super::parts;
use super::supply::Feed;
use super::trial::{self, Design};
use super::wish::{Circuit as Form, Dropper, LedWish, Reader};
use super::{Sized, choose, refused};
use crate::circuit::{Branch, Circuit, Device, Quantities, Solver};
use crate::jig::Fault;
use crate::jig::write::Text;
use crate::judgement::Extra;
use crate::quantity::{Kind, format};
use crate::standard;

/// The string, read.
struct Lamp {
    forward: f64,
    series: u32,
    wanted: f64,
    form: Form,
    keys: Vec<(&'static str, String)>,
}

fn lamp(wish: &LedWish, r: &mut Reader) -> Option<Lamp> {
    let forward = r.quantity("--forward", &wish.forward, Kind::Voltage);
    let wanted = r.quantity("--current", &wish.current, Kind::Current);
    let most = r.optional("--max-current", wish.max_current.as_ref(), Kind::Current);
    r.optional("--peak-current", wish.peak_current.as_ref(), Kind::Current);
    let reverse = r.optional("--reverse", wish.reverse.as_ref(), Kind::Voltage);
    if wish.series == 0 {
        r.wrong("--series", "a string has at least one LED", "write e.g. --series 3");
        return None;
    }
    let (forward, wanted) = (forward?, wanted?);
    let most = most.unwrap_or_else(|| standard::lamp::led_current().value.max(wanted));
    if most < wanted {
        r.wrong(
            "--max-current",
            "is below the wanted --current",
            "ask for less current, or name an LED that carries more",
        );
        return None;
    }
    // A bridge uses both half-waves: twice the light for the heat, and flashes above the band that brings on seizures.
    let form = wish.circuit.unwrap_or(Form::Bridge);
    let reverse = reverse.unwrap_or_else(|| standard::lamp::led_reverse().value);
    let mut keys = vec![("forward", wish.forward.clone()), ("current", format(most, Kind::Current))];
    keys.push(("reverse", format(reverse, Kind::Voltage)));
    if let Some(peak) = &wish.peak_current {
        keys.push(("peak-current", peak.clone()));
    }
    Some(Lamp { forward, series: wish.series, wanted, form, keys })
}

/// What limits the current: resistors of so many ohms in all, or a capacitor with a surge resistor.
#[derive(Clone, Copy)]
enum Limiter {
    Ohms(f64),
    Farads(f64, f64),
}

/// Quantities of (the source, the string) at a factor of the nominal supply.
fn solve(feed: &Feed, lamp: &Lamp, limiter: Limiter, scale: f64) -> Option<(Quantities, Quantities)> {
    let b = |a, b, device| Branch { a, b, device };
    let source = Device::Source { dc: 0.0, sine: std::f64::consts::SQRT_2 * feed.mains.nominal, phase: 0.0 };
    let [slope, leak] = standard::bench::led();
    let n = f64::from(lamp.series);
    let diode =
        |forward: f64, on: f64, off: f64| Device::Diode { forward, on_ohms: on, off_ohms: off, breakdown: None };
    let led = diode(lamp.forward * n, slope.value * n, leak.value);
    let [f, s, l] = standard::bench::diode();
    let rectifier = diode(f.value, s.value, l.value);
    let mut branches = vec![b(1, 0, source)];
    match limiter {
        Limiter::Ohms(ohms) => branches.push(b(1, 2, Device::Resistor { ohms })),
        Limiter::Farads(farads, ohms) => {
            branches.push(b(1, 5, Device::Resistor { ohms }));
            branches.push(b(5, 2, Device::Capacitor { farads }));
        }
    }
    let led_at = branches.len();
    match lamp.form {
        Form::AntiparallelDiode => branches.extend([b(2, 0, led), b(0, 2, rectifier)]),
        Form::AntiparallelLed => branches.extend([b(2, 0, led), b(0, 2, led)]),
        Form::Bridge => {
            branches.push(b(3, 4, led));
            branches.extend([b(2, 3, rectifier), b(0, 3, rectifier), b(4, 2, rectifier), b(4, 0, rectifier)]);
        }
    }
    // Nodes a form does not use hang on the reference.
    branches.extend((2..6).map(|k| b(k, 0, Device::Resistor { ohms: 1e12 })));
    let circuit = Circuit { nodes: 6, hertz: feed.mains.hertz, branches, couplings: vec![] };
    let s = Solver::new(&circuit).ok()?.steady(scale).ok()?;
    Some((s.branches[0], s.branches[led_at]))
}

pub(super) fn size(wish: &LedWish) -> Result<Sized, Vec<Fault>> {
    let mut r = Reader::default();
    let feed = Feed::read(&wish.mains, &mut r);
    let lamp = lamp(wish, &mut r);
    let (Some(feed), Some(lamp), true) = (feed, lamp, r.faults.is_empty()) else { return Err(r.faults) };
    let what = match lamp.form {
        Form::AntiparallelDiode => "with a diode the other way round",
        Form::AntiparallelLed => "with a second string the other way round",
        Form::Bridge => "in a bridge",
    };
    let leds = if lamp.series == 1 { "an LED".to_string() } else { format!("{} LEDs", lamp.series) };
    let by = if wish.dropper == Dropper::Capacitor { " behind an X2 capacitor" } else { "" };
    let task = format!("{leds} {what}{by}, {} mean, on {}", format(lamp.wanted, Kind::Current), feed.mains.label);
    if let Some(why) = feed.refusal() {
        return Ok(refused(task, vec![why]));
    }
    let string_volts = lamp.forward * f64::from(lamp.series);
    // The string needs room under the crest of low mains, or the current hangs on a few volts of it.
    if string_volts > 0.7 * feed.low_crest() {
        let (v, crest) = (format(string_volts, Kind::Voltage), format(feed.low_crest(), Kind::Voltage));
        return Ok(refused(
            task,
            vec![format!(
                "The string takes {v} of the {crest} that low mains reaches: too little is left to hold the current."
            )],
        ));
    }
    let trials = match wish.dropper {
        Dropper::Resistor => resistive(&feed, &lamp),
        Dropper::Capacitor => capacitive(&feed, &lamp),
    };
    let mut why = feed.notes.clone();
    if wish.circuit.is_none() {
        why.push(format!("Taken {what}: name another circuit with --circuit."));
    }
    if trials.is_empty() && wish.dropper == Dropper::Resistor {
        why.push("A capacitor (--dropper capacitor) drops the volts without the heat.".into());
    }
    Ok(choose(task, trials, why))
}

fn resistive(feed: &Feed, lamp: &Lamp) -> Vec<trial::Trial> {
    let (mut low, mut high) = (1.0f64, 1e9f64);
    for _ in 0..60 {
        let mid = (low * high).sqrt();
        match solve(feed, lamp, Limiter::Ohms(mid), 1.0) {
            Some((_, led)) if led.i_forward_mean > lamp.wanted => low = mid,
            _ => high = mid,
        }
    }
    let wanted = (low * high).sqrt();
    let mut trials = vec![];
    for count in [2usize, 3, 4, 6] {
        let each = wanted / count as f64;
        let mut values: Vec<f64> = [
            standard::preferred::nearest_at_least(each, 12),
            standard::preferred::nearest_at_least(each, 24),
            standard::preferred::nearest_at_most(each, 24),
        ]
        .into_iter()
        .flatten()
        .collect();
        values.dedup();
        // The likeliest first: nearest to the wanted current, a little over counting as much as twice that under.
        let far = |ohms: &f64| {
            let i = solve(feed, lamp, Limiter::Ohms(ohms * count as f64), 1.0).map_or(0.0, |x| x.1.i_forward_mean);
            let off = (i / lamp.wanted).ln();
            if off > 0.0 { 2.0 * off } else { -off }
        };
        values.sort_by(|a, b| far(a).total_cmp(&far(b)));
        for ohms in values {
            trials.extend(resistor_design(feed, lamp, count, ohms, wanted).and_then(trial::run));
        }
        if trials.iter().any(super::passes) && trials.len() >= 3 {
            break;
        }
    }
    trials
}

fn resistor_design(feed: &Feed, lamp: &Lamp, count: usize, ohms: f64, wanted: f64) -> Option<Design> {
    let n = count as f64;
    let total = ohms * n;
    let high = feed.mains.high / feed.mains.nominal;
    let current = |ohms: f64| Some(solve(feed, lamp, Limiter::Ohms(ohms), high)?.0.i_rms);
    let tolerance = 1.05;
    let i = current(total)?;
    let normal = i * i * ohms * tolerance / standard::bench::half_power().value;
    let short = current(ohms * (n - 1.0))?.max(feed.mains.high / total);
    let rating = parts::rating(normal.max(short * short * ohms * tolerance), feed.mains.high, ohms)?;
    let fuse = parts::fuse(i)?;
    let size = box_for(i * i * total);
    let name = title(feed, lamp);
    let (t, [from, back]) = head(feed, &name, "led-strobe", &note(&name), size, fuse);
    let t = string(t, 1, count, ohms, rating, from, "p");
    let text = tail(feed, leds(feed, lamp, t, back)?).finish();
    let mut why = vec![format!(
        "{} in all would give {} mean; {count} × {} is a preferred string near it.",
        format(wanted, Kind::Resistance),
        format(lamp.wanted, Kind::Current),
        format(ohms, Kind::Resistance)
    )];
    why.extend(bands(ohms).map(|b| format!("Each resistor is marked {b}.")));
    why.push(format!(
        "{} and {} each: at half the rating in use, and inside it when another one or the lamp shorts.",
        format(rating.watts, Kind::Power),
        format(rating.volts, Kind::Voltage)
    ));
    Some(Design {
        text,
        file: feed.file.clone(),
        string: (1..=count).map(|k| format!("R{k}")).collect(),
        lamp: "LED1".into(),
        each_ohm: ohms,
        each_power_w: rating.watts,
        each_voltage_v: rating.volts,
        why,
        extras: vec![],
    })
}

fn title(feed: &Feed, lamp: &Lamp) -> String {
    let leds = if lamp.series == 1 { "One LED".to_string() } else { format!("{} LEDs", lamp.series) };
    format!("{leds}, {}", feed.mains.label)
}

fn note(name: &str) -> String {
    format!("{name}: sized on paper; check the finished file, and read the cautions, before building.")
}

/// The string with what keeps its reverse volts off.
fn leds(feed: &Feed, lamp: &Lamp, mut t: Text, back: &str) -> Option<Text> {
    let one = |t: Text, name: &str, ends: [&str; 2]| {
        let mut t = t.section(&format!("part.{name}")).key("kind", "led").list("across", &ends);
        for (key, value) in &lamp.keys {
            t = t.key(key, value);
        }
        t.count("series", lamp.series)
    };
    let (reverse, mean, surge) = parts::rectifier(feed.mains.high * std::f64::consts::SQRT_2)?;
    let ratings = |t: Text| {
        t.key("voltage", &format(reverse, Kind::Voltage))
            .key("current", &format(mean, Kind::Current))
            .key("surge", &format(surge, Kind::Current))
    };
    match lamp.form {
        Form::AntiparallelDiode => {
            t = one(t, "LED1", ["p", back]);
            t = ratings(t.section("part.D1").key("kind", "diode").list("across", &[back, "p"]));
        }
        Form::AntiparallelLed => t = one(one(t, "LED1", ["p", back]), "LED2", [back, "p"]),
        Form::Bridge => {
            let bridge = t.section("part.BR1").key("kind", "bridge").list("ac", &["p", back]);
            t = one(ratings(bridge.key("plus", "x").key("minus", "y")), "LED1", ["x", "y"]);
        }
    }
    Some(t)
}

fn capacitive(feed: &Feed, lamp: &Lamp) -> Vec<trial::Trial> {
    // The surge resistor keeps the crest of high mains to about an ampere at switch-on.
    let Some(surge) = standard::preferred::nearest_at_least(feed.mains.high * std::f64::consts::SQRT_2, 12) else {
        return vec![];
    };
    let mut stock: Vec<(f64, f64)> = parts::x2_values()
        .into_iter()
        .filter_map(|c| Some((c, solve(feed, lamp, Limiter::Farads(c, surge), 1.0)?.1.i_forward_mean)))
        .collect();
    // The likeliest first: nearest below the wanted current, then by distance.
    let far = |i: f64| (i / lamp.wanted).ln().abs() + if i > lamp.wanted { 0.3 } else { 0.0 };
    stock.sort_by(|a, b| far(a.1).total_cmp(&far(b.1)));
    let near = stock.into_iter().filter(|(_, i)| *i < 2.0 * lamp.wanted && *i > 0.3 * lamp.wanted).take(3);
    near.filter_map(|(c, _)| capacitor_design(feed, lamp, c, surge).and_then(trial::run)).collect()
}

fn capacitor_design(feed: &Feed, lamp: &Lamp, farads: f64, surge: f64) -> Option<Design> {
    let high = feed.mains.high / feed.mains.nominal;
    let (source, _) = solve(feed, lamp, Limiter::Farads(farads, surge), high)?;
    let i = source.i_rms * 1.1;
    let crest = feed.mains.high * std::f64::consts::SQRT_2;
    let volts = parts::x2_volts(feed.mains.nominal)?;
    let surge_rating =
        parts::rating((i * i * surge / standard::bench::half_power().value).max(1.0), feed.mains.high, surge)?;
    // The bleeder: the harsher rule of the two, the capacitor at its upper end, the resistors too; two in series.
    let rules = standard::discharge::plug_pin_rules();
    let slowest = |r: &standard::discharge::PinRule| r.after_s / (1.1 * farads * (crest / r.limit_v).ln()) / 1.05;
    let bleeder = rules.iter().map(slowest).fold(f64::INFINITY, f64::min).min(2e6);
    let half = standard::preferred::nearest_at_most(bleeder / 2.0, 12)?;
    let half_watts = feed.mains.high * feed.mains.high / half * 1.05;
    let half_rating = parts::rating(half_watts, feed.mains.high, half)?;
    // A fuse that carries the first charge: twice the least rating for the current.
    let fuse = parts::fuse(i.max(0.15))?;
    let name = title(feed, lamp);
    let size = box_for(i * i * surge + lamp.wanted * lamp.forward * f64::from(lamp.series));
    let (t, [from, back]) = head(feed, &name, "led-strobe", &note(&name), size, fuse);
    let t = t
        .comment("Surge resistor: fusible, so that it opens when the capacitor shorts.")
        .section("part.R1")
        .key("kind", "resistor")
        .list("across", &[from, "m"])
        .key("resistance", &format(surge, Kind::Resistance))
        .key("tolerance", "5 %")
        .key("power", &format(surge_rating.watts, Kind::Power))
        .key("voltage", &format(surge_rating.volts, Kind::Voltage))
        .flag("flameproof", true)
        .flag("fusible", true)
        .section("part.C1")
        .key("kind", "capacitor")
        .list("across", &["m", "p"])
        .key("capacitance", &format(farads, Kind::Capacitance))
        .key("tolerance", "10 %")
        .key("voltage", &format(volts, Kind::Voltage))
        .key("class", "X2")
        .comment("Bleeder, in two so that one that shorts is told apart from both.");
    let t = string(t, 2, 2, half, half_rating, "m", "p");
    let text = tail(feed, leds(feed, lamp, t, back)?).finish();
    let mut why = vec![format!(
        "{} class X2 {} is the stocked value near {} mean; {} as surge resistor holds switch-on to {}.",
        format(farads, Kind::Capacitance),
        format(volts, Kind::Voltage),
        format(lamp.wanted, Kind::Current),
        format(surge, Kind::Resistance),
        format(crest / surge, Kind::Current)
    )];
    why.push(format!(
        "2 × {} across it leave less than {} on the pins {} s after the plug is pulled.",
        format(half, Kind::Resistance),
        format(rules[1].limit_v, Kind::Voltage),
        rules[1].after_s
    ));
    why.extend(bands(surge).map(|b| format!("The surge resistor is marked {b}.")));
    why.extend(bands(half).map(|b| format!("Each bleeder resistor is marked {b}.")));
    let extra = |key, label, value, unit| Extra { key, label, value, unit };
    Some(Design {
        text,
        file: feed.file.clone(),
        string: vec!["R1".into()],
        lamp: "LED1".into(),
        each_ohm: surge,
        each_power_w: surge_rating.watts,
        each_voltage_v: surge_rating.volts,
        why,
        extras: vec![
            extra("capacitance_f", "dropper capacitor", farads, "F"),
            extra("capacitor_voltage_v", "its rated volts", volts, "V"),
            extra("bleeder_ohm", "bleeder (two in series)", 2.0 * half, "Ω"),
        ],
    })
}
