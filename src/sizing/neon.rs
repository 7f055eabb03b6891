//! Droppers for a glow lamp: resistances round the one that gives the design current at nominal supply. Must not know
//! what a survey is.

use super::design::{Design, Lamp};
use super::parts;
use super::supply::Feed;
use super::trial::{self, Trial, ohms, resistance_for};
use super::wish::{NeonWish, Reader};
use super::{Sized, choose, refused};
use crate::jig::InputError;
use crate::quantity::{Kind, format};
use crate::standard::{self, LampRow, bench, lamp, preferred};

/// Fewest and most resistors in series. One alone would leave the lamp on the bare mains when it shorts (design practice,
/// resistors.toml split_for_single_fault).
pub(super) const COUNTS: std::ops::RangeInclusive<usize> = 2..=8;

struct Wanted {
    row: LampRow,
    keys: Vec<(&'static str, String)>,
    /// Words for the lamp.
    words: String,
}

pub(super) fn size(wish: &NeonWish) -> Result<Sized, Vec<InputError>> {
    let mut r = Reader::default();
    let feed = Feed::read(&wish.mains, &mut r);
    let wanted = wanted(wish, &mut r);
    let (Some(feed), Some(w), true) = (feed, wanted, r.errors.is_empty()) else { return Err(r.errors) };
    let behind = if wish.with_diode { " behind a diode" } else { "" };
    let task = format!("{}{behind} on {}", w.words, feed.mains.label);
    if let Some(why) = feed.refusal() {
        return Ok(refused(task, vec![why]));
    }
    let crest = feed.low_crest();
    let strike = w.row.strike_max.max(w.row.strike);
    if crest < strike {
        let volts = |v| format(v, Kind::Voltage);
        return Ok(refused(
            task,
            vec![format!(
                "At its lowest {} this supply peaks at {}; the worst lamp strikes at {}: it may stay dark.",
                volts(feed.mains.low),
                volts(crest),
                volts(strike)
            )],
        ));
    }
    let name = format!("Neon lamp, {}", feed.mains.label);
    let lamp = Lamp::Neon { keys: w.keys.clone(), diode: wish.with_diode };
    let start = feed.mains.nominal / w.row.current;
    let design = Design {
        feed: &feed,
        name,
        lamp,
        count: *COUNTS.start(),
        each: round(start / *COUNTS.start() as f64, 12),
        rating: parts::largest_rating(false),
        fuse: parts::fuse_sheet().range[0],
        capacitor: None,
        shell: 0,
    };
    let slope = w.row.slope.unwrap_or_else(|| bench::neon_slope().value);
    let have = design.each * design.count as f64;
    let Some(now) = trial::lamp_current(&design) else {
        return Ok(refused(task, vec!["The circuit could not be solved.".into()]));
    };
    let total = resistance_for(have, slope, now.rms, w.row.current);
    // What is left to drop beside a resistor in the lamp's base has to be more than that resistor's own tolerance.
    if total <= slope * parts::resistor_tolerance() {
        let why = format!(
            "The lamp's own resistor of {} holds it at its design current of {} on this supply: it needs no dropper, and goes \
             into a lamp holder.",
            ohms(slope - bench::neon_slope().value),
            format(w.row.current, Kind::Current)
        );
        return Ok(refused(task, vec![why]));
    }
    let trials = around(&design, total, |each, count| {
        let mut why = vec![reason(total, each * count as f64, w.row.current)];
        why.extend(life(wish, w.row.current, now.rms * (have + slope) / (each * count as f64 + slope)));
        why
    });
    Ok(choose(task, trials, feed.notes.clone()))
}

fn reason(total: f64, have: f64, current: f64) -> String {
    let wanted = format!("the design current of {} r.m.s. asks for {}", format(current, Kind::Current), ohms(total));
    if have >= total * (1.0 - 1e-9) {
        format!("At nominal supply {wanted}; {} gives no more than it.", ohms(have))
    } else {
        format!("At nominal supply {wanted}; {} gives more: brighter, and the lamp wears out sooner.", ohms(have))
    }
}

/// Expected life, for a lamp whose life is printed.
fn life(wish: &NeonWish, design: f64, current: f64) -> Option<String> {
    let rated = lamp::rated_life(wish.lamp_type.as_ref()?)?;
    let share = if wish.with_diode { lamp::life_share_on_dc().value } else { 1.0 };
    let seconds = rated.value * share * (current / design).powf(lamp::life_exponent().value);
    Some(format!(
        "About {:.0} h of life at {} r.m.s. (rated {:.0} h at {}).",
        // No more digits than such a law is good for.
        (seconds / 3.6e6 * 10.0).round() * 100.0,
        format(current, Kind::Current),
        rated.value / 3600.0,
        format(design, Kind::Current)
    ))
}

fn round(ohms: f64, steps: u32) -> f64 {
    preferred::nearest_at_least(ohms, steps).unwrap_or(ohms)
}

/// An E12 string whose current is this far below the wanted one gives way to a nearer one of E24.
const FAR: f64 = 0.9;

/// Tries strings round a resistance, in order of preference: the nearest of E12 that gives no more than the current
/// wanted (of E24 where E12 has none near), the next higher, one resistor more, the next lower.
pub(super) fn around(design: &Design, total: f64, why: impl Fn(f64, usize) -> Vec<String>) -> Vec<Trial> {
    let attempt = |each: f64, count: usize| trial::run(Design { each, count, ..design.clone() }, why(each, count));
    let near = |part: f64| {
        let (coarse, fine) = (preferred::nearest_at_least(part, 12)?, preferred::nearest_at_least(part, 24)?);
        Some(if part / coarse < FAR { fine } else { coarse })
    };
    // As few resistors as the tables have a rating for.
    let first = COUNTS.into_iter().find_map(|n| {
        let each = near(total / n as f64)?;
        attempt(each, n).map(|t| (n, each, t))
    });
    let Some((n, each, best)) = first else { return vec![] };
    let mut out = vec![best];
    let (below, above) = preferred::neighbours(each, 12).unwrap_or((each, each));
    let more = near(total / (n + 1) as f64);
    let others = [Some((above, n)), more.map(|e| (e, n + 1)), Some((below, n))];
    out.extend(others.into_iter().flatten().filter_map(|(each, count)| attempt(each, count)));
    out
}

fn wanted(wish: &NeonWish, r: &mut Reader) -> Option<Wanted> {
    let row = wish.lamp_type.as_ref().map(|t| r.lamp(t));
    if let Some(None) = row {
        return None;
    }
    let row = row.flatten();
    let unless = "name a row of the lamps table: --type A1A";
    let mut needed = |option, text: &Option<String>, kind| match row {
        Some(_) => r.optional(option, text.as_ref(), kind),
        None => r.needed(option, text.as_ref(), kind, unless),
    };
    let strike = needed("--strike", &wish.strike, Kind::Voltage);
    let maintain = needed("--maintain", &wish.maintain, Kind::Voltage);
    let current = needed("--current", &wish.current, Kind::Current);
    let strike_max = r.optional("--strike-max", wish.strike_max.as_ref(), Kind::Voltage);
    let max_current = r.optional("--max-current", wish.max_current.as_ref(), Kind::Current);
    let mut keys: Vec<(&'static str, String)> = vec![];
    if let Some(name) = &wish.lamp_type {
        keys.push(("type", name.clone()));
    }
    let given = [
        ("strike", &wish.strike),
        ("strike-max", &wish.strike_max),
        ("maintain", &wish.maintain),
        ("current", &wish.current),
        ("max-current", &wish.max_current),
    ];
    keys.extend(given.iter().filter_map(|(key, text)| Some((*key, (*text).clone()?))));
    let strike_v = strike.or(row.as_ref().map(|l| l.strike))?;
    let lamp = LampRow {
        strike: strike_v,
        strike_max: strike_max.or(strike.or(row.as_ref().map(|l| l.strike_max))).unwrap_or(strike_v),
        maintain: maintain.or(row.as_ref().map(|l| l.maintain))?,
        current: current.or(row.as_ref().map(|l| l.current))?,
        max_current,
        slope: row.as_ref().and_then(|l| l.slope),
    };
    if lamp.maintain >= lamp.strike {
        r.wrong("--maintain", "a lamp maintains at fewer volts than it strikes at", "look at both on the lamp's sheet");
    }
    if strike_max.is_some_and(|m| m < lamp.strike) {
        r.wrong("--strike-max", "the worst lamp cannot strike below the usual one", "give the larger of the two volts");
    }
    if max_current.is_some_and(|m| m < lamp.current) {
        r.wrong("--max-current", "is below the design current", "give the larger of the two currents, or leave it out");
    }
    let words = match &wish.lamp_type {
        Some(name) => {
            format!("a neon lamp {}", standard::lamp::neon_row(name).map_or(name.as_str(), |l| l.id.as_str()))
        }
        None => format!("a neon lamp of {}", format(lamp.current, Kind::Current)),
    };
    Some(Wanted { row: lamp, keys, words })
}
