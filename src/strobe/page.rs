//! Everything that is to be said of a strobe lamp in use, as facts.

use super::asked::{Asked, asked};
use super::light::Light;
use super::read::{self, wrong};
use super::ring::{ring, smear, still};
use super::solved::{Lit, lit};
use super::wish::StrobeWish;
use super::{drift, warnings};
use crate::finding::strobe::{
    FrequencyBand, Ghost, GhostOfRing, Neighbour, NoFlash, SpeedTolerance, Strobe, StrobeLamp, StrobeLight, StrobeRing,
};
use crate::jig::{InputError, Jig};
use crate::standard::strobe::{Wander, Wandering, allowed, seen, wanders};
use crate::standard::{self, Limit, Mains};

/// Rings told on either side of a ring.
const NEIGHBOURS: i64 = 3;
/// Flashes a cycle of a lamp that lights on both half-waves.
const BOTH: f64 = 2.0;
/// Highest order of ghosts that is looked at, and times the ring's own speed.
const ORDERS: usize = 15;
/// See [`ORDERS`].
const TIMES: usize = 3;
/// Per cent of the whole.
const PER_CENT: f64 = 100.0;

/// A lamp and its mains, before it is asked anything.
struct Source {
    lamp: StrobeLamp,
    row: String,
    hertz: Option<f64>,
    lit: Option<Lit>,
    /// Flashes a second, or why there are none.
    flashes: Result<f64, NoFlash>,
}

/// What a lamp shows: that of a jig, or one of which only the mains or the flashes a second are known.
///
/// # Errors
/// What is wrong with the jig or the wishes: all of it that is of the wishes.
pub(crate) fn strobe(jig: Option<&Jig>, wish: &StrobeWish) -> Result<Strobe, Vec<InputError>> {
    let source = match jig {
        Some(jig) => of_jig(jig, wish)?,
        None => stated(wish)?,
    };
    let mut errors = vec![];
    let count = wish.drift.as_ref().and_then(|text| read::counted(text).map_err(|e| errors.push(e)).ok());
    let at = wish.at.as_ref().and_then(|text| read::speed("--at", text).map_err(|e| errors.push(e)).ok());
    let asked = asked(jig, wish).map_err(|e| errors.extend(e)).ok();
    if !errors.is_empty() {
        return Err(errors);
    }
    let wandering = wanders(&source.row, source.hertz.unwrap_or_default());
    let light = source.lit.as_ref().and_then(|l| l.light.as_ref().ok());
    let flashes = source.flashes.as_ref().ok().copied();
    let rings = flashes.map_or(Ok(vec![]), |f| rings(&asked.unwrap_or_default(), f, light))?;
    let usual = usual(&wandering);
    let drifting = count.zip(flashes).map(|(count, f)| drift::drift(&count, f, &rings, usual)).transpose();
    let drift = drifting.map_err(|e| vec![e])?;
    let seen = at.zip(flashes).and_then(|((rpm, _), f)| drift::seen_at(rpm, f, &rings));
    let mut out = Strobe {
        lamp: source.lamp,
        flashes_per_second: flashes,
        lit_seconds: light.and_then(|l| l.lit),
        dark: source.flashes.err(),
        light: source.lit.as_ref().and_then(|l| told(l, source.hertz)),
        ghosts: if flashes.is_some() { ghosts(light) } else { vec![] },
        rings,
        drift,
        seen,
        mains_frequency: wandering.iter().map(band).collect(),
        drawing: None,
        tolerances: flashes.map_or(vec![], tolerances),
        warnings: vec![],
        check: None,
    };
    out.warnings = warnings::warnings(&out);
    Ok(out)
}

fn of_jig(jig: &Jig, wish: &StrobeWish) -> Result<Source, Vec<InputError>> {
    let lit = lit(jig, &wish.lamps).map_err(|e| vec![e])?;
    let mains = jig.supply.mains.as_ref();
    let lamp = StrobeLamp {
        name: Some(jig.name.clone()),
        file: Some(jig.file.clone()),
        supply: mains.map(|m| m.label.clone()),
        frequency_hz: mains.map(|m| m.hertz),
        parts: lit.parts.clone(),
        pilots: lit.pilots.clone(),
    };
    let (row, hertz) = (mains.map(|m| m.row.clone()).unwrap_or_default(), mains.map(|m| m.hertz));
    let flashes = lit.light.as_ref().map(|l| l.flashes).map_err(Clone::clone);
    Ok(Source { lamp, row, hertz, lit: Some(lit), flashes })
}

/// A lamp that is not written down: the mains with both half-waves, or so many flashes.
fn stated(wish: &StrobeWish) -> Result<Source, Vec<InputError>> {
    let mut errors = vec![];
    let mains = wish.supply.as_ref().and_then(|words| supply(words).map_err(|e| errors.push(e)).ok());
    let flashes = wish.flashes.as_ref().and_then(|text| read::flashes(text).map_err(|e| errors.push(e)).ok());
    if wish.supply.is_none() && wish.flashes.is_none() {
        errors.push(wrong("strobe", "no lamp is named", "name a jig, or give --supply or --flashes"));
    }
    if let Some(name) = wish.lamps.first() {
        let message = format!("there is no jig in which {} could stand", crate::quantity::quote(name));
        errors.push(wrong("--lamp", message, "name a jig, or leave it out"));
    }
    if !errors.is_empty() {
        return Err(errors);
    }
    let hertz = mains.as_ref().map(|m| m.hertz);
    let lamp = StrobeLamp {
        name: None,
        file: None,
        supply: mains.as_ref().map(|m| m.label.clone()),
        frequency_hz: hertz,
        parts: vec![],
        pilots: vec![],
    };
    let row = mains.map(|m| m.row).unwrap_or_default();
    let flashes = Ok(flashes.or(hertz.map(|h| BOTH * h)).unwrap_or_default());
    Ok(Source { lamp, row, hertz, lit: None, flashes })
}

fn supply(words: &str) -> Result<Mains, InputError> {
    standard::supply(words).map_err(|near| {
        let plain = words.to_lowercase().replace(['.', ' '], "");
        if plain.ends_with("dc") || plain == "none" {
            let message = "on d.c. a lamp glows steadily: it does not flash, and no ring stands still under it";
            return wrong("--supply", message, "name a mains such as \"230 V 50 Hz\", or give --flashes");
        }
        let meant = near.first().map(|n| format!("did you mean \"{n}\"? ")).unwrap_or_default();
        let message = format!("the supplies table has no {}", crate::quantity::quote(words));
        wrong("--supply", message, format!("{meant}deadfront tables supplies lists them; or give --flashes"))
    })
}

/// What the jig says of the light.
fn told(lit: &Lit, hertz: Option<f64>) -> Option<StrobeLight> {
    let light = lit.light.as_ref().ok()?;
    let [low, high] = &lit.at_low_and_high;
    let of = |l: &Option<Light>| l.as_ref().map(|l| l.flashes);
    let lit_at = |l: &Option<Light>| l.as_ref().and_then(|l| l.lit);
    Some(StrobeLight {
        pace: light.pace,
        flashes_per_cycle: hertz.map_or(0.0, |h| light.flashes / h),
        bright_seconds: light.bright,
        flashes_at_low_and_high: [of(low), of(high)],
        lit_at_low_and_high: [lit_at(low), lit_at(high)],
        contrast: light.contrast(1, 1),
        uneven: light.uneven,
    })
}

/// The rings of the speeds asked for.
///
/// # Errors
/// Speeds too slow or too fast for any ring.
fn rings(asked: &[Asked], flashes: f64, light: Option<&Light>) -> Result<Vec<StrobeRing>, Vec<InputError>> {
    let (mut out, mut errors) = (vec![], vec![]);
    for one in asked {
        match ring_of(one, flashes, light) {
            Ok(ring) => out.push(ring),
            // A usual speed that this lamp has no ring for is left out.
            Err(_) if one.option.is_empty() => {}
            Err(e) => errors.push(e),
        }
    }
    if errors.is_empty() { Ok(out) } else { Err(errors) }
}

fn ring_of(asked: &Asked, flashes: f64, light: Option<&Light>) -> Result<StrobeRing, InputError> {
    let Asked { rpm, label, .. } = asked;
    let best = ring(1.0, *rpm, flashes).best;
    let bars = asked.bars.map_or(best, f64::from);
    let (most, widest) = most_bars();
    if bars > most {
        let wide = std::f64::consts::PI * widest / (2.0 * bars);
        let message = format!(
            "{label} turns a minute under {flashes} flashes a second ask for a ring of {bars} bars: on twelve inches each is {wide:.2} mm wide, \
             which is neither printed nor seen"
        );
        let (slowest, most) = (still(most, flashes, 1.0), most.floor());
        let help = format!("a ring of {most} bars is the finest; it stands still at {slowest:.2} turns a minute");
        let message =
            if asked.bars.is_some() { message.replace("ask for a ring of", "and a ring of") } else { message };
        return Err(wrong(&asked.option, message, help));
    }
    if bars < 1.0 {
        let fastest = still(1.0, flashes, 1.0);
        let message = format!("{label} turns a minute are more than one turn from flash to flash: no ring shows that");
        let help = format!("{fastest:.0} turns a minute, one bar, is the fastest under {flashes} flashes a second");
        return Err(wrong(&asked.option, message, help));
    }
    let found = ring(bars, *rpm, flashes);
    let near = |k: i64| {
        let bars = bars as i64 + k;
        (bars > 0 && k != 0).then(|| {
            let at = still(bars as f64, flashes, found.whole);
            Neighbour { bars: bars as u32, percent: PER_CENT * (at / rpm - 1.0), still_at_rpm: at }
        })
    };
    let whole = found.whole as usize;
    let contrast = light.and_then(|l| l.contrast(whole, 1));
    Ok(StrobeRing {
        rpm: *rpm,
        label: label.clone(),
        bars: bars as u32,
        still_at_rpm: found.still,
        off_percent: exact(PER_CENT * found.off),
        neighbours: (-NEIGHBOURS..=NEIGHBOURS).filter_map(near).collect(),
        smear_of_bar: light.and_then(|l| l.lit).map(|lit| smear(bars, found.still, lit)),
        seen: contrast.map(|c| c >= seen("least_contrast", "contrast_fraction").value),
        contrast,
        bars_per_flash: found.whole as u32,
        ghost: highest(light, bars, found.still, found.whole),
        stated: asked.bars.is_some(),
    })
}

/// What is left of rounding is nothing.
fn exact(percent: f64) -> f64 {
    if percent.abs() < 1e-9 { 0.0 } else { percent }
}

/// Most bars of a ring whose bars are still printed and seen on the largest platter, and its diameter in millimetres.
fn most_bars() -> (f64, f64) {
    let millimetres = |id: &str, key: &str| 1e3 * seen(id, key).value;
    let (widest, bar) = (millimetres("largest_platter", "diameter_mm"), millimetres("finest_bar", "width_mm"));
    (std::f64::consts::PI * widest / (2.0 * bar), widest)
}

/// The contrast of a ghost; that of a lamp of which nothing is known as if its flashes were short.
fn contrast(light: Option<&Light>, turns: usize, order: usize) -> Option<f64> {
    match light {
        Some(light) => light.contrast(turns, order),
        None if order.is_multiple_of(2) => Some(0.0),
        None => Some(1.0 / order as f64),
    }
}

/// Speeds at which a ring seems to stand still as well, the plainest first.
fn ghosts(light: Option<&Light>) -> Vec<Ghost> {
    let least = seen("least_contrast", "contrast_fraction").value;
    let mut out = vec![];
    for order in 1..=ORDERS {
        for turns in (1..=TIMES * order).filter(|t| gcd(*t, order) == 1 && (*t, order) != (1, 1)) {
            let Some(contrast) = contrast(light, turns, order).filter(|c| *c >= least) else { continue };
            let of_speed = turns as f64 / order as f64;
            out.push(Ghost { order: order as u32, of_speed, turns: turns as u32, contrast });
        }
    }
    out.sort_by(|a: &Ghost, b: &Ghost| b.contrast.total_cmp(&a.contrast).then(a.order.cmp(&b.order)));
    out
}

fn gcd(a: usize, b: usize) -> usize {
    if b == 0 { a } else { gcd(b, a % b) }
}

/// The ghost of most bars that could be taken for a ring: so many times its bars, at that part of its speed.
fn highest(light: Option<&Light>, bars: f64, still: f64, whole: f64) -> Option<GhostOfRing> {
    let least = seen("least_contrast", "contrast_fraction").value;
    let fine = |order: &usize| *order as f64 * bars <= most_bars().0;
    let shown = |order: usize| contrast(light, 1, order).filter(|c| *c >= least).map(|c| (order, c));
    let (order, contrast) = (2..=ORDERS).take_while(fine).filter_map(shown).last()?;
    let of = order as f64;
    Some(GhostOfRing { order: order as u32, bars: (of * bars) as u32, at_rpm: still / whole / of, contrast })
}

/// The share by which a mains wanders as a rule: the widest of what it may be, else what its grid keeps to.
fn usual(wandering: &[Wander]) -> Option<f64> {
    let of = |sort| wandering.iter().filter(move |w| w.sort == sort).map(|w| w.share);
    of(Wandering::Usual).max_by(f64::total_cmp).or_else(|| of(Wandering::Grid).min_by(f64::total_cmp))
}

fn tolerances(flashes: f64) -> Vec<SpeedTolerance> {
    let one = |(of, [above, below]): (String, [Limit; 2])| SpeedTolerance {
        of,
        plus_percent: PER_CENT * above.value,
        minus_percent: PER_CENT * below.value,
        bars_per_minute: [above.value, below.value].map(|share| drift::per_minute(share, flashes, 1.0)),
        source: above.source,
    };
    allowed().map(one).collect()
}

fn band(w: &Wander) -> FrequencyBand {
    let usual = w.sort == Wandering::Usual;
    FrequencyBand { place: w.place.clone(), percent: PER_CENT * w.share, usual, source: w.source.clone() }
}
