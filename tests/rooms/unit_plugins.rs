//! The plugins that ship with the program, on their own cases: good tools draw nothing from them, bad ones draw what they say.
#![allow(missing_docs, clippy::unwrap_used)]

use crate::finding::{Finding, Judgement, Signal};
use crate::plugin::vm::Bounds;
use crate::plugin::what_if::Subject;
use crate::plugin::{Folder, Plugin, settings, worker};
use crate::survey::{Options, survey};
use crate::{checks, jig};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

const UNITS: [&str; 12] = [
    "bench-supply",
    "capacitor-reformer",
    "discharge-probe",
    "dummy-load",
    "isolated-supply",
    "led-strobe",
    "mains-probe",
    "series-lamp-limiter",
    "soft-start-box",
    "strobe-lamp",
    "test-outlet",
    "variable-supply",
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn plugin(id: &str) -> Plugin {
    let folder = Folder::read(&root().join("plugins").join(id)).unwrap();
    let plugin = folder.plugin().unwrap_or_else(|faults| panic!("{id}: {faults:#?}"));
    assert_eq!((plugin.manifest.id.as_str(), plugin.manifest.units.as_slice()), (id, &[id.to_string()][..]));
    plugin
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let mut list: Vec<PathBuf> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    list.retain(|p| p.extension().is_some_and(|e| e == "toml"));
    list.sort();
    list
}

/// What the core and what the plugin say of a jig.
fn told(plugin: &Plugin, name: &str, text: &str) -> (Judgement, Vec<Finding>) {
    let jig = jig::parse(name, text.as_bytes()).unwrap_or_else(|faults| panic!("{name}: {faults:#?}"));
    let survey = survey(&jig, &Options::default());
    let judgement = checks::judge(&jig, &survey, "2026-01-01");
    let set = settings::of(&jig, &plugin.manifest).unwrap_or_else(|why| panic!("{name}: {why}"));
    let subject = Arc::new(Subject::new(jig, survey, &judgement));
    let limits = Bounds { milliseconds: 20_000, ..Bounds::default() };
    let found = worker::one(plugin, set, &subject, limits).unwrap_or_else(|failed| panic!("{name}: {failed:?}"));
    (judgement, found)
}

/// What is asked of one finding: its check, a part that it names, its signal word.
struct Asked {
    check: String,
    part: Option<String>,
    signal: Option<String>,
}

/// A case: the jig, and what the plugin has to find in it.
fn split(path: &Path) -> (String, BTreeSet<String>) {
    let (jig, asked) = asked(path);
    (jig, asked.into_iter().map(|a| a.check).collect())
}

fn asked(path: &Path) -> (String, Vec<Asked>) {
    let text = std::fs::read_to_string(path).unwrap();
    let (jig, expect) = text.split_once("[expect]\n").unwrap();
    let expect: toml::Table = expect.parse().unwrap();
    let none = expect.get("none").is_some_and(|v| v.as_bool() == Some(true));
    let list = expect.get("findings").and_then(|v| v.as_array());
    let one = |v: &toml::Value| match v.as_str() {
        Some(check) => Asked { check: check.to_string(), part: None, signal: None },
        None => {
            let key = |key: &str| v.get(key).and_then(|x| x.as_str()).map(str::to_string);
            Asked { check: key("check").unwrap(), part: key("part"), signal: key("signal") }
        }
    };
    let asked: Vec<Asked> = list.into_iter().flatten().map(one).collect();
    assert!(none == asked.is_empty() && expect.len() == 1, "{}", path.display());
    (jig.to_string(), asked)
}

fn cases(id: &str) {
    let plugin = plugin(id);
    let (mut good, mut bad, mut wrong) = (0, 0, vec![]);
    let mut seen = BTreeSet::new();
    for path in files(&root().join("plugins").join(id).join("cases")) {
        let (text, asked) = asked(&path);
        let wanted: BTreeSet<String> = asked.iter().map(|a| a.check.clone()).collect();
        let name = path.file_name().unwrap().to_str().unwrap().to_string();
        let (judgement, found) = told(&plugin, &name, &text);
        let names: BTreeSet<String> = found.iter().map(|f| f.check.to_string()).collect();
        if names != wanted {
            wrong.push(format!(
                "{name}: wanted {wanted:?}, found {:#?}",
                found.iter().map(|f| &f.message).collect::<Vec<_>>()
            ));
        }
        for a in &asked {
            let fits = |f: &&Finding| {
                f.check == *a.check
                    && a.part.as_ref().is_none_or(|p| f.parts.contains(p))
                    && a.signal.as_ref().is_none_or(|s| f.signal.word() == s)
            };
            if !found.iter().any(|f| fits(&f)) {
                wrong.push(format!("{name}: no {} of {:?} as {:?} in {found:#?}", a.check, a.part, a.signal));
            }
        }
        if wanted.is_empty() {
            good += 1;
            let core = judgement.findings.iter().filter(|f| f.signal <= Signal::Warning && f.source_of_check == "core");
            wrong.extend(core.map(|f| format!("{name}: the core says {} {}", f.check, f.message)));
        } else {
            bad += 1;
        }
        seen.extend(names);
        for f in found {
            assert!(!f.condition.is_empty() && !f.remedy.is_empty(), "{name}: {f:?}");
        }
    }
    assert!(wrong.is_empty(), "{id}:\n{}", wrong.join("\n"));
    assert!(good >= 3 && bad >= 5, "{id}: {good} good, {bad} bad");
    let all: BTreeSet<String> = plugin.manifest.checks.keys().cloned().collect();
    assert_eq!(seen, all, "{id}: every check has a case that draws it");
}

macro_rules! units {
    ($($name:ident $id:literal)*) => { $(#[test] fn $name() { cases($id) })* };
}
units! {
    bench_supply "bench-supply"
    capacitor_reformer "capacitor-reformer"
    discharge_probe "discharge-probe"
    dummy_load "dummy-load"
    isolated_supply "isolated-supply"
    led_strobe "led-strobe"
    mains_probe "mains-probe"
    series_lamp_limiter "series-lamp-limiter"
    soft_start_box "soft-start-box"
    strobe_lamp "strobe-lamp"
    test_outlet "test-outlet"
    variable_supply "variable-supply"
}

/// The sound tools of the demo draw nothing graver than a notice from the plugin of their unit.
#[test]
fn demo_tools_are_left_alone() {
    let mut tried = 0;
    for path in files(&root().join("demo-data")) {
        let text = std::fs::read_to_string(&path).unwrap();
        let name = path.display().to_string();
        let unit = jig::parse(&name, text.as_bytes()).unwrap().unit.clone();
        if !UNITS.contains(&unit.as_str()) {
            continue;
        }
        tried += 1;
        let (_, found) = told(&plugin(&unit), &name, &text);
        let grave: Vec<&Finding> = found.iter().filter(|f| f.signal < Signal::Notice).collect();
        assert!(grave.is_empty(), "{name}: {grave:#?}");
    }
    assert!(tried >= 6, "{tried}");
}

/// The value that a check of a case tells.
fn value(id: &str, case: &str, check: &str) -> f64 {
    let (text, _) = split(&root().join("plugins").join(id).join("cases").join(case));
    let (_, found) = told(&plugin(id), case, &text);
    found.iter().find(|f| f.check == check).and_then(|f| f.value).unwrap_or_else(|| panic!("{case}: {found:#?}"))
}

/// Four like resistors in a row take the same: one finding, not four.
#[test]
fn twins_of_a_string_are_told_together() {
    for (case, check) in [("bad-small-resistors.toml", "pulse-energy"), ("bad-many-a-minute.toml", "repeated")] {
        let (text, _) = split(&root().join("plugins/discharge-probe/cases").join(case));
        let (_, found) = told(&plugin("discharge-probe"), case, &text);
        let mine: Vec<&Finding> = found.iter().filter(|f| f.check == check).collect();
        assert!(mine.len() == 1 && mine[0].parts == ["R1", "R2", "R3", "R4"], "{case}: {mine:#?}");
    }
}

/// Numbers of the findings worked out by hand from the parts of each case.
#[test]
fn numbers_agree_with_hand_formulas() {
    let near = |found: f64, hand: f64, part: f64| {
        assert!((found - hand).abs() <= part * hand.abs(), "found {found}, by hand {hand}");
    };
    let crest = 2f64.sqrt();
    // Crest of the lowest mains over the strike volts; 2 MΩ hardly lower it behind a dark lamp.
    near(value("strobe-lamp", "bad-dark-strike.toml", "dark-strike"), 207.0 * crest / 215.0, 0.01);
    // 180 bars under 120 flashes: 60 · 120 / 180 turns a minute for 33 1/3.
    near(value("strobe-lamp", "bad-ring-for-50-hz.toml", "ring-count"), 7200.0 / 180.0 / 33.3333 - 1.0, 0.001);
    // A half-sine has a mean of 2/π of its crest; three LEDs of 3.2 V take little off it: 2 pitches of it.
    near(value("led-strobe", "bad-coarse-ring.toml", "flash-width"), 2.0 * 2.0 / std::f64::consts::PI, 0.05);
    // Crest of the nominal mains less the LEDs and the bridge, over the resistance.
    near(value("led-strobe", "bad-crest.toml", "lasting-crest"), (230.0 * crest - 11.0) / 30e3 / 6e-3, 0.02);
    // A short puts the mains across the lamp: 230 V of 400 V.
    near(value("series-lamp-limiter", "bad-lamp-of-other-mains.toml", "short-light"), 230.0 / 400.0, 0.01);
    // 253 V across 230² / 100 · 0.0667 Ω, or the cold ratio the tables give.
    near(value("series-lamp-limiter", "bad-small-switch.toml", "cold-inrush"), 253.0 / (529.0 / 15.0), 0.02);
    // 400 V on 100 µF, as stated. The lit LED draws through 220 Ω beside 1.5 kΩ, so the chain is 40 kΩ and those two side by
    // side, and it settles towards the LED's 1.9 V divided between them; worked out again without the LED, it is 120 V.
    let (beside, led) = (1500.0 * 220.0 / 1720.0, 1.9 * 1500.0 / 1720.0);
    let left = led + (400.0 - led) * (-5.0 / ((40e3 + beside) * 100e-6f64)).exp();
    near(value("discharge-probe", "bad-slow.toml", "too-slow"), left, 0.001);
    // The volts at which a lamp goes dark are searched for, to a thousandth.
    near(value("discharge-probe", "bad-dark-early.toml", "dark-too-early"), 1.9 * 4847.0 / 47.0, 1e-3);
    // The lit LEDs take a little of what goes beside them, and after 5 s a little is left.
    near(value("discharge-probe", "bad-small-resistors.toml", "pulse-energy"), 37.6 * 1200.0 / 4980.0, 0.03);
    // Of its charges the one of 450 V bites hardest, though that of 400 V holds more: through 200 Ω onto 10 Ω beside 100 Ω
    // and a lit LED of 1.9 V.
    let volts = (450.0 / 200.0 + 1.9 / 100.0) / (1.0 / 200.0 + 1.0 / 10.0 + 1.0 / 100.0);
    near(value("discharge-probe", "bad-hard.toml", "spark"), (450.0 - volts) / 200.0, 2e-3);
    let omega = 2.0 * std::f64::consts::PI * 50.0;
    near(value("isolated-supply", "bad-leaky.toml", "leak"), omega * 4.7e-9 * 253.0, 1e-6);
    // With the lamp out a short is 10 Ω and what the mains has of its own: the share of the mains that is left.
    near(value("series-lamp-limiter", "bad-beside.toml", "not-limited"), 230.0 / 10.0, 0.05);
    near(value("series-lamp-limiter", "bad-120-v-lamp.toml", "lamp-volts"), 230.0 / 120.0, 0.01);
    // 470 Ω and 22 Ω beside 220 Ω and a lit LED on 1000 V; a bulb of 60 W at 230 V, a fifteenth of its resistance, on 400 V.
    let volts = (1000.0 / 470.0 + 1.9 / 220.0) / (1.0 / 470.0 + 1.0 / 22.0 + 1.0 / 220.0);
    near(value("discharge-probe", "bad-small-hot.toml", "spark"), (1000.0 - volts) / 470.0, 2e-3);
    near(value("discharge-probe", "bad-bulb.toml", "cold-lamp"), 400.0 / (230.0 * 230.0 / 60.0 / 15.0), 0.001);
    near(value("discharge-probe", "bad-neon.toml", "dark-too-early"), 150.0, 2e-3);
    // 10 µF through 1 MΩ for 5 s: half a time constant.
    near(value("discharge-probe", "bad-other-tip.toml", "too-slow"), 400.0 * (-0.5f64).exp(), 0.001);
    near(value("variable-supply", "bad-fuse-after-shunt.toml", "brush-fuse"), 10.0 / (500.0 / 240.0), 1e-6);
    near(value("variable-supply", "bad-apart.toml", "travel"), 300.0 / 230.0, 1e-6);
    near(value("test-outlet", "bad-shunt-short-only.toml", "shunt-overload"), 15.0 * 15.0 * 0.1, 1e-6);
    near(value("variable-supply", "bad-travel.toml", "travel"), 270.0 / 230.0, 1e-6);
    near(value("variable-supply", "bad-brush-fuse.toml", "brush-fuse"), 2.0, 1e-6);
    near(value("test-outlet", "bad-shunt.toml", "shunt-overload"), 15.0 * 15.0 * 0.1, 1e-6);
    near(value("series-lamp-limiter", "bad-lamp-too-large.toml", "lamp-too-large"), 300.0 / 40.0, 1e-6);
    // More than its rated current and less than a resistor would draw on a tenth more volts.
    let (found, rated) = (value("series-lamp-limiter", "bad-label.toml", "label-lamp"), 1000.0 / 230.0);
    assert!(found > rated && found < 1.1 * rated, "{found}");
    // 8 J each, 30 a minute, shared by resistance.
    let watts = 8.0 * 1200.0 / 4980.0 * 30.0 / 60.0;
    near(value("discharge-probe", "bad-many-a-minute.toml", "repeated"), watts, 0.03);
    near(value("discharge-probe", "bad-dark-near-60.toml", "dark-above-60"), 1.9 * 4950.0 / 150.0, 2e-3);
    // The mean of a rectified sine less three LEDs and a bridge of some 1.5 V, over 300 kΩ.
    let mean = (207.0 * crest * 2.0 / std::f64::consts::PI - 9.6 - 1.5) / 300e3;
    near(value("led-strobe", "bad-dim.toml", "dim"), mean, 0.02);
    near(value("test-outlet", "bad-weak-switch.toml", "weak-switch"), 10.0 / 4.0, 1e-6);
    // Less than without a lamp, more than if the lamp took 60 V off at all times.
    let found = value("mains-probe", "bad-dim.toml", "too-dim");
    assert!(found < 253.0 / (4.4e6 * 0.95) && found > (253.0 - 60.0) / 4.4e6, "{found}");
    // One resistor of 270 kΩ less 5 % is left; a sine above 60 V of maintaining volts: at most the whole sine, and at least
    // what the crest less 60 V would drive.
    let found = value("mains-probe", "bad-270-k.toml", "user-current");
    let (most, least) = (253.0 / (270e3 * 0.95), (253.0 - 60.0) / 270e3);
    assert!(found < most && found > least, "{found}");
    // The published check of this lamp: 90 V strike it, 60 V stay across it. Between, a sine less 60 V over 2 MΩ; 0.6 mA is its
    // design current. The sum over a half-wave in thousandths.
    let glow = |crest: f64, ohms: f64| {
        let (on, off) = ((90.0 / crest).asin(), std::f64::consts::PI - (60.0 / crest).asin());
        let step = (off - on) / 1000.0;
        let amperes = |k: u32| (crest * (on + (f64::from(k) + 0.5) * step).sin() - 60.0) / ohms;
        ((0..1000).map(|k| amperes(k).powi(2)).sum::<f64>() * step / std::f64::consts::PI).sqrt()
    };
    near(value("strobe-lamp", "bad-faint.toml", "steady-glow"), glow(207.0 * crest, 2e6) / 0.6e-3, 0.05);
    // That current stays above half its crest from where the sine reaches half way between 60 V and its crest, and the ring of
    // 360 bars moves 200 bars a second.
    let top = 230.0 * crest;
    let half = ((top + 60.0) / 2.0 / top).asin();
    let seconds = (std::f64::consts::PI - 2.0 * half) / omega;
    near(value("strobe-lamp", "bad-coarse-ring.toml", "flash-width"), seconds * 200.0, 0.03);
    // 1000 µF beside three LEDs of 15 Ω: of a rectified sine's second harmonic, two thirds of its mean, so much is left.
    let ripple = 2.0 / 3.0 / (2.0 * omega * 45.0 * 1000e-6).hypot(1.0);
    near(value("led-strobe", "bad-smoothed.toml", "no-flash"), 1.0 / (1.0 + ripple), 0.01);
    // A lamp of 100 W draws its current to the power of 0.55 of its volts (published); the rest falls across 500 W at 230 V.
    let (mut low, mut high) = (0.0, 230.0);
    for _ in 0..60 {
        let volts: f64 = (low + high) / 2.0;
        let drawn = 100.0 / 230.0 * (volts / 230.0).powf(0.55);
        if volts + drawn * 230.0 * 230.0 / 500.0 < 230.0 { low = volts } else { high = volts }
    }
    near(value("series-lamp-limiter", "bad-load-too-large.toml", "indication"), low / 230.0, 0.01);
}
