//! A glow lamp behind a string of resistors, direct or with a diode.

use super::design::{bands, box_for, head, string, tail};
use super::parts::{self, Rating};
use super::supply::Feed;
use super::trial::{self, Design};
use super::wish::{NeonWish, Reader};
use super::{Sized, choose, refused};
use crate::circuit::{Branch, Circuit, Device, Solver};
use crate::jig::Fault;
use crate::quantity::{Kind, format};
use crate::standard;

/// The lamp, volts and amperes.
struct Lamp {
    strike_max: f64,
    maintain: f64,
    current: f64,
    slope: f64,
    words: String,
    /// Keys of the part.
    keys: Vec<(&'static str, String)>,
    life: Option<f64>,
}

fn lamp(wish: &NeonWish, r: &mut Reader) -> Option<Lamp> {
    let row = match &wish.lamp_type {
        Some(name) => Some(r.lamp(name)?),
        None => None,
    };
    let mut keys = vec![];
    if let Some(name) = &wish.lamp_type {
        keys.push(("type", name.clone()));
    }
    let mut value = |option: &'static str, key: &'static str, text: &Option<String>, kind, table: Option<f64>| {
        if let Some(t) = text {
            keys.push((key, t.clone()));
        }
        match (text, table) {
            (Some(t), _) => r.quantity(option, t, kind),
            (None, Some(v)) => Some(v),
            (None, None) => r.needed(option, None, kind, "name a row of the lamps table with --type"),
        }
    };
    let strike = value("--strike", "strike", &wish.strike, Kind::Voltage, row.as_ref().map(|x| x.strike));
    let table_max = row.as_ref().map(|x| x.strike_max).or(strike);
    let strike_max = value("--strike-max", "strike-max", &wish.strike_max, Kind::Voltage, table_max);
    let maintain = value("--maintain", "maintain", &wish.maintain, Kind::Voltage, row.as_ref().map(|x| x.maintain));
    let current = value("--current", "current", &wish.current, Kind::Current, row.as_ref().map(|x| x.current));
    if let Some(m) = &wish.max_current {
        keys.push(("max-current", m.clone()));
        r.quantity("--max-current", m, Kind::Current);
    }
    let (strike, strike_max, maintain, current) = (strike?, strike_max?, maintain?, current?);
    if maintain >= strike {
        r.wrong("--maintain", "a lamp maintains below the volts it strikes at", "give --maintain below --strike");
        return None;
    }
    if strike_max < strike {
        r.wrong(
            "--strike-max",
            "the worst lamp strikes later than the usual one",
            "give --strike-max at or above --strike",
        );
        return None;
    }
    let slope = row.as_ref().and_then(|x| x.slope).unwrap_or_else(|| standard::bench::neon_slope().value);
    let words = wish.lamp_type.clone().unwrap_or_else(|| format!("for {}", format(current, Kind::Current)));
    let life = wish.lamp_type.as_ref().and_then(|t| standard::lamp::rated_life(t)).map(|l| l.value);
    Some(Lamp { strike_max: strike_max.max(strike), maintain, current, slope, words, keys, life })
}

/// Lamp current r.m.s. behind `ohms` at a factor of the nominal supply.
fn rms(feed: &Feed, lamp: &Lamp, ohms: f64, diode: bool, scale: f64) -> Option<f64> {
    let b = |a, b, device| Branch { a, b, device };
    let source = Device::Source { dc: 0.0, sine: std::f64::consts::SQRT_2 * feed.mains.nominal, phase: 0.0 };
    let neon = Device::Neon {
        strike: lamp.strike_max,
        maintain: lamp.maintain,
        lit_ohms: lamp.slope,
        off_ohms: standard::bench::neon_dark().value,
        extinction: 0.0,
    };
    let [f, s, leak] = standard::bench::diode();
    let rectifier = Device::Diode { forward: f.value, on_ohms: s.value, off_ohms: leak.value, breakdown: None };
    let mut branches = vec![b(1, 0, source), b(1, 2, Device::Resistor { ohms }), b(3, 0, neon)];
    branches.push(b(2, 3, if diode { rectifier } else { Device::Resistor { ohms: 1e-3 } }));
    let circuit = Circuit { nodes: 4, hertz: feed.mains.hertz, branches, couplings: vec![] };
    Some(Solver::new(&circuit).ok()?.steady(scale).ok()?.branches[2].i_rms)
}

pub(super) fn size(wish: &NeonWish) -> Result<Sized, Vec<Fault>> {
    let mut r = Reader::default();
    let feed = Feed::read(&wish.mains, &mut r);
    let lamp = lamp(wish, &mut r);
    let (Some(feed), Some(lamp), true) = (feed, lamp, r.faults.is_empty()) else { return Err(r.faults) };
    let with = if wish.with_diode { " behind a diode" } else { "" };
    let task = format!("a neon lamp {}{with} on {}", lamp.words, feed.mains.label);
    if let Some(why) = feed.refusal() {
        return Ok(refused(task, vec![why]));
    }
    if lamp.strike_max >= feed.low_crest() {
        let (strike, crest) = (format(lamp.strike_max, Kind::Voltage), format(feed.low_crest(), Kind::Voltage));
        return Ok(refused(
            task,
            vec![format!("The worst lamp strikes at {strike}; low mains has a crest of {crest}: it would stay dark.")],
        ));
    }
    // The whole resistance at which the lamp carries its design current at nominal mains (the current falls with it).
    let (mut low, mut high) = (10.0f64, 1e9f64);
    for _ in 0..60 {
        let mid = (low * high).sqrt();
        match rms(&feed, &lamp, mid, wish.with_diode, 1.0) {
            Some(i) if i > lamp.current => low = mid,
            _ => high = mid,
        }
    }
    let wanted = (low * high).sqrt();
    let mut trials = vec![];
    for count in [2usize, 3, 4] {
        for ohms in values(wanted / count as f64) {
            if let Some(t) = design(&feed, &lamp, wish.with_diode, count, ohms, wanted).and_then(trial::run) {
                trials.push(t);
            }
        }
        // More in series only where two are not enough.
        if trials.iter().any(super::passes) && trials.len() >= 3 {
            break;
        }
    }
    Ok(choose(task, trials, feed.notes.clone()))
}

/// Preferred values about the wanted one, the likeliest first: the next at or above in E12 and in E24, the next below.
fn values(wanted: f64) -> Vec<f64> {
    let pick = [
        standard::preferred::nearest_at_least(wanted, 12),
        standard::preferred::nearest_at_least(wanted, 24),
        standard::preferred::nearest_at_most(wanted, 24),
    ];
    let mut out = vec![];
    for v in pick.into_iter().flatten() {
        if !out.contains(&v) {
            out.push(v);
        }
    }
    out
}

fn design(feed: &Feed, lamp: &Lamp, diode: bool, count: usize, ohms: f64, wanted: f64) -> Option<Design> {
    let n = count as f64;
    let total = ohms * n;
    let high = feed.mains.high / feed.mains.nominal;
    let i = rms(feed, lamp, total, diode, high)?;
    // In use a resistor is worked at half its rating; one that shorts, or the lamp, must not push the others over it.
    let tolerance = 1.05;
    let normal = i * i * ohms * tolerance / standard::bench::half_power().value;
    let one_short = rms(feed, lamp, ohms * (n - 1.0), diode, high)?;
    let lamp_short = feed.mains.high / total;
    let watts = normal.max(one_short * one_short * ohms * tolerance).max(lamp_short * lamp_short * ohms * tolerance);
    // Its element may see all of the mains when another joint opens.
    let rating: Rating = parts::rating(watts, feed.mains.high, ohms)?;
    let fuse = parts::fuse(i)?;
    let size = box_for(i * i * total);
    let name = format!("Neon lamp {}, {}", lamp.words, feed.mains.label);
    let note = format!("{name}: sized on paper; check the finished file, and read the cautions, before building.");
    let (t, [from, back]) = head(feed, &name, "strobe-lamp", &note, size, fuse);
    let end = if diode { "d" } else { "a" };
    let mut t = string(t, 1, count, ohms, rating, from, end);
    if diode {
        let (reverse, mean, surge) = parts::rectifier(feed.mains.high * std::f64::consts::SQRT_2)?;
        t = t
            .section("part.D1")
            .key("kind", "diode")
            .list("across", &["d", "a"])
            .key("voltage", &format(reverse, Kind::Voltage))
            .key("current", &format(mean, Kind::Current))
            .key("surge", &format(surge, Kind::Current));
    }
    t = t.section("part.LP1").key("kind", "neon-lamp").list("across", &["a", back]);
    for (key, value) in &lamp.keys {
        t = t.key(key, value);
    }
    let text = tail(feed, t).finish();
    let mut why = vec![format!(
        "{} in all would give the design current {}; {count} × {} is the nearest preferred string{}.",
        format(wanted, Kind::Resistance),
        format(lamp.current, Kind::Current),
        format(ohms, Kind::Resistance),
        if total >= wanted { " above it" } else { " below it" }
    )];
    if let Some(b) = bands(ohms) {
        why.push(format!("Each resistor is marked {b}."));
    }
    why.push(format!(
        "{count} in series, so that one that shorts leaves a dropper; {} and {} each, so that neither that nor a shorted \
         lamp works one beyond its rating.",
        format(rating.watts, Kind::Power),
        format(rating.volts, Kind::Voltage)
    ));
    if let (Some(life), Some(now)) = (lamp.life, rms(feed, lamp, total, diode, 1.0)) {
        let years = life / 3600.0 * (now / lamp.current).powf(standard::lamp::life_exponent().value);
        why.push(format!(
            "At {} the lamp lasts about {:.0} h ({}).",
            format(now, Kind::Current),
            years,
            standard::lamp::life_exponent().source
        ));
    }
    Some(Design {
        text,
        file: feed.file.clone(),
        string: (1..=count).map(|k| format!("R{k}")).collect(),
        lamp: "LP1".into(),
        each_ohm: ohms,
        each_power_w: rating.watts,
        each_voltage_v: rating.volts,
        why,
        extras: vec![],
    })
}
