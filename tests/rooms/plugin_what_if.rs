//! Numbers a plugin gets from what-ifs and discharges, against Ohm's law and the exponential worked out here. Nothing of the
//! solver or of the host is used for the expected side.
#![allow(missing_docs, clippy::unwrap_used)]

use super::plugins;
use crate::plugin::vm::Bounds;
use crate::plugin::what_if::{self, Subject, Wish};
use crate::survey::{Options, survey};
use crate::{checks, jig};
use std::collections::BTreeMap;
use std::path::Path;
use std::time::{Duration, Instant};

const MANIFEST: &str = r#"
id = "numbers"
version = "1.0.0"
api = 1
title = "Numbers"
about = "Gives back numbers as findings."
units = ["strobe-lamp"]
author = "Quillgate Repair Co-op"
licence = "MIT"
sources = []
[checks.number]
title = "A number"
source = "common practice"
why = "For the test."
"#;

fn demo(name: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data").join(name)).unwrap()
}

/// Runs `body`, which sets `out.NAME`, twice in fresh machines: both must say the same.
fn numbers(text: &str, body: &str) -> BTreeMap<String, f64> {
    let (subject, _) = plugins::judged(jig::parse("tool.toml", text.as_bytes()).unwrap());
    let source = format!(
        "return {{ check = function(jig)\nlocal out, list = {{}}, {{}}\n{body}\nfor name, value in out do list[#list + 1] = \
         notice{{ check = 'number', quantity = name, value = value, message = 'm', remedy = 'r' }} end\nreturn list end }}"
    );
    let plugin = plugins::plugin(MANIFEST, &source);
    let once = || plugins::run(&plugin, &subject, Bounds::default()).unwrap();
    let found = once();
    assert_eq!(found, once());
    found.into_iter().map(|f| (f.quantity.to_string(), f.value.unwrap())).collect()
}

fn near(name: &str, value: f64, wanted: f64, share: f64) {
    assert!((value - wanted).abs() <= share * wanted.abs(), "{name}: {value}, by hand {wanted}");
}

/// Fuses, cord and mains of the wand's loop are below 300 Ω: a thousandth of its 300 kΩ.
const LOOP: f64 = 2e-3;

#[test]
fn a_shorted_lamp_leaves_the_droppers_alone_on_the_mains() {
    let out = numbers(
        &demo("neon-wand-230v.toml"),
        "local a = jig:solve{ supply = 230, faults = { 'LP1-short' } }
         out.current, out.power, out.middle = a.parts.R1.current_rms, a.parts.R1.power, a.nets.m.voltage_rms
         out.peak = a.parts.R1.current_peak
         local b = jig:solve{ supply = 'nominal', faults = { 'LP1-short' } }
         out.nominal = b.parts.R1.current_rms
         out.high = jig:solve{ faults = { 'LP1-short' } }.parts.R1.current_rms
         out.low = jig:solve{ supply = 'low', faults = { 'LP1-short' } }.parts.R1.current_rms
         out.reversed = jig:solve{ supply = 230, plug = 'reversed', faults = { 'LP1-short' } }.nets.L1.voltage_rms
         out.open = jig:solve{ faults = { 'F1-open' } }.parts.R1.current_rms",
    );
    let amperes = 230.0 / 300e3;
    near("current", out["current"], amperes, LOOP);
    near("peak", out["peak"], amperes * 2f64.sqrt(), LOOP);
    near("power", out["power"], amperes * amperes * 150e3, 2.0 * LOOP);
    // R1 and R2 are alike, and N is at earth.
    near("middle", out["middle"], 115.0, LOOP);
    near("nominal", out["nominal"], amperes, LOOP);
    // IEC 60038: 230 V ± 10 %.
    near("high", out["high"], 1.1 * amperes, LOOP);
    near("low", out["low"], 0.9 * amperes, LOOP);
    // With N live the droppers' far end is at 230 V less what flows through the earthed side: nothing is left at L1.
    assert!(out["reversed"] < 1.0, "{}", out["reversed"]);
    // What an open joint leaks at the most: the mains over 1 GΩ.
    assert!(out["open"] < 300.0 / 1e9, "{}", out["open"]);
}

#[test]
fn a_changed_value_is_the_one_that_is_solved_and_only_for_once() {
    let out = numbers(
        &demo("neon-wand-230v.toml"),
        "local faults = { 'LP1-short' }
         out.changed = jig:solve{ supply = 230, faults = faults, change = { R1 = { resistance = 300000 } } }.parts.R1.voltage_rms
         out.after = jig:solve{ supply = 230, faults = faults }.parts.R1.voltage_rms
         out.stated = jig:part('R1').resistance",
    );
    // 300 kΩ of 450 kΩ.
    near("changed", out["changed"], 230.0 * 300.0 / 450.0, LOOP);
    near("after", out["after"], 115.0, LOOP);
    assert_eq!(out["stated"], 150e3);
}

#[test]
fn what_is_solved_without_a_fault_is_what_the_check_itself_shows() {
    let out = numbers(
        &demo("neon-wand-230v.toml"),
        "local s = jig:solve{ supply = 'nominal' }
         for _, q in { 'power', 'voltage_rms', 'voltage_peak', 'current_rms', 'current_mean', 'current_peak' } do
           out[q] = s.parts.LP1[q] / jig:stress('LP1', q).nominal
         end",
    );
    assert_eq!(out.len(), 6);
    for (quantity, share) in out {
        // The meters from every net to earth take a little.
        near(&quantity, share, 1.0, 1e-6);
    }
}

#[test]
fn a_dead_short_opens_a_fuse_and_what_follows_is_told() {
    let out = numbers(
        &demo("neon-wand-230v.toml"),
        "local s = jig:solve{ supply = 230, faults = { 'R1-short', 'R2-short', 'LP1-short' } }
         out.opens, out.within, out.amperes = #s.opens, s.opens[1].within, s.opens[1].amperes
         out.before, out.after = s.parts.R1.current_rms, s.after.parts.R1.current_rms
         out.still = jig:solve{ supply = 230 }.after == nil and 1 or 0",
    );
    assert!(out["opens"] >= 1.0 && out["within"] < 1.0, "{out:?}");
    near("before", out["amperes"], out["before"], 1e-9);
    // 50 mA fuses on a socket: far above ten times their rating, and nothing to speak of afterwards.
    assert!(out["before"] > 0.5 && out["after"] < 300.0 / 1e9, "{out:?}");
    assert_eq!(out["still"], 1.0);
}

#[test]
fn a_probe_empties_a_capacitor_along_its_exponential() {
    let out = numbers(
        &demo("discharge-probe.toml"),
        "out.start, out.one, out.two = jig:discharge('TIP', 'CLIP', 0), jig:discharge('TIP', 'CLIP', 1), jig:discharge('CLIP', 'TIP', 2)",
    );
    // 4 × 1.2 kΩ and 150 Ω, to which 220 Ω may stand parallel while an LED conducts. 100 µF outlast 47 µF.
    let (most, least) = (4.0 * 1200.0 + 150.0, 4.0 * 1200.0 + 150.0 * 220.0 / 370.0);
    let left = |ohms: f64, seconds: f64| 400.0 * f64::exp(-seconds / (ohms * 100e-6));
    // "At once" is a microsecond later; the faster of the two, 47 µF, has a quarter of a second.
    near("start", out["start"], 450.0, 1e-5);
    for (name, seconds) in [("one", 1.0), ("two", 2.0)] {
        let volts = out[name];
        assert!(volts > left(least, seconds) && volts < left(most, seconds), "{name}: {volts}");
    }
}

#[test]
fn a_bleeder_empties_an_interference_capacitor_from_the_crest() {
    let text = r#"
format = 1
[jig]
name = "Capacitor on a cord"
unit = "strobe-lamp"
use = "bench"
[supply]
system = "230 V 50 Hz"
plug = "C"
[part.C1]
kind = "capacitor"
across = ["L", "N"]
capacitance = "1 uF"
class = "X2"
voltage = "275 V"
[part.R1]
kind = "resistor"
across = ["L", "N"]
resistance = "1 MΩ"
power = "0.5 W"
voltage = "500 V"
"#;
    let out = numbers(text, "for _, s in { 0, 1, 2 } do out['after ' .. s] = jig:discharge('L', 'N', s) end");
    // The crest of 253 V; 1 MΩ and 1 µF are one second.
    for (name, seconds) in [("after 0", 0.0), ("after 1", 1.0), ("after 2", 2.0)] {
        near(name, out[name], 253.0 * 2f64.sqrt() * f64::exp(-seconds), 2e-3);
    }
}

#[test]
fn nets_are_joined_by_metal_and_not_by_parts() {
    let out = numbers(
        &demo("isolated-supply-230v.toml"),
        "local function is(x) return x and 1 or 0 end
         out.on, out.off = is(jig:joined('L', 'L2')), is(jig:joined('L', 'L2', { SW1 = 'off' }))
         out.fuse, out.winding, out.earth = is(jig:joined('S1', 'O1')), is(jig:joined('L2', 'N2')), is(jig:joined('PE', 'CASE'))",
    );
    let wanted = [("earth", 1.0), ("fuse", 1.0), ("off", 0.0), ("on", 1.0), ("winding", 0.0)];
    assert_eq!(out.iter().map(|(k, v)| (k.as_str(), *v)).collect::<Vec<_>>(), wanted);
}

#[test]
fn a_walk_reaches_the_nets_that_what_it_goes_through_joins() {
    // Each walk's nets by name; what must not be there is named with a minus.
    let walks = [
        ("{ from = 'L' }", "L L1 L2 -N -N2 -S1"),
        ("{ from = 'L', through = { 'wire', 'fuse' } }", "L L1 -L2"),
        ("{ from = 'L', switches = { SW1 = 'off' } }", "L L1 -L2"),
        ("{ from = 'L', switches = {} }", "L L1 L2 -N2"),
        ("{ from = 'L', through = 'anything' }", "L L1 L2 N2 N1 N -S1 -O1"),
        ("{ from = 'L', through = 'anything', stop_at = 'L2' }", "L L1 L2 -N2"),
        ("{ from = 'L', through = 'anything', stop_at = jig:reach{ from = 'L1' } }", "L L1 -L2"),
        ("{ from = { 'O1' }, through = { 'fuse', 'outlet' } }", "O1 S1 O2 S2 -L2"),
        ("{ from = jig:reach{ from = 'PE', through = { 'wire' } }, through = { 'fuse' } }", "PE CASE -L"),
        ("{ from = {} }", "-L -PE"),
    ];
    for (walk, wanted) in walks {
        let wanted: BTreeMap<String, f64> = wanted
            .split(' ')
            .map(|name| name.strip_prefix('-').map_or((name.to_string(), 1.0), |name| (name.to_string(), 0.0)))
            .collect();
        let names: Vec<String> = wanted.keys().map(|name| format!("{name:?}")).collect();
        let body = format!(
            "local seen = jig:reach{walk}
             for _, name in {{ {} }} do out[name] = seen[name] and 1 or 0 end",
            names.join(", ")
        );
        assert_eq!(numbers(&demo("isolated-supply-230v.toml"), &body), wanted, "{walk}");
    }
}

#[test]
fn one_volt_is_divided_over_the_resistors_of_a_probe() {
    let out = numbers(
        &demo("discharge-probe.toml"),
        "local d = jig:divider('TIP', 'CLIP')
         out.ohms, out.a, out.d, out.e, out.clip = 1 / d.siemens, d.volts.a, d.volts.d, d.volts.e, d.volts.CLIP
         out.barrel = d.volts.BARREL == nil and 1 or 0
         out.back = jig:divider('CLIP', 'TIP').volts.d",
    );
    // 4 × 1.2 kΩ and 150 Ω; the LEDs are dark, so nothing flows through R6.
    near("ohms", out["ohms"], 4950.0, 1e-6);
    near("a", out["a"], 3750.0 / 4950.0, 1e-6);
    near("d", out["d"], 150.0 / 4950.0, 1e-6);
    near("e", out["e"], 150.0 / 4950.0, 1e-6);
    near("back", out["back"], 4800.0 / 4950.0, 1e-6);
    assert_eq!((out["clip"], out["barrel"]), (0.0, 1.0));
}

#[test]
fn a_ring_of_bars_stands_still_at_one_bar_a_flash() {
    let out = numbers(
        &demo("neon-wand-230v.toml"),
        "local r = jig:ring(133, 45, 100)
         out.still, out.off, out.best, out.whole, out.advance = r.still, r.off, r.best, r.whole, r.advance",
    );
    // 100 flashes a second are 6000 a minute.
    near("still", out["still"], 6000.0 / 133.0, 1e-12);
    near("off", out["off"], 6000.0 / 133.0 / 45.0 - 1.0, 1e-9);
    near("advance", out["advance"], 45.0 * 133.0 / 6000.0, 1e-12);
    assert_eq!((out["best"], out["whole"]), (133.0, 1.0));
}

/// Every value that may be changed.
const KEYS: [&str; 9] =
    ["resistance", "capacitance", "inductance", "volts", "power", "strike", "maintain", "forward", "current"];

#[test]
fn whatever_value_is_wished_for_is_solved_or_refused_in_time() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let jigs = ["neon-wand-230v", "capacitor-led-230v", "isolated-supply-230v", "series-lamp-limiter-230v"];
    let (mut solved, mut refused, mut longest) = (0, 0, (Duration::ZERO, String::new()));
    for name in jigs {
        let jig = jig::read(&root.join(format!("demo-data/{name}.toml"))).unwrap();
        let survey = survey(&jig, &Options { faults: 0, threads: 1, ..Options::default() });
        let judgement = checks::judge(&jig, &survey, "2026-01-01");
        let subject = Subject::new(jig, survey, &judgement);
        let parts: Vec<String> = subject.jig.parts.iter().map(|p| p.name.clone()).collect();
        for part in parts {
            for key in KEYS {
                for value in [5e-324, 1e-300, 1e-30, 1e-9, 1e-3, 1.0, 1e3, 1e9, 1e30, 1e300, f64::MAX] {
                    let wish = Wish { change: vec![(part.clone(), key.into(), value)], ..Wish::default() };
                    let started = Instant::now();
                    let answer = what_if::solve(&subject, &wish);
                    let took = started.elapsed();
                    if took > longest.0 {
                        longest = (took, format!("{name} {part}.{key} = {value:e}"));
                    }
                    match answer {
                        Ok(a) => {
                            solved += 1;
                            let items = a.steps.iter().flat_map(|s| &s.readings.items);
                            let mut values = items.flat_map(|i| i.iter().map(|(_, x)| *x));
                            assert!(values.all(f64::is_finite), "{name} {part}.{key} = {value:e}");
                        }
                        Err(_) => refused += 1,
                    }
                }
            }
        }
    }
    println!("{solved} solved, {refused} refused, longest {longest:?}");
    // One solution must leave a plugin that is told to stop time to do so. Most pairs of part and key are refused: few parts
    // have all keys.
    assert!(solved > 100 && refused > 200 && longest.0 < Duration::from_millis(750), "{longest:?}");
}

/// What the what-ifs of a plugin put into the circuit besides: each figure by Ohm's law.
#[test]
fn wires_hands_and_cold_filaments_are_put_into_the_circuit() {
    let text = r#"
format = 1
[jig]
name = "Bench lamp"
unit = "strobe-lamp"
use = "bench"
[supply]
system = "230 V 50 Hz"
plug = "fixed"
[part.R1]
kind = "resistor"
across = ["L", "a"]
resistance = "1 MΩ"
power = "0.5 W"
voltage = "500 V"
[part.R2]
kind = "resistor"
across = ["a", "b"]
resistance = "1 MΩ"
power = "0.5 W"
voltage = "500 V"
[part.LP1]
kind = "filament-lamp"
across = ["L", "N"]
volts = "230 V"
power = "100 W"
cold-ratio = 0.1
[[touchable]]
name = "stud"
net = "b"
"#;
    let out = numbers(
        text,
        "local s = jig:solve{ supply = 230, hold = 'b', between = { { 'L', 'b' } }, waves = { 'R1' } }
         out.held, out.beside = s.held.current_rms, s.between[1].voltage_rms
         out.points, out.period, out.crest = #s.waves.R1, s.period, 0
         for _, i in s.waves.R1 do out.crest = math.max(out.crest, i) end
         local w = jig:solve{ supply = 230, join = { { 'b', 'N' } } }
         out.wired = w.parts.R1.current_rms
         out.hot = jig:solve{ supply = 230 }.parts.LP1.current_rms
         out.cold = jig:solve{ supply = 230, cold = true }.parts.LP1.current_rms
         out.past = if jig:reach{ from = 'L', through = 'anything', except = 'R2' }.b then 1 else 0
         out.through = if jig:reach{ from = 'L', through = 'anything' }.b then 1 else 0
         out.items = #jig:part('R1').items",
    );
    // 2 MΩ, and a body of some 2 kΩ, a thousandth of it.
    near("held", out["held"], 230.0 / 2e6, 2e-3);
    near("beside", out["beside"], 230.0, 2e-3);
    near("crest", out["crest"], 230.0 * 2f64.sqrt() / 2e6, 2e-3);
    near("wired", out["wired"], 230.0 / 2e6, 1e-3);
    near("hot", out["hot"], 100.0 / 230.0, 1e-2);
    near("cold", out["cold"], 1000.0 / 230.0, 2e-2);
    assert_eq!((out["points"], out["period"], out["items"]), (256.0, 0.02, 1.0));
    assert_eq!((out["past"], out["through"]), (0.0, 1.0));
}

/// One setting of a discharge, followed: energy, first current and what is left, by the exponential.
#[test]
fn a_charge_that_is_put_on_is_followed_in_one_setting() {
    let text = r#"
format = 1
[jig]
name = "Bleeder stick"
unit = "strobe-lamp"
use = "hand-held"
[supply]
system = "none"
[part.R1]
kind = "resistor"
across = ["t", "CLIP"]
resistance = "10 kΩ"
power = "5 W"
voltage = "500 V"
[part.SW1]
kind = "switch"
positions = { on = [["TIP", "t"]], off = [] }
voltage = "500 V"
current = "1 A"
[[outlet]]
name = "TIPS"
across = ["TIP", "CLIP"]
loads = ["10 uF charged 400 V", "open"]
"#;
    let out = numbers(
        text,
        "local load = { TIPS = '10 uF charged 400 V' }
         local on = jig:put_on{ loads = load, seconds = 0.1, between = { { 'TIP', 'CLIP' } } }
         out.left, out.first, out.took, out.crest = on.left, on.current_peak, on.parts.R1.energy, on.parts.R1.power_peak
         out.between = on.between[1]
         local turned = jig:put_on{ loads = load, turned = true, charged = 200, falls_below = 50 }
         out.seconds = turned.seconds
         local off = jig:put_on{ loads = load, switches = { SW1 = 'off' }, seconds = 1 }
         out.kept, out.idle = off.left, off.parts.R1.energy
         out.wished = jig:discharge('TIP', 'CLIP', 0.1, { loads = load })
         out.open = jig:discharge('TIP', 'CLIP', 0.1, { loads = load, switches = { SW1 = 'off' } })
         local most, source = pulse_energy(0.5, 100, 2, 50, 1)
         out.most = most
         assert(#source > 0)",
    );
    // 10 kΩ and 10 µF are 0.1 s.
    let left = 400.0 / std::f64::consts::E;
    near("left", out["left"], left, 1e-3);
    near("between", out["between"].abs(), left, 1e-3);
    near("wished", out["wished"], left, 1e-3);
    near("first", out["first"], 0.04, 1e-3);
    near("crest", out["crest"], 16.0, 1e-3);
    near("took", out["took"], 0.5 * 10e-6 * (400.0f64.powi(2) - left * left), 1e-3);
    near("seconds", out["seconds"], 0.1 * 4f64.ln(), 1e-2);
    near("kept", out["kept"], 400.0, 1e-3);
    near("open", out["open"], 400.0, 1e-3);
    assert!(out["idle"] < 1e-6, "{}", out["idle"]);
    // A rectangle of 40 ms: between 15 times the rating at 10 ms and 6.7 times at 100 ms, on logarithmic scales.
    let times = 15.0 * (6.7f64 / 15.0).powf(4f64.ln() / 10f64.ln());
    near("most", out["most"], 0.5 * times * 0.04, 1e-6);
}
