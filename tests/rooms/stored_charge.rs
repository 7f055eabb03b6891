//! What stays charged: between what hands and tools meet, at the ends of the tolerances, with a switch moved, and while
//! something empties. The numbers in the comments follow from U = U0 · e^(−t / RC).
#![allow(clippy::unwrap_used)]

use super::tiny::*;
use crate::finding::Signal;

fn capacitor(name: &str, a: &str, b: &str, farads: &str) -> String {
    let keys = format!("capacitance = \"{farads}\"\ntolerance = \"10 %\"\nvoltage = \"275 V\"\nclass = \"X2\"");
    part(name, "capacitor", a, b, &keys)
}

#[test]
fn the_ends_of_the_tolerances_decide() {
    let text = |ohms: &str| {
        jig(&[fuses("2 A", "T"), capacitor("C1", "L1", "N1", "2.2 uF"), resistor("R1", "L1", "N1", ohms, "2 W")])
    };
    // As stated 357.8 V · e^(−5 / (1.2 MΩ · 2.2 µF)) = 53.8 V; at both upper ends e^(−5 / (1.26 · 2.42)) leaves 69.4 V.
    let f = trips(&text("1.2 MΩ"), "stored-charge", Signal::Warning);
    close(f.value, 357.8 * (-5.0_f64 / (1.26 * 2.42)).exp(), 0.01);
    // 357.8 V · e^(−5 / (1.05 · 2.42)) = 50.1 V: only the stricter rule is broken.
    let f = trips(&text("1 MΩ"), "stored-charge", Signal::Caution);
    assert_eq!(f.parts, ["C1"]);
}

#[test]
fn a_varistor_is_no_bleeder() {
    let text = |more: &str| {
        let varistor = part("RV1", "varistor", "L1", "N1", "voltage = \"275 V\"\nenergy = \"80 J\"");
        jig(&[fuses("2 A", "T"), capacitor("C1", "L1", "N1", "220 nF"), varistor, more.into()])
    };
    // 0.242 µF · 357.8 V = 87 µC.
    trips(&text(""), "stored-charge", Signal::Warning);
    // Two of 1 MΩ: with one open 357.8 V · e^(−1 / (1.05 · 0.242)) = 7 V.
    let both = resistor("R1", "L1", "N1", "1 MΩ", "0.6 W") + &resistor("R2", "L1", "N1", "1 MΩ", "0.6 W");
    silent(&text(&both), "stored-charge");
}

fn supply(bleeder: &str) -> String {
    let t = "[part.T1]\nkind = \"transformer\"\nprimary = { across = [\"L1\", \"N1\"], volts = \"230 V\" }\nsecondary = { across = [\"S1\", \"S2\"], volts = \"230 V\" }\npower = \"60 VA\"\ninsulation = \"reinforced\"\n";
    let bridge = "[part.BR1]\nkind = \"bridge\"\nac = [\"S1\", \"S2\"]\nplus = \"P\"\nminus = \"M\"\nvoltage = \"1000 V\"\ncurrent = \"1.5 A\"\nsurge = \"50 A\"\n";
    let c = part("C1", "capacitor", "P", "M", "capacitance = \"47 uF\"\npolarised = true\ndc-voltage = \"450 V\"");
    let small = part("C2", "capacitor", "x", "M", "capacitance = \"100 uF\"\npolarised = true\ndc-voltage = \"10 V\"");
    let low = resistor("R8", "P", "x", "10 MΩ", "1 W") + &resistor("R9", "x", "M", "10 kΩ", "1 W");
    let out = "[[outlet]]\nname = \"OUT\"\nacross = [\"P\", \"M\"]\nloads = [\"open\", \"10 kΩ\"]\n";
    jig(&[fuses("500 mA", "T"), t.into(), bridge.into(), c, small, low, bleeder.into(), out.into()])
}

#[test]
fn the_output_of_a_supply_is_met_too() {
    // 47 µF behind a bridge of 1.41 · 253 V: nothing but the load empties them. The larger capacitor holds 0.4 V.
    let f = trips(&supply(""), "stored-charge", Signal::Warning);
    assert!(f.parts.contains(&"C1".to_string()), "{f:?}");
    assert!(f.nets.contains(&"P".to_string()) && f.nets.contains(&"M".to_string()), "{f:?}");
    // Two of 22 kΩ, 47 µF · 23.1 kΩ = 1.09 s each: 358 V · e^(−5/1.09) = 3.6 V with one open.
    let both = resistor("R1", "P", "M", "22 kΩ", "10 W") + &resistor("R2", "P", "M", "22 kΩ", "10 W");
    silent(&supply(&both), "stored-charge");
}

#[test]
fn a_bleeder_on_the_other_side_of_a_switch() {
    let text = |at: [&str; 2]| {
        let switch = "[part.SW1]\nkind = \"switch\"\npoles = [[\"L1\", \"L2\"], [\"N1\", \"N2\"]]\nvoltage = \"250 V\"\ncurrent = \"6 A\"\n";
        let outlet = "[[outlet]]\nname = \"OUT\"\nacross = [\"L2\", \"N2\"]\nloads = [\"open\"]\n";
        let bleeder = |name: &str| resistor(name, at[0], at[1], "220 kΩ", "2 W");
        let parts = [capacitor("C1", "L2", "N2", "1 uF"), bleeder("R1"), bleeder("R2"), outlet.into()];
        jig(&[fuses("2 A", "T"), switch.into()]) + &parts.concat()
    };
    // On, the bleeder ahead of the switch empties it, and off it is not charged at all; switched off with the plug pulled
    // it stays charged, on the outlet.
    let f = trips(&text(["L1", "N1"]), "stored-charge", Signal::Warning);
    assert!(f.condition.contains("then SW1 off") && f.nets.contains(&"L2".to_string()), "{f:?}");
    silent(&text(["L2", "N2"]), "stored-charge");
}

/// A tool with no mains for a charged capacitor of 100 µF and 400 V.
fn probe(touchable: &str) -> String {
    let head = HEAD.replace("system = \"230 V 50 Hz\"\nplug = \"C\"\ncord = { area = \"0.75 mm2\", length = \"2 m\", cores = 2, strain-relief = true }", "system = \"none\"");
    let out = "[[outlet]]\nname = \"capacitor under test\"\nacross = [\"TIP\", \"CLIP\"]\nloads = [\"100 uF charged 400 V\"]\n";
    let parts = resistor("R1", "TIP", "m", "2.2 kΩ", "11 W") + &resistor("R2", "m", "CLIP", "2.2 kΩ", "11 W");
    let grip = "[[insulation]]\nbetween = [\"TIP\", \"GRIP\"]\ngrade = \"reinforced\"\n";
    let grip = if touchable == "GRIP" { grip } else { "" };
    head + &parts + out + grip + &format!("[[touchable]]\nname = \"metal\"\nnet = \"{touchable}\"\n")
}

#[test]
fn what_fingers_reach_while_it_empties() {
    let f = trips(&probe("TIP"), "stored-charge", Signal::Warning);
    assert_eq!(f.touchables, ["metal"]);
    close(f.value, 400.0, 0.01);
    // What is out of reach of the charge is not met by it; a path that opens leaves the tip charged, which is told as such.
    let j = judged(&probe("GRIP"));
    assert!(of(&j, "stored-charge").iter().all(|f| f.touchables.is_empty() && f.signal == Signal::Caution), "{j:?}");
}
