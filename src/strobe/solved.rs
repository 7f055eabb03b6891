//! The light of a jig on its mains, as solved: which lamps give it, in which setting of its switches, and what it is like.

use super::light::Light;
use super::read::wrong;
use crate::finding::strobe::{NoFlash, Pace};
use crate::jig::{InputError, Jig, PartKind};
use crate::standard::Level;
use crate::standard::strobe::seen;
use crate::survey::condition::Condition;
use crate::survey::context::{Depth, SurveyContext};
use crate::survey::glow::{Glow, LampGlow, glow};
use crate::survey::model::Model;
use crate::survey::{self, build};
use crate::wording;

/// Degrees of a cycle.
const CYCLE: f64 = 360.0;

/// What lights a jig.
#[derive(Debug, Clone)]
pub(crate) struct Lit {
    /// Lamps that give the light.
    pub parts: Vec<String>,
    /// Lamps that only tell that it is on.
    pub pilots: Vec<String>,
    /// The light on nominal mains.
    pub light: Result<Light, NoFlash>,
    /// The same at the lowest and the highest volts.
    pub at_low_and_high: [Option<Light>; 2],
}

/// Solves the light of a jig: in the setting in which its lamps give most of it, with nothing failed. `wanted` names the lamps
/// that count; those of the brightest kind where it names none.
///
/// # Errors
/// There is no mains, no lamp, or no lamp of that name.
pub(crate) fn lit(jig: &Jig, wanted: &[String]) -> Result<Lit, InputError> {
    let of_file = |message: &str, help: &str| InputError::of_file(jig.file.as_str(), message, help);
    if jig.supply.mains.is_none() {
        let message = "it has no mains: on d.c. a lamp glows steadily, and no ring stands still under it";
        return Err(of_file(message, "name the jig of a lamp on the mains, or give --flashes"));
    }
    let model = build::build(jig);
    let lamps = lamps(jig, &model);
    for name in wanted {
        if !lamps.iter().any(|k| model.items[*k].name == *name) {
            let near = crate::standard::near(name, lamps.iter().map(|k| model.items[*k].name.as_str()));
            let message = format!("{} has no glow lamp or LED {}{near}", jig.file, crate::quantity::quote(name));
            return Err(wrong("--lamp", message, "name a part of kind neon-lamp or led"));
        }
    }
    if lamps.is_empty() {
        let filament = jig.parts.iter().any(|p| matches!(p.kind, PartKind::Filament(_)));
        let message = match filament {
            true => "its lamps are filament lamps: they glow on from half-wave to half-wave and show no ring",
            false => "there is no lamp in it that flashes",
        };
        return Err(of_file(message, "name the jig of a glow lamp or an LED on the mains, or give --flashes"));
    }
    let context = SurveyContext::new(jig, &model, Depth::Steady);
    Ok(brightest(&context, wanted))
}

fn lamps(jig: &Jig, model: &Model) -> Vec<usize> {
    let is_lamp = |k: &usize| matches!(jig.parts[model.items[*k].part].kind, PartKind::Neon(_) | PartKind::Led(_));
    (0..model.items.len()).filter(is_lamp).collect()
}

fn brightest(context: &SurveyContext, wanted: &[String]) -> Lit {
    let conditions = survey::conditions(context.jig, &[]);
    let way = conditions.first().map(|c| c.orientation);
    let (mut best, mut why): (Option<(f64, Condition, Glow)>, Option<String>) = (None, None);
    // Which way round the plug is in moves the flashes and changes none.
    for condition in conditions.into_iter().filter(|c| Some(c.orientation) == way) {
        match glow(context, &condition) {
            Ok(found) => {
                let sum = chosen(context, &found, wanted).0.iter().map(|l| l.mean).sum();
                if best.as_ref().is_none_or(|(most, ..)| sum > *most) {
                    best = Some((sum, condition, found));
                }
            }
            Err(e) => why = why.or(Some(wording::condition::why(context.model, &e))),
        }
    }
    let Some((most, condition, found)) = best.filter(|(most, ..)| *most > 0.0 || why.is_none()) else {
        let reason = why.unwrap_or_default();
        let [parts, pilots] = [vec![], vec![]];
        return Lit { parts, pilots, light: Err(NoFlash::Unsolved { reason }), at_low_and_high: [None, None] };
    };
    let (lamps, pilots) = chosen(context, &found, wanted);
    let names = |list: &[&LampGlow]| list.iter().map(|l| context.model.items[l.item].name.clone()).collect();
    let at = |level| {
        let found = glow(context, &Condition { level, ..condition.clone() }).ok()?;
        let items: Vec<usize> = lamps.iter().map(|l| l.item).collect();
        let same: Vec<&LampGlow> = found.lamps.iter().filter(|l| items.contains(&l.item)).collect();
        flashing(light_of(context, &found, &same)).ok()
    };
    let light = if most > 0.0 { flashing(light_of(context, &found, &lamps)) } else { Err(NoFlash::Dark) };
    Lit { parts: names(&lamps), pilots: names(&pilots), light, at_low_and_high: [Level::Low, Level::High].map(at) }
}

/// Lamps that give the light, and those that only tell that the tool is on: of two kinds LEDs outshine glow lamps, unless the
/// tool is a neon strobe; of one kind those count that get a good part of the current of the brightest.
fn chosen<'g>(context: &SurveyContext, found: &'g Glow, wanted: &[String]) -> (Vec<&'g LampGlow>, Vec<&'g LampGlow>) {
    let name = |l: &LampGlow| &context.model.items[l.item].name;
    if !wanted.is_empty() {
        return (found.lamps.iter().filter(|l| wanted.contains(name(l))).collect(), vec![]);
    }
    let is_led = |l: &&LampGlow| matches!(context.jig.parts[context.model.items[l.item].part].kind, PartKind::Led(_));
    let some = |led: bool| found.lamps.iter().any(|l| is_led(&l) == led && l.mean > 0.0);
    let neon_strobe = context.jig.unit == "strobe-lamp";
    let led = if neon_strobe { !some(false) && some(true) } else { some(true) || !some(false) };
    let most = found.lamps.iter().filter(|l| is_led(l) == led).map(|l| l.mean).fold(0.0, f64::max);
    let share = seen("pilot", "share_fraction").value;
    let (lamps, rest): (Vec<&LampGlow>, Vec<&LampGlow>) =
        found.lamps.iter().partition(|l| is_led(l) == led && l.mean >= share * most && l.mean > 0.0);
    let pilots = rest.into_iter().filter(|l| l.mean > 0.0).collect();
    (lamps, pilots)
}

/// The light of these lamps together: at each instant the most that any of them carries, so that those that take turns count as
/// one, and those in series once.
pub(crate) fn light_of(context: &SurveyContext, found: &Glow, lamps: &[&LampGlow]) -> Light {
    let hertz = context.model.base.hertz;
    let Some(cycles) = found.cycles else {
        let rate = |l: &&&LampGlow| l.light.flashes_per_second;
        let fastest = lamps.iter().max_by(|a, b| rate(a).total_cmp(&rate(b)));
        let mean = lamps.iter().map(|l| l.mean).fold(0.0, f64::max);
        return Light::of_own_pace(&fastest.map(|l| l.light.clone()).unwrap_or_default(), mean);
    };
    let points = lamps.first().map_or(0, |l| l.wave.len());
    let most = |k: usize| lamps.iter().map(|l| l.wave[k]).fold(0.0, f64::max);
    let wave: Vec<f64> = (0..points).map(most).collect();
    Light::of_wave(&wave, f64::from(cycles) / hertz, lit_share(lamps, cycles))
}

/// The part of the time in which one of them is lit, by the angles at which they come on and go out.
fn lit_share(lamps: &[&LampGlow], cycles: u32) -> f64 {
    let longest = lamps.iter().map(|l| l.light.lit_fraction).fold(0.0, f64::max);
    if cycles > 1 || lamps.len() < 2 {
        return longest;
    }
    let mut spans: Vec<[f64; 2]> = vec![];
    for light in lamps.iter().map(|l| &l.light) {
        if light.on_deg.is_empty() {
            if light.lit_fraction > 0.0 {
                return longest;
            }
            continue;
        }
        for on in &light.on_deg {
            let after = |off: &f64| (off - on).rem_euclid(CYCLE);
            let Some(length) = light.off_deg.iter().map(after).min_by(f64::total_cmp) else { continue };
            // What runs over the end of the cycle begins it.
            spans.push([*on, (on + length).min(CYCLE)]);
            spans.push([0.0, (on + length - CYCLE).max(0.0)]);
        }
    }
    spans.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let (mut lit, mut end) = (0.0, 0.0_f64);
    for [from, to] in spans {
        lit += (to - from.max(end)).max(0.0);
        end = end.max(to);
    }
    lit / CYCLE
}

/// A light that shows a ring, or why it shows none.
fn flashing(light: Light) -> Result<Light, NoFlash> {
    let leak = light.pace == Pace::Mains && light.crest < seen("dark", "crest_ma").value;
    if leak || light.flashes <= 0.0 && light.mean <= 0.0 {
        return Err(NoFlash::Dark);
    }
    let weak = light.contrast(1, 1).is_some_and(|c| c < seen("least_contrast", "contrast_fraction").value);
    if light.flashes <= 0.0 || weak {
        return Err(NoFlash::Steady { filled_percent: (light.filled / 1e-2).round() as u32 });
    }
    Ok(light)
}
