//! A strobe lamp in use: published rings and bands, drifts worked by hand, the light as solved, and a turning ring of bars looked
//! at under that light flash by flash, which knows no formula of the program.
#![allow(clippy::unwrap_used)]

use super::program::root;
use super::tiny::{close, fuses, jig, part, resistor};
use crate::finding::Signal;
use crate::finding::strobe::{NoFlash, Pace, Strobe, StrobeRing, Way};
use crate::standard::Level;
use crate::survey::condition::Condition;
use crate::survey::context::{Depth, SurveyContext};
use crate::survey::glow::glow;
use crate::survey::{build, conditions};
use crate::{Options, StrobeWish};
use std::f64::consts::{PI, TAU};

fn flashing(count: &str) -> StrobeWish {
    StrobeWish { flashes: Some(count.into()), ..StrobeWish::default() }
}

fn on(supply: &str) -> StrobeWish {
    StrobeWish { supply: Some(supply.into()), ..StrobeWish::default() }
}

fn shown(wish: &StrobeWish) -> Strobe {
    crate::strobe::strobe(None, wish).unwrap()
}

fn of_text(text: &str, wish: &StrobeWish) -> Strobe {
    let parsed = crate::jig::parse("test.toml", text.as_bytes()).unwrap();
    crate::strobe::strobe(Some(&parsed), wish).unwrap()
}

fn demo(name: &str) -> String {
    std::fs::read_to_string(root().join(format!("demo-data/{name}.toml"))).unwrap()
}

fn ring<'s>(s: &'s Strobe, label: &str) -> &'s StrobeRing {
    s.rings.iter().find(|r| r.label == label && !r.stated).unwrap_or_else(|| panic!("{label}: {:?}", s.rings))
}

#[test]
fn rings_as_they_are_published() {
    // Line counts and true speeds of the trade's rings at 50 and 60 Hz, per cent off 33 1/3 and 45 rounded there to a thousandth.
    let published = [
        ("50", 100.0, "16 2/3", 360, 16.6667, 0.0),
        ("50", 100.0, "33 1/3", 180, 33.3333, 0.0),
        ("50", 100.0, "45", 133, 45.1128, 0.251),
        ("50", 100.0, "77.92", 77, 77.9221, 0.0),
        ("60", 120.0, "16 2/3", 432, 16.6667, 0.0),
        ("60", 120.0, "33 1/3", 216, 33.3333, 0.0),
        ("60", 120.0, "45", 160, 45.0, 0.0),
        ("60", 120.0, "78.26", 92, 78.2609, 0.0),
        // Behind one diode: half the flashes, half the bars; 67 for 45 at 50 Hz is half a per cent slow.
        ("50, one half-wave", 50.0, "33 1/3", 90, 33.3333, 0.0),
        ("50, one half-wave", 50.0, "45", 67, 44.7761, -0.498),
        ("60, one half-wave", 60.0, "33 1/3", 108, 33.3333, 0.0),
        ("60, one half-wave", 60.0, "45", 80, 45.0, 0.0),
    ];
    for (mains, flashes, label, bars, still, off) in published {
        let s = shown(&flashing(&flashes.to_string()));
        let r = ring(&s, label);
        assert_eq!(r.bars, bars, "{mains} Hz, {label}");
        assert!((r.still_at_rpm - still).abs() < 5e-5, "{mains} Hz, {label}: {}", r.still_at_rpm);
        assert!((r.off_percent - off).abs() < 5e-4, "{mains} Hz, {label}: {}", r.off_percent);
        assert_eq!(r.bars_per_flash, 1);
    }
    // 78.00 itself has no ring of its own: 77 bars at 50 Hz are 0.1 % slow, 92 at 60 Hz 0.334 % fast.
    for (flashes, bars, off) in [("100", 77, -0.1), ("120", 92, 0.334)] {
        let s = shown(&StrobeWish { rpm: vec!["78".into()], ..flashing(flashes) });
        assert_eq!(s.rings.len(), 1);
        assert_eq!(s.rings[0].bars, bars);
        assert!((s.rings[0].off_percent - off).abs() < 5e-4, "{:?}", s.rings[0]);
    }
}

#[test]
fn neighbours_as_they_are_published() {
    // Exact speeds of rings beside those of 33 1/3 and 45, in per cent off them.
    let published = [
        ("100", "33 1/3", [(177, 1.695), (178, 1.124), (179, 0.559), (181, -0.552), (182, -1.099), (183, -1.639)]),
        ("100", "45", [(130, 2.564), (131, 1.781), (132, 1.01), (134, -0.498), (135, -1.235), (136, -1.961)]),
        ("120", "33 1/3", [(213, 1.408), (214, 0.935), (215, 0.465), (217, -0.461), (218, -0.917), (219, -1.37)]),
    ];
    for (flashes, label, rows) in published {
        let s = shown(&flashing(flashes));
        let found: Vec<(u32, f64)> = ring(&s, label).neighbours.iter().map(|n| (n.bars, n.percent)).collect();
        assert_eq!(found.len(), rows.len());
        for ((bars, percent), (want_bars, want)) in found.into_iter().zip(rows) {
            assert_eq!(bars, want_bars);
            assert!((percent - want).abs() < 6e-4, "{label} {bars}: {percent}, not {want}");
        }
    }
}

#[test]
fn the_frequency_of_the_mains_as_published() {
    let bands = |supply: &str| -> Vec<(String, f64)> {
        let s = shown(&on(supply));
        s.mains_frequency.iter().map(|b| (b.place.clone(), (b.percent * 1e3).round() / 1e3)).collect()
    };
    let has = |bands: &[(String, f64)], place: &str, percent: f64| {
        assert!(bands.iter().any(|(p, x)| p.contains(place) && *x == percent), "{place} {percent}: {bands:?}");
    };
    // 50 mHz and 200 mHz of 50 Hz (Regulation (EU) 2017/1485, Annex III), EN 50160, 50 mHz of 60 Hz.
    has(&bands("eu_230"), "continental Europe", 0.1);
    has(&bands("eu_230"), "European grid", 1.0);
    has(&bands("eu_230"), "island", 2.0);
    has(&bands("uk_230"), "Great Britain", 0.4);
    has(&bands("uk_230"), "statute", 1.0);
    has(&bands("us_120_range_a"), "North America", 0.083);
    for supply in ["eu_230", "uk_230", "us_120_range_a", "au_230", "jp_100 50 Hz"] {
        has(&bands(supply), "generator", 5.0);
    }
    assert!(!bands("uk_230").iter().any(|(p, _)| p.contains("continental")), "{:?}", bands("uk_230"));
    // Nothing is made up for a grid of which nothing is published here.
    assert_eq!(bands("au_230").len(), 1);
    let wish = StrobeWish { drift: Some("12 bars in 60 s forward".into()), ..on("au_230") };
    assert_eq!(shown(&wish).drift.unwrap().mains_percent, None);
    let wish = StrobeWish { drift: Some("12 bars in 60 s forward".into()), ..on("uk_230") };
    assert!((shown(&wish).drift.unwrap().mains_percent.unwrap() - 0.4).abs() < 1e-12);
}

#[test]
fn drifts_worked_by_hand() {
    let drift = |flashes: &str, text: &str| {
        let wish = StrobeWish { drift: Some(text.into()), ..flashing(flashes) };
        shown(&wish).drift.unwrap()
    };
    // 6000 bars a minute pass at 100 flashes a second, 7200 at 120: 12 of them are 0.2 %.
    let d = drift("100", "12 bars in 60 s forward");
    assert_eq!((d.direction, d.bars_per_minute), (Way::Forward, 12.0));
    close(d.percent, 0.2, 1e-12);
    // Half a bar, and half a second in which a tenth of a bar goes by: 0.6 bars in a minute.
    close(d.uncertainty_percent, 0.01, 1e-9);
    let at = |label: &str| d.speeds.iter().find(|s| s.label == label).unwrap();
    close(at("33 1/3").turns_at_rpm, 33.4, 1e-12);
    // The ring for 45 stands still at 45.1128, and 0.2 % more is 45.2030: 0.4511 % off 45.
    close(at("45").turns_at_rpm, 45.203_007_5, 1e-8);
    close(at("45").off_percent, 0.451_128, 1e-5);
    // 21.6 bars a minute under 120 flashes a second are the 0.3 % of the broadcasters' old rule.
    close(drift("120", "21.6 bars in a minute backward").percent, -0.3, 1e-12);
    // A bar in ten seconds: 6 a minute.
    close(drift("100", "1 bar in 10 s backward").percent, -0.1, 1e-12);
    assert_eq!(drift("100", "0 bars in 60 s").percent, 0.0);
    assert_eq!(drift("100", "0 bars in 60 s").direction, Way::Still);
    // The same under one flash a cycle: half as many bars pass, and twice the per cent is what they mean.
    close(drift("50", "12 bars in 60 s forward").percent, 0.4, 1e-12);
    // A ring of 180 bars under one flash a cycle moves two bars a flash: 6000 bars a minute again.
    let wish = StrobeWish { bars: Some("180".into()), drift: Some("12 bars in 60 s forward".into()), ..flashing("50") };
    let s = shown(&wish);
    assert_eq!((s.rings[0].bars, s.rings[0].bars_per_flash, s.rings[0].stated), (180, 2, true));
    close(s.drift.unwrap().percent, 0.2, 1e-12);
}

#[test]
fn there_and_back() {
    for (flashes, wanted) in [("100", 33.4), ("100", 33.2), ("120", 45.3), ("100", 78.0), ("50", 16.7), ("120", 33.3)] {
        let s = shown(&StrobeWish { at: Some(wanted.to_string()), ..flashing(flashes) });
        let seen = s.seen.unwrap();
        let way = if seen.direction == Way::Forward { "forward" } else { "backward" };
        let text = format!("{:.9} bars in 60 s {way}", seen.bars_per_minute.abs());
        let wish = StrobeWish { drift: Some(text), rpm: vec![seen.label.clone()], ..flashing(flashes) };
        let back = shown(&wish).drift.unwrap();
        // "77.92" is read as 77.92, of which the ring is that of 77 bars all the same.
        close(back.speeds[0].turns_at_rpm, wanted, 1e-9);
    }
    // 33.5 is 0.5 % above 33 1/3: 30 of 6000 bars; the ring of 179 stands still at 33.5196.
    let seen = shown(&StrobeWish { at: Some("33.5".into()), ..flashing("100") }).seen.unwrap();
    close(seen.bars_per_minute, 30.0, 1e-9);
    assert_eq!((seen.direction, seen.still.bars), (Way::Forward, 179));
    let seen = shown(&StrobeWish { at: Some("33 1/3".into()), ..flashing("100") }).seen.unwrap();
    assert_eq!((seen.direction, seen.bars_per_minute, seen.still.bars), (Way::Still, 0.0, 180));
}

const LED: &str =
    "forward = \"2 V\"\nslope = \"1 Ω\"\ncurrent = \"20 mA\"\npeak-current = \"60 mA\"\nreverse = \"400 V\"";

/// LEDs on one half-wave, or with others the other way round; `other` is in series with those.
fn leds(other: Option<&str>) -> String {
    let mut parts = vec![
        fuses("100 mA", "F"),
        resistor("R1", "L1", "a", "22 kΩ", "5 W"),
        resistor("R2", "N1", "z", "22 kΩ", "5 W"),
        part("LED1", "led", "a", "z", LED),
    ];
    match other {
        Some("") => parts.push(part("LED2", "led", "z", "a", LED)),
        Some(ohms) => {
            parts.push(resistor("R3", "a", "b", ohms, "5 W"));
            parts.push(part("LED2", "led", "z", "b", LED));
        }
        None => {}
    }
    jig(&parts)
}

#[test]
fn flashes_as_solved() {
    let usual = StrobeWish::default();
    // Glow lamps light on both half-waves, in each lit as the tables' rows say that were worked out on paper:
    // A1A with 270 kΩ on 230 V 85.2 % of the time, with 100 kΩ on 120 V 60 Hz 70.7 %.
    let wand = demo("neon-wand-230v").replace("\"150 kΩ\"", "\"135 kΩ\"");
    let s = of_text(&wand, &usual);
    assert_eq!((s.flashes_per_second, s.light.as_ref().unwrap().pace), (Some(100.0), Pace::Mains));
    close(s.lit_seconds, 8.52e-3, 0.03);
    close(ring(&s, "33 1/3").smear_of_bar, 2.0 * s.lit_seconds.unwrap() * 100.0, 1e-9);
    // A half-sine is above half its crest for 120 of 180 degrees: 6.667 ms at 50 Hz, but for what 2 of 325 V take off it.
    let half = of_text(&leds(None), &usual);
    assert_eq!((half.flashes_per_second, ring(&half, "33 1/3").bars), (Some(50.0), 90));
    close(half.light.as_ref().unwrap().bright_seconds, 6.667e-3, 5e-3);
    // Lit above a tenth of its crest: sin x = 0.1 + 0.9 · 2/325 at 6.06 degrees, so for 167.9 of 360.
    close(half.lit_seconds, 167.9 / 360.0 * 0.02, 2e-3);
    assert_eq!(half.warnings[0].signal, Signal::Caution, "50 a second lie in the wide band: {:?}", half.warnings);
    // Two in turn are one lamp of twice the flashes.
    let turns = of_text(&leds(Some("")), &usual);
    assert_eq!((turns.flashes_per_second, ring(&turns, "33 1/3").bars), (Some(100.0), 180));
    assert_eq!(turns.lamp.parts, ["LED1", "LED2"]);
    close(turns.lit_seconds, 167.9 / 360.0 * 0.02, 2e-3);
    assert!(turns.light.unwrap().uneven < 1e-6 && turns.warnings.iter().all(|w| w.signal == Signal::Notice));
    // The second through half as much again: (325 - 2) / 44 kΩ against (325 - 2) / 66 kΩ, a third less but for what leaks past
    // it through the first.
    let odd = of_text(&leds(Some("22 kΩ")), &usual);
    assert_eq!(odd.flashes_per_second, Some(100.0));
    close(odd.light.unwrap().uneven, 1.0 / 3.0, 1e-2);
    assert!(odd.warnings.iter().any(|w| w.text.contains("half the bars")), "{:?}", odd.warnings);
    // Much weaker, it tells that the tool is on; and is named where it is meant.
    let pilot = of_text(&leds(Some("220 kΩ")), &usual);
    assert_eq!((pilot.flashes_per_second, pilot.lamp.pilots), (Some(50.0), vec!["LED2".to_string()]));
    let named = of_text(&leds(Some("220 kΩ")), &StrobeWish { lamps: vec!["LED2".into()], ..StrobeWish::default() });
    assert_eq!((named.flashes_per_second, named.lamp.parts), (Some(50.0), vec!["LED2".to_string()]));
}

#[test]
fn lamps_under_which_no_ring_stands_still() {
    // A rectifier and a capacitor: 470 µF hold 2 to 10 mA for ten milliseconds within fractions of a volt.
    let smoothed = demo("led-box-230v")
        + "[part.C1]\nkind = \"capacitor\"\nacross = [\"x\", \"y\"]\ncapacitance = \"470 µF\"\nvoltage = \"25 V\"\npolarised = true\n";
    let s = of_text(&smoothed, &StrobeWish { drift: Some("12 bars in 60 s forward".into()), ..StrobeWish::default() });
    assert!(matches!(s.dark, Some(NoFlash::Steady { filled_percent: 95..=100 })), "{:?}", s.dark);
    assert!(s.rings.is_empty() && s.drift.is_none() && s.flashes_per_second.is_none());
    assert_eq!(s.exit_status(), 1);
    // The wrong way round behind a diode nothing lights but what leaks through it.
    let dark = leds(None).replace("across = [\"a\", \"z\"]", "across = [\"a\", \"y\"]")
        + &part("D1", "diode", "z", "y", "voltage = \"1000 V\"\ncurrent = \"1 A\"");
    let s = of_text(&dark, &StrobeWish::default());
    assert_eq!((s.dark.clone(), s.exit_status()), (Some(NoFlash::Dark), 1));
}

/// The light of a jig's lamps instant by instant over one cycle, each as bright as its current, and hertz.
fn wave(text: &str) -> (Vec<f64>, f64) {
    let jig = crate::jig::parse("test.toml", text.as_bytes()).unwrap();
    let model = build::build(&jig);
    let context = SurveyContext::new(&jig, &model, Depth::Steady);
    let condition = Condition { level: Level::Nominal, ..conditions(&jig, &[]).remove(0) };
    let found = glow(&context, &condition).unwrap();
    assert_eq!(found.cycles, Some(1));
    let points = found.lamps[0].wave.len();
    let sum = |k: usize| found.lamps.iter().map(|l| l.wave[k]).sum();
    ((0..points).map(sum).collect(), jig.supply.mains.unwrap().hertz)
}

/// What an eye has of a ring of black bars in each flash: light let through at places along one pitch.
fn pictures(wave: &[f64], hertz: f64, bars: f64, rpm: f64, flashes: f64, count: usize) -> Vec<Vec<f64>> {
    const PLACES: usize = 61;
    let (step, each) = (1.0 / (hertz * wave.len() as f64), hertz * wave.len() as f64 / flashes);
    let mut out = vec![vec![0.0; PLACES]; count];
    for (k, picture) in out.iter_mut().enumerate() {
        for j in (k as f64 * each) as usize..((k + 1) as f64 * each) as usize {
            let turned = rpm / 60.0 * j as f64 * step * bars;
            let light = wave[j % wave.len()];
            for (place, seen) in picture.iter_mut().enumerate() {
                let at = (place as f64 / PLACES as f64 - turned).rem_euclid(1.0);
                *seen += if at < 0.5 { light } else { 0.0 };
            }
        }
    }
    out
}

/// Bars a minute by which the pictures move: the straight line through where each of them stands.
fn motion(pictures: &[Vec<f64>], flashes: f64) -> f64 {
    let stands = |picture: &Vec<f64>| {
        let turn = |k: usize| TAU * k as f64 / picture.len() as f64;
        let (c, s) = picture
            .iter()
            .enumerate()
            .fold((0.0, 0.0), |(c, s), (k, y)| (c + y * turn(k).cos(), s + y * turn(k).sin()));
        s.atan2(c) / TAU
    };
    let mut at: Vec<f64> = pictures.iter().map(stands).collect();
    for k in 1..at.len() {
        at[k] += (at[k - 1] - at[k]).round();
    }
    let n = at.len() as f64;
    let (mean_k, mean_at) = ((n - 1.0) / 2.0, at.iter().sum::<f64>() / n);
    let over: f64 = at.iter().enumerate().map(|(k, y)| (k as f64 - mean_k) * (y - mean_at)).sum();
    let under: f64 = (0..at.len()).map(|k| (k as f64 - mean_k).powi(2)).sum();
    over / under * flashes * 60.0
}

#[test]
fn a_turning_ring_under_the_solved_light_moves_as_told() {
    for (text, bars, flashes, rpm) in [
        (demo("neon-wand-230v"), 180.0, 100.0, 33.4),
        (demo("neon-wand-120v"), 160.0, 120.0, 44.8),
        (demo("capacitor-led-230v"), 133.0, 100.0, 45.0),
        (demo("led-box-230v"), 77.0, 100.0, 78.26),
        (leds(None), 90.0, 50.0, 33.0),
        (leds(Some("")), 180.0, 100.0, 33.5),
        // Twice the bars under one flash a cycle: two bars go by from flash to flash.
        (leds(None), 180.0, 50.0, 33.4),
    ] {
        let (light, hertz) = wave(&text);
        let moved = motion(&pictures(&light, hertz, bars, rpm, flashes, 600), flashes);
        let way = if moved > 0.0 { "forward" } else { "backward" };
        let wish = StrobeWish {
            drift: Some(format!("{:.6} bars in 60 s {way}", moved.abs())),
            rpm: vec![rpm.to_string()],
            bars: Some(bars.to_string()),
            ..StrobeWish::default()
        };
        let s = of_text(&text, &wish);
        assert_eq!(s.flashes_per_second, Some(flashes));
        let told = s.drift.unwrap();
        // One part in ten thousand of the speed, and of what it is off.
        close(told.speeds[0].turns_at_rpm, rpm, 1e-4);
        let off = rpm / s.rings[0].still_at_rpm - 1.0;
        close(told.percent / 100.0, off, 1e-4);
    }
}

#[test]
fn the_contrast_that_is_left_is_that_of_the_picture() {
    for (text, bars, flashes) in [
        (demo("neon-wand-230v"), 180.0, 100.0),
        (demo("neon-wand-120v"), 216.0, 120.0),
        (demo("led-box-230v"), 180.0, 100.0),
        (leds(None), 90.0, 50.0),
    ] {
        let (light, hertz) = wave(&text);
        let s = of_text(&text, &StrobeWish::default());
        let contrast = |speed: f64, count: usize| {
            let many = pictures(&light, hertz, bars, speed, flashes, count);
            let sum = |k: usize| many.iter().map(|p| p[k]).sum::<f64>();
            let (low, high) =
                (0..many[0].len()).map(sum).fold((f64::INFINITY, 0.0_f64), |(l, h), y| (l.min(y), h.max(y)));
            (high - low) / (high + low)
        };
        let own = contrast(100.0 / 3.0, 1);
        assert!((s.light.unwrap().contrast.unwrap() - own).abs() < 0.01, "{own}");
        // At half the speed bars as wide as their gaps go grey; at a third three times the bars are seen, fainter.
        assert!(contrast(50.0 / 3.0, 2) < 0.02);
        let ghost = s.ghosts.iter().find(|g| (g.turns, g.order) == (1, 3)).unwrap();
        let third = contrast(100.0 / 9.0, 3);
        assert!((ghost.contrast - third).abs() < 0.02, "{} is not {third}", ghost.contrast);
        assert!(!s.ghosts.iter().any(|g| g.order.is_multiple_of(2)));
    }
}

#[test]
fn the_finest_ring_is_the_finest_that_can_be_drawn() {
    // A twelve-inch platter is pi · 305 mm round; bars and gaps of 0.3 mm: 1597 bars.
    let most = (PI * 305.0 / 0.6).floor();
    let wish = |bars: f64| StrobeWish { bars: Some(bars.to_string()), ..flashing("100") };
    assert!(crate::strobe::strobe(None, &wish(most)).is_ok());
    assert!(crate::strobe::strobe(None, &wish(most + 1.0)).is_err());
}

#[test]
fn wrong_wishes_get_a_clear_word() {
    let parsed = |text: &str| crate::jig::parse("test.toml", text.as_bytes()).unwrap();
    let wand = parsed(&demo("neon-wand-230v"));
    let wrong = |jig: Option<&crate::jig::Jig>, wish: StrobeWish, words: &str| {
        let errors = crate::strobe::strobe(jig, &wish).unwrap_err();
        let said: Vec<String> = errors.iter().map(ToString::to_string).collect();
        assert!(said.iter().any(|e| e.contains(words)), "{words}: {said:?}");
    };
    let rpm = |text: &str| StrobeWish { rpm: vec![text.into()], ..flashing("100") };
    wrong(None, rpm("0"), "what does not turn stands still under any light");
    wrong(None, rpm("fast"), "\"fast\" is no speed");
    wrong(None, rpm("33,3"), "with a point");
    wrong(None, rpm("0.6"), "a ring of 10000 bars");
    wrong(None, rpm("20000"), "more than one turn from flash to flash");
    wrong(None, StrobeWish { bars: Some("10000".into()), ..flashing("100") }, "10000 bars");
    wrong(None, StrobeWish { bars: Some("0".into()), ..flashing("100") }, "without bars");
    wrong(None, flashing("0"), "does not flash");
    wrong(None, flashing("often"), "no number of flashes");
    wrong(None, on("24 V d.c."), "on d.c. a lamp glows steadily");
    wrong(None, on("none"), "on d.c. a lamp glows steadily");
    wrong(None, on("230 V 60 Hz"), "did you mean");
    wrong(None, StrobeWish::default(), "no lamp is named");
    let drift = |text: &str| StrobeWish { drift: Some(text.into()), ..flashing("100") };
    wrong(None, drift("12 bars in 60 s"), "which way");
    wrong(None, drift("900 bars in 60 s forward"), "more than an eye counts");
    wrong(None, StrobeWish { at: Some("0".into()), ..flashing("100") }, "--at");
    wrong(Some(&wand), StrobeWish { lamps: vec!["LP2".into()], ..StrobeWish::default() }, "near is LP1");
    wrong(Some(&parsed(&demo("discharge-probe"))), StrobeWish::default(), "has no mains");
    wrong(Some(&parsed(&demo("isolated-supply-230v"))), StrobeWish::default(), "no lamp in it that flashes");
    wrong(Some(&parsed(&demo("series-lamp-limiter-230v"))), StrobeWish::default(), "filament lamps");
    // All that is wrong with the wishes is told at once.
    let both = StrobeWish { rpm: vec!["0".into()], drift: Some("12".into()), ..flashing("100") };
    assert_eq!(crate::strobe::strobe(None, &both).unwrap_err().len(), 2);
}

#[test]
fn a_lamp_at_a_pace_of_its_own_and_one_that_is_not_solved() {
    // A relaxation flasher: a diode and a capacitor that a glow lamp empties; its pace is that of R and C.
    let flasher = jig(&[
        fuses("50 mA", "F"),
        part("D1", "diode", "L1", "d", "voltage = \"1000 V\"\ncurrent = \"1 A\""),
        resistor("R1", "d", "c", "4.7 MΩ", "0.6 W"),
        part("C1", "capacitor", "c", "N1", "capacitance = \"100 nF\"\nvoltage = \"630 V\""),
        part(
            "LP1",
            "neon-lamp",
            "c",
            "N1",
            "strike = \"90 V\"\nmaintain = \"60 V\"\ncurrent = \"0.5 mA\"\nslope = \"500 Ω\"",
        ),
    ]);
    let s = of_text(&flasher, &StrobeWish::default());
    let light = s.light.as_ref().unwrap();
    assert_eq!(light.pace, Pace::Own);
    assert!(s.warnings.iter().any(|w| w.text.contains("pace of its own")), "{:?}", s.warnings);
    let rate = s.flashes_per_second.unwrap();
    assert!(rate > 1.0 && rate < 25.0, "{rate}");
    // Slow flashes lie where most people who are sensitive react, where they are not slower still.
    let grave = s.warnings[0].signal;
    assert_eq!(grave, if rate >= 3.0 { Signal::Warning } else { Signal::Notice }, "{rate}");
    let unsolved = Strobe { dark: Some(NoFlash::Unsolved { reason: "x".into() }), ..s };
    assert_eq!(unsolved.exit_status(), 3);
}

#[test]
fn the_ring_that_a_jig_states_is_told_first() {
    let text = demo("neon-wand-230v") + "[plugin.strobe-lamp]\nbars = 360\nrpm = 33.333\n";
    let s = of_text(&text, &StrobeWish::default());
    let own = &s.rings[0];
    assert_eq!((own.bars, own.bars_per_flash, own.stated, own.label.as_str()), (360, 2, true, "33 1/3"));
    assert_eq!(own.off_percent, 0.0);
    assert_eq!(s.rings.len(), 6);
}

#[test]
fn the_check_of_the_jig_stands_over_the_page() {
    let used =
        |text: &str| crate::strobe(Some((text.as_bytes(), &Options::default())), &StrobeWish::default()).unwrap();
    let sound = used(&demo("neon-wand-230v"));
    assert_eq!(sound.exit_status(), 0);
    let bad = used(&demo("wrong/neon-100k-on-230v"));
    assert_eq!(bad.exit_status(), 1);
    let text = bad.to_text(crate::Look::default());
    assert!(
        text.starts_with("DANGER Do not plug it in") && !sound.to_text(crate::Look::default()).contains("Do not"),
        "{text}"
    );
    assert!(text.trim_end().ends_with("Before it is used: deadfront check jig.toml"), "{text}");
    let json: serde_json::Value = serde_json::from_str(&bad.to_json()).unwrap();
    assert_eq!((&json["schema_version"], &json["check"]["verdict"]), (&1.into(), &"stop".into()));
    for key in ["flashes_per_second", "lit_seconds", "rings"] {
        assert!(json[key].is_number() || json[key].is_array(), "{key}");
    }
    for key in ["rpm", "bars", "still_at_rpm", "off_percent", "neighbours", "smear_of_bar"] {
        assert!(!json["rings"][0][key].is_null(), "{key}");
    }
    assert!(json.get("drift").is_none());
}
