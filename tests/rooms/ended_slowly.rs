//! What a device ends only after a time that heats something: tiny jigs and their near twins. A quick (F) fuse of 32 mA to
//! 6.3 A opens within 30 minutes at 2.1 times its rating and within 2 s at 2.75 times (IEC 60127-2, sheet 2); the numbers
//! are worked out by hand from that, not taken from the program.

use super::tiny::*;
use crate::finding::Signal;

fn switch(amperes: &str) -> String {
    format!(
        "[part.SW1]\nkind = \"switch\"\npoles = [[\"L1\", \"L2\"], [\"N1\", \"N2\"]]\nvoltage = \"250 V\"\ncurrent = \"{amperes}\"\n"
    )
}

fn load(name: &str, a: &str, b: &str, ohms: &str) -> String {
    part(name, "load", a, b, &format!("resistance = \"{ohms}\""))
}

/// Two heaters in series: with the large one shorted 253 V / 24 Ω = 10.5 A, at low mains 8.6 A.
fn heaters(fuse: &str, contact: &str) -> String {
    jig(&[
        fuses(fuse, "F"),
        switch(contact),
        load("H1", "L2", "x", "560 Ω") + "place = \"outside\"\n",
        load("H2", "x", "N2", "23.5 Ω"),
    ])
}

#[test]
fn a_contact_is_warm_long_before_a_slow_fuse_opens() {
    // 10.5 A are 2.6 times 4 A: up to half an hour through a contact for 1 A.
    let f = trips(&heaters("4 A", "1 A"), "smoulder", Signal::Caution);
    assert!(f.parts.contains(&"SW1".to_string()), "{f:?}");
    assert!(f.message.contains("30 min") && f.message.contains("H1 shorted"), "{f:?}");
    close(f.value, 253.0 / 24.0, 0.02);
    // 3.4 times 2.5 A and more: two seconds.
    silent(&heaters("2.5 A", "1 A"), "smoulder");
    // A fuse of no more than the contact's amperes is what protects it.
    silent(&heaters("4 A", "4 A"), "smoulder");
}

#[test]
fn a_box_comes_most_of_the_way_in_half_an_hour() {
    // 10.5² · 23.5 = 2.6 kW over 1.456 W/K, and 1 − e^(−1800/1200) = 0.777 of that.
    let j = judged(&heaters("4 A", "4 A"));
    let f = of(&j, "box-temperature").into_iter().find(|f| f.condition.contains("H1 shorted")).expect("told");
    assert_eq!(f.signal, Signal::Caution);
    close(f.value, 40.0 + 0.777 * 2600.0 / 1.456, 0.03);
    assert!(f.message.contains("up to 30 min until F"), "{f:?}");
    let j = judged(&heaters("2.5 A", "4 A"));
    assert!(of(&j, "box-temperature").iter().all(|f| !f.condition.contains("H1 shorted")), "{j:?}");
}

#[test]
fn a_rectifier_fails_before_a_slow_fuse_opens() {
    // H1 shorted: half a wave of 253 V · 1.414 / 65 Ω, 2.75 A r.m.s. and 1.75 A mean through 0.5 A; 2.7 times 1 A.
    let of = |fuse: &str| {
        jig(&[
            fuses(fuse, "F"),
            part("D1", "diode", "L1", "w", "voltage = \"1000 V\"\ncurrent = \"0.5 A\"\nsurge = \"30 A\""),
            load("H1", "w", "y", "330 Ω"),
            load("H2", "y", "N1", "66 Ω"),
        ])
    };
    let f = trips(&of("1 A"), "smoulder", Signal::Caution);
    assert!(f.parts.contains(&"D1".to_string()), "{f:?}");
    silent(&of("630 mA"), "smoulder");
}

#[test]
fn a_shorted_transformer_burns_while_a_slow_fuse_takes_its_time() {
    // 87 mA rated, some 0.54 A with the secondary shorted: 2.7 times 200 mA, 5.4 times 100 mA.
    let of = |fuse: &str| {
        let winding = "[part.T1]\nkind = \"transformer\"\nprimary = { across = [\"L1\", \"N1\"], volts = \"230 V\" }\nsecondary = { across = [\"S1\", \"S2\"], volts = \"12 V\" }\npower = \"20 VA\"\ninsulation = \"reinforced\"\n";
        jig(&[fuses(fuse, "F"), winding.into(), load("H1", "S1", "S2", "8 Ω")])
    };
    let j = judged(&of("200 mA"));
    let told = of_fault(&j, "smoulder", "T1.secondary shorted");
    assert!(told, "{j:?}");
    let j = judged(&of("100 mA"));
    assert!(!of_fault(&j, "smoulder", "T1.secondary shorted"), "{j:?}");
}

fn of_fault(j: &crate::finding::Judgement, check: &str, fault: &str) -> bool {
    of(j, check).iter().any(|f| f.condition.contains(fault) || f.message.contains(fault))
}

#[test]
fn an_electrolytic_on_ac_vents_before_a_slow_fuse_opens() {
    // D1 shorted: 13 µF at 50 Hz are 245 Ω: 1.03 A, at low mains 0.85 A: 2.1 to 2.6 times 400 mA. Of 250 mA 3.4 times and
    // more.
    let of = |fuse: &str| {
        let cap = "capacitance = \"13 uF\"\ntolerance = \"1 %\"\ndc-voltage = \"450 V\"\npolarised = true";
        jig(&[
            fuses(fuse, "F"),
            part("D1", "diode", "L1", "b", "voltage = \"1000 V\"\ncurrent = \"3 A\"\nsurge = \"300 A\""),
            part("C1", "capacitor", "b", "N1", cap),
            resistor("R2", "b", "m", "47 kΩ", "5 W"),
            resistor("R3", "m", "N1", "47 kΩ", "5 W"),
        ])
    };
    let f = trips(&of("400 mA"), "capacitor-voltage", Signal::Caution);
    assert!(f.parts == ["C1"] && f.message.contains("the wrong way round"), "{f:?}");
    silent(&of("250 mA"), "capacitor-voltage");
}

#[test]
fn a_resistor_chars_until_a_slow_fuse_opens() {
    // R2 shorted: 253²/950 = 67 W in 40 W and 0.27 A, 2.1 to 2.7 times 100 mA: half an hour. Of 63 mA 3.3 times and more.
    let of = |fuse: &str| {
        jig(&[
            fuses(fuse, "F"),
            resistor("R1", "L1", "m", "1 kΩ", "40 W"),
            resistor("R2", "m", "N1", "4.7 kΩ", "100 W"),
        ])
    };
    let f = trips(&of("100 mA"), "smoulder", Signal::Caution);
    assert!(f.parts.contains(&"R1".to_string()) && f.message.contains("R2 shorted"), "{f:?}");
    silent(&of("63 mA"), "smoulder");
}
