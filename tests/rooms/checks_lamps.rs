//! Checks of glow lamps and LEDs: for each one a tiny jig that trips it and a near twin that does not. The numbers in the
//! comments are worked out by hand from the published limits, not taken from the program.
#![allow(clippy::unwrap_used)]

use super::tiny::*;
use crate::finding::Signal;

#[test]
fn glow_lamp_current_and_life() {
    // Roughly (253 − 60) V / 94 kΩ = 2 mA against 1 mA; with 300 kΩ 0.64 mA.
    pair(&wand("47 kΩ", "95 V"), "lamp-current", Signal::Notice, "47 kΩ", "150 kΩ");
    // Four times the design current: 4^−3.3 = 1 % of its life; 0.6 mA of 0.5 mA: over half.
    pair(&wand("47 kΩ", "95 V"), "lamp-life", Signal::Notice, "47 kΩ", "150 kΩ");
    for check in ["no-limiting", "lamp-strike"] {
        silent(&wand("150 kΩ", "95 V"), check);
    }
}

#[test]
fn strike_on_a_low_mains() {
    // Crest of 207 V: 293 V, over 280 V it is 1.05.
    let f = pair(&wand("150 kΩ", "280 V"), "lamp-strike", Signal::Notice, "280 V", "95 V");
    close(f.value, 1.046, 0.01);
}

#[test]
fn a_lamp_with_nothing_in_series() {
    let lamp = "strike = \"85 V\"\nmaintain = \"60 V\"\ncurrent = \"0.5 mA\"\nmax-current = \"1 mA\"";
    let bare = jig(&[fuses("50 mA", "F"), part("LP1", "neon-lamp", "L1", "N1", lamp)]);
    trips(&bare, "no-limiting", Signal::Danger);
    silent(&bare, "lamp-current");
    // One dropper: shorted, (253 − 60) V / 3 kΩ of the lamp's own slope = 64 mA, which a 50 mA fuse need not end.
    let one = jig(&[
        fuses("50 mA", "F"),
        resistor("R1", "L1", "a", "300 kΩ", "0.6 W"),
        part("LP1", "neon-lamp", "a", "N1", lamp),
    ]);
    let f = trips(&one, "no-limiting", Signal::Warning);
    assert!(f.parts.contains(&"R1".to_string()), "{f:?}");
    silent(&wand("150 kΩ", "95 V"), "no-limiting");
}

fn led_box(ohms: &str, back: bool) -> String {
    let led = "forward = \"2 V\"\ncurrent = \"20 mA\"\npeak-current = \"100 mA\"\nreverse = \"5 V\"";
    let diode = part("D1", "diode", "N1", "a", "voltage = \"100 V\"\ncurrent = \"200 mA\"");
    jig(&[
        fuses("200 mA", "T"),
        resistor("R1", "L1", "m", ohms, "20 W"),
        resistor("R2", "m", "a", ohms, "20 W"),
        part("LED1", "led", "a", "N1", led),
        if back { diode } else { String::new() },
    ])
}

#[test]
fn led_current_and_reverse() {
    // Half wave: mean = 253·√2 / (π · 4.18 kΩ) = 27 mA against 20 mA; with 20 kΩ 6 mA.
    let f = pair(&led_box("2.2 kΩ", true), "led-current", Signal::Notice, "2.2 kΩ", "10 kΩ");
    close(f.value, 0.0271, 0.03);
    // Without a diode the other way round the whole crest stands backwards on the LED.
    let f = trips(&led_box("10 kΩ", false), "led-reverse", Signal::Notice);
    close(f.value, 357.8, 0.02);
    silent(&led_box("10 kΩ", true), "led-reverse");
}

#[test]
fn leds_behind_a_bridge_with_nothing_in_series() {
    let bridge = "[part.BR1]\nkind = \"bridge\"\nac = [\"p\", \"N1\"]\nplus = \"x\"\nminus = \"y\"\nvoltage = \"600 V\"\ncurrent = \"1 A\"\n";
    let led = part("LED1", "led", "x", "y", "forward = \"3 V\"\nseries = 20\ncurrent = \"20 mA\"");
    let text =
        |ohms: &str| jig(&[fuses("100 mA", "F"), resistor("R1", "L1", "p", ohms, "20 W"), bridge.into(), led.clone()]);
    // 10 Ω is below the string's own slope of 20 · 10 Ω: it limits nothing.
    trips(&text("10 Ω"), "no-limiting", Signal::Danger);
    silent(&text("22 kΩ"), "no-limiting");
}

const LAMP: &str = "strike = \"85 V\"\nmaintain = \"60 V\"\ncurrent = \"0.5 mA\"\nmax-current = \"1 mA\"";

/// One dropper, and what the jig has beside it.
fn beside(other: &str) -> String {
    jig(&[
        fuses("50 mA", "F").replace("50 mA", "2 A"),
        resistor("R1", "L1", "a", "300 kΩ", "0.6 W"),
        part("LP1", "neon-lamp", "a", "N1", LAMP),
        other.to_string(),
    ])
}

/// What lies across the mains beside the lamp is no dropper, and hides none: (253 V - 60 V) over the lamp's own slope flow with
/// R1 shorted, 64 mA, whatever else there is.
#[test]
fn what_lies_beside_a_lamp_hides_nothing() {
    let varistor = part("VR1", "varistor", "L1", "N1", "voltage = \"275 V\"\nenergy = \"20 J\"");
    let heater = part("H1", "load", "L1", "N1", "power = \"100 W\"");
    let low = resistor("R9", "L1", "N1", "529 Ω", "200 W");
    let halves = resistor("R8", "L1", "w", "264 Ω", "100 W") + &resistor("R9", "w", "N1", "264 Ω", "100 W");
    for other in [varistor, heater, low, halves] {
        let f = trips(&beside(&other), "no-limiting", Signal::Warning);
        assert!(f.parts.contains(&"R1".to_string()) && f.value.is_some_and(|a| a > 0.05), "{f:?}");
        // The twin: two in series.
        let two =
            beside(&other).replace("[\"L1\", \"a\"]", "[\"L1\", \"m\"]") + &resistor("R2", "m", "a", "300 kΩ", "0.6 W");
        silent(&two, "no-limiting");
        // None at all.
        let none = beside(&other).replace("300 kΩ", "1 Ω");
        trips(&none, "no-limiting", Signal::Danger);
    }
}

/// The plug the other way round, broken insulation puts the mains across the lamp as well, and just as much flows as with R1
/// shorted: the one must not be taken for the other, and then not told.
#[test]
fn another_fault_that_is_as_bad_hides_nothing() {
    let insulated = "[[insulation]]\nbetween = [\"mains\", \"PE\"]\ngrade = \"basic\"\nclearance = \"4 mm\"\ncreepage = \"4 mm\"\n\
                     [[touchable]]\nname = \"case\"\nnet = \"PE\"\n";
    let text = beside("").replace(HEAD, &earthed()) + insulated;
    let f = trips(&text, "no-limiting", Signal::Warning);
    assert!(f.condition.starts_with("R1 shorted"), "{f:?}");
    let two = text.replace("[\"L1\", \"a\"]", "[\"L1\", \"m\"]") + &resistor("R2", "m", "a", "300 kΩ", "0.6 W");
    silent(&two, "no-limiting");
}

/// Apart from the mains, on as many volts.
#[test]
fn a_lamp_behind_a_transformer_is_seen_too() {
    let step_up = "[part.T1]\nkind = \"transformer\"\nprimary = { across = [\"L1\", \"N1\"], volts = \"230 V\" }\n\
                   secondary = { across = [\"x\", \"y\"], volts = \"230 V\" }\npower = \"10 VA\"\ninsulation = \"reinforced\"\n";
    let lamp = part("LP1", "neon-lamp", "a", "y", LAMP);
    let one = jig(&[fuses("1 A", "T"), step_up.into(), resistor("R1", "x", "a", "300 kΩ", "0.6 W"), lamp]);
    let f = trips(&one, "no-limiting", Signal::Warning);
    assert!(f.parts.contains(&"R1".to_string()), "{f:?}");
    silent(
        &(one.replace("\"x\", \"a\"", "\"x\", \"m\"") + &resistor("R2", "m", "a", "300 kΩ", "0.6 W")),
        "no-limiting",
    );
}

/// In a box that is hotter than an LED stands, less current is no cure, and no percentage says how much less.
#[test]
fn an_led_in_a_box_that_is_too_hot_is_told_to_be_kept_cool() {
    let part = |name: &str, ends: [&str; 2], ohms: &str| {
        format!(
            "[part.{name}]\nkind = \"resistor\"\nacross = [\"{}\", \"{}\"]\nresistance = \"{ohms}\"\npower = \"1 kW\"\nvoltage = \"500 V\"\n",
            ends[0], ends[1]
        )
    };
    let lamp = "[part.PS1]\nkind = \"psu\"\ninput = [\"L\", \"N\"]\noutput = [\"P\", \"M\"]\nvolts = \"5 V\"\ncurrent = \"1 A\"\noutput-class = \"SELV\"\n\
                [part.LED1]\nkind = \"led\"\nacross = [\"a\", \"M\"]\nforward = \"2 V\"\ncurrent = \"30 mA\"\nreverse = \"5 V\"\n";
    let jig = |heater: &str| {
        let text =
            format!("{}{lamp}{}{}", super::tiny::HEAD, part("R1", ["P", "a"], "150 Ω"), part("R2", ["L", "N"], heater));
        text.replace("[\"400 mm\", \"300 mm\", \"200 mm\"]", "[\"100 mm\", \"60 mm\", \"40 mm\"]")
    };
    // 230 V on 230 Ω: 230 W in a box of a hand's size; on 230 kΩ a quarter of a watt.
    let judged = super::tiny::judged(&jig("230 Ω"));
    let found = super::tiny::of(&judged, "led-current");
    assert!(found.len() == 1 && found[0].message.contains("stands none in a box as hot"), "{found:#?}");
    assert!(judged.findings.iter().all(|f| !f.remedy.contains("inf") && !f.message.contains("inf ")));
    assert!(super::tiny::of(&super::tiny::judged(&jig("230 kΩ")), "led-current").is_empty());
}
