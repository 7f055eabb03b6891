//! What is not stated, or stated in a way of its own: watts where no mains is, nothing touchable, a pole that nobody named, relays
//! that pull in, limiters that are switched on into a short, what stays in a closed box.
#![allow(clippy::unwrap_used)]

use super::tiny::*;
use crate::finding::{Quantity, Signal};
use crate::jig;

/// A 12 V module in front of two fused sockets, with these loads on the first.
fn module(loads: &str) -> String {
    let keys = "input = [\"L1\", \"N1\"]\noutput = [\"P\", \"M\"]\nvolts = \"12 V\"\ncurrent = \"10 A\"\noutput-class = \"SELV\"";
    let fuse = "current = \"3.15 A\"\nspeed = \"T\"\nvoltage = \"250 V\"\nbreaking = \"1500 A\"";
    jig(&[
        fuses("2 A", "T"),
        format!("[part.PS1]\nkind = \"psu\"\n{keys}\n"),
        part("F3", "fuse", "P", "Q", fuse),
        format!("[[outlet]]\nname = \"OUT\"\nacross = [\"Q\", \"M\"]\nloads = [{loads}]\n"),
    ])
}

#[test]
fn watts_are_taken_at_the_volts_of_the_outlet() {
    // 60 W at 12 V are 5 A, whatever the 230 V would make of them (60 W at 230 V are 881 Ω: 14 mA here).
    let f = trips(&module("\"60 W\""), "fuse-rating", Signal::Warning);
    assert!(f.parts.contains(&"F3".to_string()), "{f:?}");
    // A little more, since the fuse leaves the outlet less than 12 V.
    assert!(f.value.is_some_and(|a| a > 60.0 / 12.0 && a < 1.1 * 60.0 / 12.0), "{f:?}");
    // 24 W are 2 A.
    silent(&module("\"24 W\""), "fuse-rating");
}

#[test]
fn watts_behind_a_transformer_come_to_what_is_asked() {
    // 12 V, 20 VA; the load takes its 15 W at whatever volts it leaves of the winding: its ohms are V²/15 for that V.
    let t = "[part.T1]\nkind = \"transformer\"\nprimary = { across = [\"L1\", \"N1\"], volts = \"230 V\" }\nsecondary = { across = [\"S1\", \"S2\"], volts = \"12 V\" }\npower = \"20 VA\"\ninsulation = \"reinforced\"\n";
    let out = "[[outlet]]\nname = \"OUT\"\nacross = [\"S1\", \"S2\"]\nloads = [\"15 W\", \"open\"]\n";
    let (survey, judgement) = surveyed(&jig(&[fuses("315 mA", "T"), t.into(), out.into()]));
    let ohms = survey.model.ohms_of_watts[&(0, 0)];
    let found = judgement.stresses.iter().find(|s| s.part == "T1.secondary" && s.quantity == Quantity::CurrentRms);
    let amperes = found.and_then(|s| s.nominal).unwrap();
    close(amperes * amperes * ohms, 15.0, 0.005);
    // Between its no-load volts and those at full load, so more than the 12 V / 15 W = 9.6 Ω.
    assert!(ohms > 9.6 && ohms < 9.6 * 1.7, "{ohms}");
    // A load that no source of this size could feed is taken at half of the open volts.
    let greedy = out.replace("15 W", "2000 W");
    let (survey, _) = surveyed(&jig(&[fuses("315 mA", "T"), t.into(), greedy]));
    assert!(survey.model.ohms_of_watts[&(0, 0)] > 0.01, "{:?}", survey.model.ohms_of_watts);
}

#[test]
fn a_tool_of_which_nothing_is_touchable_is_asked_about() {
    let lamp = |more: &str| {
        jig(&[
            fuses("50 mA", "F"),
            resistor("R1", "L1", "a", "220 kΩ", "1 W"),
            resistor("R2", "a", "N1", "220 kΩ", "1 W"),
        ]) + more
    };
    let listed = "[[touchable]]\nname = \"knob\"\nnet = \"KNOB\"\n[[insulation]]\nbetween = [\"mains\", \"KNOB\"]\ngrade = \"double\"\nclearance = \"10 mm\"\ncreepage = \"10 mm\"\n";
    let asked =
        |text: &str| judged(text).not_checked.iter().any(|line| line.contains("nothing is listed as touchable"));
    assert!(asked(&lamp("")));
    assert!(!asked(&lamp(listed)));
    // Without mains there is nothing to ask.
    let probe = "format = 1\n[jig]\nname = \"probe\"\nuse = \"hand-held\"\n[supply]\nsystem = \"none\"\n[part.R1]\nkind = \"resistor\"\nacross = [\"A\", \"B\"]\nresistance = \"1 kΩ\"\npower = \"5 W\"\nvoltage = \"500 V\"\n[part.R2]\nkind = \"resistor\"\nacross = [\"A\", \"B\"]\nresistance = \"1 kΩ\"\npower = \"5 W\"\nvoltage = \"500 V\"\n";
    assert!(!asked(probe));
}

#[test]
fn a_metal_box_of_class_two_is_touched_too() {
    // What is listed is the minus terminal alone, which works: the box is not among it.
    let text = |net: &str| {
        module("\"24 W\"").replace("material = \"insulating\"", "material = \"metal\"")
            + &format!(
                "[[touchable]]\nname = \"metal\"\nnet = \"{net}\"\n[[insulation]]\nbetween = [\"mains\", \"{net}\"]\ngrade = \"double\"\nclearance = \"10 mm\"\ncreepage = \"10 mm\"\n"
            )
    };
    let f = trips(&text("M"), "insulation-missing", Signal::Caution);
    assert!(f.message.contains("box"), "{f:?}");
    silent(&text("BOX"), "insulation-missing");
}

#[test]
fn both_poles_are_named_or_a_pole_and_the_earth() {
    let text =
        |l: &str, n: &str| jig(&[resistor("R1", l, "a", "100 kΩ", "1 W"), resistor("R2", "a", n, "100 kΩ", "1 W")]);
    let errors = |text: &str| match jig::parse("test.toml", text.as_bytes()) {
        Ok(_) => String::new(),
        Err(found) => found.iter().map(ToString::to_string).collect(),
    };
    assert_eq!(errors(&text("L", "N")), "");
    let e = errors(&text("live", "N"));
    assert!(e.contains("no part is on L") && e.contains("write \"L\" for \"live\""), "{e}");
    let e = errors(&text("L", "Neutral"));
    assert!(e.contains("no part is on N") && e.contains("write \"N\" for \"Neutral\""), "{e}");
    // A probe names one pole; so does a tester between L and PE.
    assert_eq!(errors(&text("L", "CAP")), "");
    assert_eq!(errors(&text("L", "PE").replace("\"C\"", "\"F\"").replace("cores = 2", "cores = 3")), "");
}

/// A resistor that a relay bridges, its coil beside the load; the link stands in the way of the resistor or of the contact.
fn slow_start(link: [&str; 2], resistor_on: &str, contact_on: &str) -> String {
    let coil = "resistance = \"7.5 kΩ\"\ninductance = \"50 H\"\ncurrent = \"16 mA\"";
    let link_keys = "temperature = \"128 °C\"\non = \"R1\"\ncurrent = \"10 A\"\nvoltage = \"250 V\"";
    let r = "resistance = \"10 Ω\"\ntolerance = \"5 %\"\npower = \"5 W\"\nvoltage = \"500 V\"";
    let contact = format!(
        "[part.K1C]\nkind = \"switch\"\npoles = [[\"{contact_on}\", \"OL\"]]\nvoltage = \"250 V\"\ncurrent = \"16 A\"\ncoil = \"K1\"\n"
    );
    jig(&[
        fuses("3.15 A", "T"),
        part("TF1", "thermal-fuse", link[0], link[1], link_keys),
        part("R1", "resistor", resistor_on, "OL", r),
        part("K1", "winding", "OL", "N1", coil),
        contact,
        "[[outlet]]\nname = \"OUT\"\nacross = [\"OL\", \"N1\"]\nloads = [\"400 W\", \"open\"]\n".into(),
    ])
}

#[test]
fn a_relay_that_gets_its_volts_does_not_stay_dropped() {
    // 400 W draw 1.9 A at high mains: 36 W in 10 Ω for as long as the contact stays open, which its coil does not let it, but
    // which a contact that fails does. With the link in the way of the resistor that ends.
    let sound = slow_start(["L1", "t"], "t", "L1");
    silent(&sound, "opens-in-use");
    silent(&sound, "part-temperature");
    let j = judged(&sound);
    assert!(of(&j, "resistor-power").iter().all(|f| f.signal > Signal::Warning), "{:?}", of(&j, "resistor-power"));
    let f = trips(&slow_start(["L1", "t"], "L1", "t"), "resistor-power", Signal::Danger);
    assert!(f.message.contains("With one fault"), "{f:?}");
    // A contact without a coil is left open by hand.
    trips(&sound.replace("coil = \"K1\"\n", ""), "opens-in-use", Signal::Warning);
}

#[test]
fn a_limiter_is_switched_on_into_a_short() {
    // A cold 200 W lamp takes some 13 times its 0.87 A: an FF fuse of 1 A melts by it, a T fuse of 2.5 A does not.
    let limiter = |amperes: &str, speed: &str, loads: &str| {
        let lamp = "volts = \"230 V\"\npower = \"200 W\"\nplace = \"outside\"";
        jig(&[
            fuses(amperes, speed),
            part("LP1", "filament-lamp", "L1", "OL", lamp),
            format!("[[outlet]]\nname = \"OUT\"\nacross = [\"OL\", \"N1\"]\nloads = [{loads}]\n"),
        ])
    };
    trips(&limiter("1 A", "FF", "\"open\", \"short\""), "fuse-inrush", Signal::Notice);
    silent(&limiter("2.5 A", "T", "\"open\", \"short\""), "fuse-inrush");
    // With nothing but 5 W on it the lamp stays cold.
    silent(&limiter("1 A", "FF", "\"open\", \"5 W\""), "fuse-inrush");
}

#[test]
fn what_stays_in_a_closed_box_is_told() {
    // 1.41 · 253 V on 220 µF behind a bridge: nothing outside meets it. 358 V less two knees, ½ · 220 µF · 356² = 14 J.
    let bridge = "[part.BR1]\nkind = \"bridge\"\nac = [\"p\", \"N1\"]\nplus = \"x\"\nminus = \"y\"\nvoltage = \"800 V\"\ncurrent = \"4 A\"\nsurge = \"100 A\"\n";
    let c = part(
        "C1",
        "capacitor",
        "x",
        "y",
        "capacitance = \"220 uF\"\ntolerance = \"10 %\"\npolarised = true\ndc-voltage = \"450 V\"",
    );
    let text = |more: String| {
        jig(&[fuses("1 A", "T"), resistor("R1", "L1", "p", "47 Ω", "10 W"), bridge.into(), c.clone(), more])
    };
    let f = trips(&text(String::new()), "stored-charge", Signal::Caution);
    assert!(f.parts == ["C1"] && f.message.contains("inside"), "{f:?}");
    close(f.value, 2f64.sqrt() * 253.0 - 1.6, 0.01);
    // 220 µF · 1.1 · 1.05 · 47 kΩ = 11.9 s: 356 V · e^(−60 / 11.9) = 2.3 V.
    silent(&text(resistor("R2", "x", "y", "47 kΩ", "10 W")), "stored-charge");
    // 220 µF · 1.1 · 1.05 · 220 kΩ = 55.9 s: 356 V · e^(−60 / 55.9) = 122 V.
    let f = trips(&text(resistor("R2", "x", "y", "220 kΩ", "2 W")), "stored-charge", Signal::Caution);
    close(f.value, 356.2 * (-60f64 / (220e-6 * 1.1 * 1.05 * 220e3)).exp(), 0.02);
}

#[test]
fn a_floating_tool_is_the_same_with_its_plug_turned() {
    // Nothing joins it to earth: with the two conductors swapped in the file every stress is what it was.
    let t = "[part.T1]\nkind = \"transformer\"\nprimary = { across = [\"L1\", \"N1\"], volts = \"230 V\" }\nsecondary = { across = [\"S1\", \"S2\"], volts = \"12 V\" }\npower = \"20 VA\"\ninsulation = \"reinforced\"\n";
    let d = part("D1", "diode", "S1", "P", "voltage = \"200 V\"\ncurrent = \"3 A\"\nsurge = \"100 A\"");
    let c = part(
        "C1",
        "capacitor",
        "P",
        "S2",
        "capacitance = \"470 uF\"\ntolerance = \"20 %\"\npolarised = true\ndc-voltage = \"35 V\"",
    );
    let text = jig(&[fuses("315 mA", "T"), t.into(), d, c, resistor("R1", "P", "S2", "470 Ω", "2 W")]);
    let turned = text.replace("\"L\"", "\"l\"").replace("\"N\"", "\"L\"").replace("\"l\"", "\"N\"");
    assert_ne!(text, turned);
    let (a, b) = (judged(&text), judged(&turned));
    let values = |j: &crate::finding::Judgement| -> Vec<f64> { j.stresses.iter().map(|s| s.value).collect() };
    let (a, b) = (values(&a), values(&b));
    assert_eq!(a.len(), b.len());
    // Below a tenth of a milliampere d.c. is rounding.
    let scale = |x: f64| x.abs().max(1e-4);
    assert!(a.iter().zip(&b).all(|(x, y)| (x - y).abs() <= 1e-5 * scale(*x)), "{a:?}\n{b:?}");
}
