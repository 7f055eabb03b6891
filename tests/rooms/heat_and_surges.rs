//! The heat of the box and of parts, thermal fuses, and what happens at switch-on: tiny jigs and their near twins. The
//! numbers in the comments are worked out by hand, not taken from the program.
#![allow(clippy::unwrap_used)]

use super::tiny::*;
use crate::finding::Signal;
use crate::standard::resistor;

const BOX: &str = "[\"400 mm\", \"300 mm\", \"200 mm\"]";

/// A plastic box of 200 × 150 × 80 mm: 0.116 m² less a fifth, so 0.3248 W/K inside and 0.928 W/K outside.
fn small(text: &str) -> String {
    text.replace(BOX, "[\"200 mm\", \"150 mm\", \"80 mm\"]")
}

fn link(on: &str, celsius: &str) -> String {
    let keys = format!("temperature = \"{celsius}\"\ncurrent = \"10 A\"\nvoltage = \"250 V\"{on}");
    part("TF1", "thermal-fuse", "L1", "a", &keys)
}

// ---- thermal fuses ----

#[test]
fn a_thermal_fuse_ends_what_overheats_the_part_it_sits_on() {
    // R2 shorted: 253²/950 = 67 W in 40 W. The link's 115 °C are passed from (115 − 40)/85 · 40 W = 35 W on; in normal use
    // R1 takes 253²/(4 · 950) = 17 W and comes to 40 + 36 = 76 °C.
    let of = |on: &str, celsius: &str| {
        jig(&[
            fuses("500 mA", "T"),
            link(on, celsius),
            resistor("R1", "a", "m", "1 kΩ", "40 W"),
            resistor("R2", "m", "N1", "1 kΩ", "100 W"),
        ])
    };
    silent(&of("\non = \"R1\"", "115 °C"), "resistor-power");
    trips(&of("", "115 °C"), "resistor-power", Signal::Warning);
    // 184 °C is beyond the 155 °C that film stands: it opens too late.
    trips(&of("\non = \"R1\"", "184 °C"), "resistor-power", Signal::Warning);
    // On the other resistor it feels nothing.
    trips(&of("\non = \"R2\"", "115 °C"), "resistor-power", Signal::Warning);
}

#[test]
fn a_thermal_fuse_is_judged_where_it_sits() {
    // 253²/(0.95 · 6.8 kΩ) = 9.9 W warm the air by 6.8 K (1.456 W/K) and the resistor by 9.9/22 · 85 = 38 K: 85 °C.
    let of = |on: &str, celsius: &str| {
        jig(&[fuses("100 mA", "T"), link(on, celsius), resistor("R1", "a", "N1", "6.8 kΩ", "22 W")])
    };
    let f = trips(&of("\non = \"R1\"", "84 °C"), "part-temperature", Signal::Warning);
    close(f.value, 40.0 + 6.8 + 38.3, 0.01);
    // It may open from 98 − 10 = 88 °C and holds up to 83 °C.
    trips(&of("\non = \"R1\"", "98 °C"), "part-temperature", Signal::Caution);
    silent(&of("\non = \"R1\"", "115 °C"), "part-temperature");
    // At high mains 9.9 W in 16 W, 53 K: it opens for ever, and what goes on after that is cold: told all the same. What
    // lasts, 230²/6.8 kΩ = 7.8 W at nominal mains, warms the air by 5.3 K.
    let opens = of("\non = \"R1\"", "84 °C").replace("\"22 W\"", "\"16 W\"");
    close(trips(&opens, "part-temperature", Signal::Warning).value, 40.0 + 52.6 + 5.3, 0.01);
    // In the air alone 47 °C are far from 84 °C.
    silent(&of("", "84 °C"), "part-temperature");
    // 23.1 W in 0.3248 W/K would be 111 °C of air.
    let hot = small(&jig(&[fuses("500 mA", "T"), link("", "102 °C"), resistor("R1", "a", "N1", "2.9 kΩ", "100 W")]));
    trips(&hot, "part-temperature", Signal::Warning);
}

#[test]
fn a_wire_is_judged_by_its_own_temperature() {
    // 253²/(0.95 · 3.9 kΩ) = 17.3 W over 0.3248 W/K: 93 °C.
    let of = |celsius: &str| {
        let keys = format!("area = \"0.75 mm2\"\nvoltage = \"300 V\"\ntemperature = \"{celsius}\"");
        small(&jig(&[
            fuses("500 mA", "T"),
            part("W1", "wire", "L1", "a", &keys),
            resistor("R1", "a", "N1", "3.9 kΩ", "100 W"),
        ]))
    };
    let f = trips(&of("70 °C"), "part-temperature", Signal::Warning);
    close(f.value, 93.2, 0.01);
    silent(&of("105 °C"), "part-temperature");
}

#[test]
fn a_thermal_fuse_sits_on_a_part_that_is_there() {
    let text = jig(&[fuses("1 A", "T"), link("\non = \"R11\"", "115 °C"), resistor("R1", "a", "N1", "10 kΩ", "50 W")]);
    let errors = crate::jig::parse("test.toml", text.as_bytes()).unwrap_err();
    assert!(errors.iter().any(|e| e.to_string().contains("did you mean \"R1\"?")), "{errors:?}");
}

// ---- the heat of the box ----

#[test]
fn a_fault_heats_the_box_until_a_fuse_ends_it() {
    // R2 shorted: 253²/779 = 82 W; over 0.928 W/K the outside comes to 128 °C, the air far beyond.
    let fused = |fuse: &str| {
        small(&jig(&[
            fuses(fuse, "T"),
            resistor("R1", "L1", "m", "820 Ω", "120 W"),
            resistor("R2", "m", "N1", "4.7 kΩ", "50 W"),
        ]))
    };
    let f = trips(&fused("500 mA"), "hot-surface", Signal::Warning);
    close(f.value, 40.0 + 82.2 / 0.928, 0.01);
    assert!(f.condition.contains("R2 shorted"), "{f:?}");
    let j = judged(&fused("500 mA"));
    assert!(of(&j, "box-temperature").iter().any(|f| f.signal == Signal::Warning), "{j:?}");
    // 0.3 A are three times 100 mA: it opens within two minutes at 2.1 times.
    silent(&fused("100 mA"), "hot-surface");
    let j = judged(&fused("100 mA"));
    assert!(of(&j, "box-temperature").iter().all(|f| f.signal != Signal::Warning), "{j:?}");
}

#[test]
fn the_watts_of_the_box_are_those_of_one_condition() {
    // One of two heaters at a time: 253²/(0.95 · 8 kΩ) = 8.4 W over 0.3248 W/K are 66 °C. Both together would be 92 °C.
    let choice = "[part.SW1]\nkind = \"switch\"\npositions = { one = [[\"L1\", \"a\"]], two = [[\"L1\", \"b\"]] }\nvoltage = \"250 V\"\ncurrent = \"2 A\"\n";
    let one = small(&jig(&[
        fuses("500 mA", "T"),
        choice.into(),
        resistor("R1", "a", "N1", "8 kΩ", "50 W"),
        resistor("R2", "b", "N1", "8 kΩ", "50 W"),
    ]));
    silent(&one, "box-temperature");
    // Without the switch both are on.
    let both = small(&jig(&[
        fuses("500 mA", "T"),
        resistor("R1", "L1", "N1", "8 kΩ", "50 W"),
        resistor("R2", "L1", "N1", "8 kΩ", "50 W"),
    ]));
    close(trips(&both, "box-temperature", Signal::Warning).value, 40.0 + 16.84 / 0.3248, 0.005);
}

#[test]
fn a_lamp_of_unknown_place_is_asked_for() {
    let of = |place: &str| {
        let lamp = format!("volts = \"230 V\"\npower = \"40 W\"{place}");
        jig(&[fuses("500 mA", "T"), part("LP1", "filament-lamp", "L1", "N1", &lamp)])
    };
    let f = trips(&of(""), "box-temperature", Signal::Caution);
    assert!(f.parts == ["LP1"] && f.remedy.contains("place = \"outside\""), "{f:?}");
    silent(&of("\nplace = \"outside\""), "box-temperature");
    // 40 W · 1.1^1.6 over 1.456 W/K are some 32 K: 72 °C is past PVC, not past the parts.
    trips(&of("\nplace = \"inside\""), "box-temperature", Signal::Caution);
    // A resistor outside heats nothing.
    let watts = resistor("R1", "L1", "N1", "2.9 kΩ", "100 W");
    trips(&small(&jig(&[fuses("500 mA", "T"), watts.clone()])), "box-temperature", Signal::Warning);
    let outside = watts.replace("350 V\"", "350 V\"\nplace = \"outside\"");
    silent(&small(&jig(&[fuses("500 mA", "T"), outside])), "box-temperature");
}

#[test]
fn bare_metal_keeps_the_heat_in() {
    // 0.0928 m² · 5.5 W/(m² K) = 0.51 W/K painted, 0.269 W/K bare: 253²/(0.95 · 4.7 kΩ) = 14.3 W are 68 °C and 93 °C.
    let of = |finish: &str| {
        let metal = earthed().replace("\"insulating\"", &format!("\"metal\"{finish}"));
        small(&(metal + &fuses("500 mA", "T") + &resistor("R1", "L1", "N1", "4.7 kΩ", "100 W")))
    };
    close(trips(&of("\nfinish = \"bare\""), "box-temperature", Signal::Warning).value, 40.0 + 14.34 / 0.2691, 0.01);
    silent(&of("\nfinish = \"painted\""), "box-temperature");
    let f = trips(&of(""), "box-temperature", Signal::Caution);
    assert!(f.remedy.contains("finish = \"painted\""), "{f:?}");
}

#[test]
fn openings_carry_heat_off() {
    // 253²/(0.95 · 5.6 kΩ) = 12.0 W over 0.3248 W/K: 77 °C. With 20 cm² low and high in 80 mm of height the air carries
    // 1.1 · 1007 · 0.6 · 0.002/√2 · √(2 · 9.81 · 0.08 / 313) = 0.0666 W a kelvin to the power of 1.5: at 19.5 K
    // 6.33 + 5.73 = 12.06 W.
    let closed = small(&jig(&[fuses("500 mA", "T"), resistor("R1", "L1", "N1", "5.6 kΩ", "100 W")]));
    close(trips(&closed, "box-temperature", Signal::Caution).value, 77.0, 0.005);
    let (survey, _) = surveyed(&closed.replace("opens-with", "vents = \"2000 mm2\"\nopens-with"));
    let text = closed.replace("opens-with", "vents = \"2000 mm2\"\nopens-with");
    let jig = crate::jig::parse("test.toml", text.as_bytes()).unwrap();
    close(crate::checks::Case::new(&jig, &survey).inside_temperature(), 59.5, 0.005);
    silent(&text, "box-temperature");
}

// ---- switching on ----

fn rectifier(surge: &str, farads: &str, behind: &str) -> String {
    let bridge = format!(
        "[part.BR1]\nkind = \"bridge\"\nac = [\"{behind}\", \"N1\"]\nplus = \"x\"\nminus = \"y\"\nvoltage = \"1000 V\"\ncurrent = \"2 A\"\nsurge = \"{surge}\"\n"
    );
    let cap = format!("capacitance = \"{farads}\"\ntolerance = \"20 %\"\npolarised = true\nvoltage = \"450 V\"");
    let half = |name: &str, a: &str, b: &str| resistor(name, a, b, "100 kΩ", "3 W");
    bridge + &part("C1", "capacitor", "x", "y", &cap) + &half("R8", "x", "z") + &half("R9", "z", "y")
}

#[test]
fn a_film_resistor_takes_a_pulse_by_its_length() {
    // 357.8²/33 Ω = 3880 W and ½ · 22 µF · 357.8² = 1.41 J: a rectangle of 0.36 ms. The chart has 37 to 92 times the rating
    // there: some 55 · 0.5 W · 0.36 ms = 10 mJ.
    let of = |keys: &str| {
        jig(&[fuses("1 A", "T"), part("R1", "resistor", "L1", "a", keys), rectifier("50 A", "22 uF", "a")])
    };
    let film = "resistance = \"33 Ω\"\ntolerance = \"5 %\"\npower = \"0.5 W\"\nvoltage = \"500 V\"";
    let f = trips(&of(film), "resistor-power", Signal::Warning);
    assert_eq!(f.parts, ["R1"]);
    close(f.value, 1.41, 0.1);
    // Built to fail cold it harms nobody.
    trips(&of(&format!("{film}\nflameproof = true")), "resistor-power", Signal::Caution);
    // A wire-wound part of 10 W stands 4.9 J a watt.
    silent(&of(&film.replace("0.5 W", "10 W")), "resistor-power");
}

#[test]
fn an_inrush_counts_over_all_its_cycles() {
    // 150 Ω charge 470 µF over some ten cycles: about ½ · 470 µF · 358² = 30 J pass, less than a third in the first one.
    // 49 times 4.9 J a watt: 5 W (24.5 J) are not enough, 10 W (49 J) are.
    let of = |watts: &str| {
        let keys = format!("resistance = \"150 Ω\"\ntolerance = \"5 %\"\npower = \"{watts}\"\nvoltage = \"500 V\"");
        jig(&[fuses("1 A", "T"), part("R1", "resistor", "L1", "a", &keys), rectifier("50 A", "470 uF", "a")])
    };
    let f = trips(&of("3.5 W"), "resistor-power", Signal::Caution);
    // The mains supplies what the capacitor stores (30 J) and the resistor takes as much again, or a little less.
    assert!((20.0..32.0).contains(&f.value.unwrap()), "{f:?}");
    silent(&of("10 W"), "resistor-power");
}

#[test]
fn a_hot_inrush_limiter_limits_nothing() {
    // Cold 357.8/(22 + 0.5) = 16 A; hot 357.8/(0.5 + 0.5 and fuses) = some 300 A through 50 A.
    let of = |hot: &str, surge: &str| {
        let ntc = format!("cold = \"22 Ω\"\ncurrent = \"3 A\"{hot}");
        jig(&[fuses("2 A", "T"), part("NTC1", "thermistor", "L1", "a", &ntc), rectifier(surge, "220 uF", "a")])
    };
    let f = trips(&of("\nhot = \"0.5 Ω\"", "50 A"), "diode-surge", Signal::Caution);
    assert!(f.condition.contains("while still hot") && f.remedy.contains("how long to wait"), "{f:?}");
    // Not stated: a fiftieth of the cold one, 0.44 Ω.
    trips(&of("", "50 A"), "diode-surge", Signal::Caution);
    silent(&of("\nhot = \"0.5 Ω\"", "400 A"), "diode-surge");
}

#[test]
fn a_capacitor_fed_string_gets_its_surge_by_length() {
    let of = |ohms: &str| {
        let led = "forward = \"2.8 V\"\nslope = \"1 Ω\"\nseries = 10\ncurrent = \"30 mA\"\npeak-current = \"500 mA\"\nreverse = \"5 V\"";
        let keys = format!(
            "resistance = \"{ohms}\"\ntolerance = \"5 %\"\npower = \"3 W\"\nvoltage = \"500 V\"\nflameproof = true\nfusible = true"
        );
        let bridge = "[part.BR1]\nkind = \"bridge\"\nac = [\"p\", \"N1\"]\nplus = \"x\"\nminus = \"y\"\nvoltage = \"1000 V\"\ncurrent = \"1 A\"\nsurge = \"30 A\"\n";
        let cap = "capacitance = \"330 nF\"\ntolerance = \"10 %\"\nvoltage = \"275 V\"\nclass = \"X2\"";
        jig(&[
            fuses("200 mA", "T"),
            part("R1", "resistor", "L1", "m", &keys),
            part("C1", "capacitor", "m", "p", cap),
            resistor("R2", "m", "b", "470 kΩ", "0.6 W"),
            resistor("R3", "b", "p", "470 kΩ", "0.6 W"),
            bridge.into(),
            part("D1", "led", "x", "y", led),
        ])
    };
    // (357.8 − 28)/22 Ω = 15 A decaying with 22 Ω · 330 nF: 15² · 3.6 µs = 0.8 mA²s against 0.5² · 62.5 µs = 16 µA²s.
    let f = trips(&of("10 Ω"), "led-current", Signal::Notice);
    assert!(f.message.contains("switch-on"), "{f:?}");
    // 2.2 kΩ: 0.15 A, and 0.3 A put on again at the other crest.
    silent(&of("2.2 kΩ"), "led-current");
}

#[test]
fn charts_of_pulses_are_read_on_logarithmic_scales() {
    // Half way between 1 ms (37) and 10 ms (15) on the scale lies √10 ms: √(37 · 15) = 23.6 times.
    close(resistor::pulse_watts(0.25, 100.0, 1e-3 * 10f64.sqrt()).value, 0.25 * 23.56, 1e-3);
    close(resistor::pulse_watts(0.25, 100.0, 1e-9).value, 0.25 * 216.0, 1e-9);
    // Wire-wound: 4.9 J a watt, a tenth from 1 kΩ on, never less than five times the rating.
    close(resistor::pulse_watts(5.0, 10.0, 1e-3).value, 24.5 / 1e-3, 1e-9);
    close(resistor::pulse_watts(5.0, 2200.0, 1e-3).value, 2450.0, 1e-9);
    close(resistor::pulse_watts(5.0, 10.0, 4.0).value, 25.0, 1e-9);
}
