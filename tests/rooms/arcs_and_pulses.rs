//! Direct current where a.c. was thought of, volts above those of the supply, and what contacts and fuses get in a moment:
//! tiny jigs and their near twins. The numbers are worked out by hand, not taken from the program.

use super::tiny::*;
use crate::finding::Signal;

const BRIDGE: &str = "[part.BR1]\nkind = \"bridge\"\nac = [\"a\", \"N1\"]\nplus = \"p\"\nminus = \"m\"\nvoltage = \"1000 V\"\ncurrent = \"6 A\"\nsurge = \"600 A\"\n";

fn reservoir(farads: &str) -> String {
    let keys = format!("capacitance = \"{farads}\"\ntolerance = \"10 %\"\ndc-voltage = \"400 V\"\npolarised = true");
    part("C1", "capacitor", "p", "m", &keys)
}

fn load(a: &str, b: &str, ohms: &str) -> String {
    part("H1", "load", a, b, &format!("resistance = \"{ohms}\"\nplace = \"outside\""))
}

fn wire(a: &str, b: &str, volts: &str) -> String {
    part("W1", "wire", a, b, &format!("area = \"0.5 mm2\"\nlength = \"0.2 m\"\nvoltage = \"{volts}\""))
}

/// A bus of 253 V · 1.414 = 358 V d.c. that feeds 330 Ω, some 1 A, through a fuse and a switch.
fn bus(fuse: &str, contact: &str) -> String {
    let switch = format!(
        "[part.SW2]\nkind = \"switch\"\npoles = [[\"q\", \"r\"], [\"m\", \"s\"]]\ncurrent = \"4 A\"\n{contact}\n"
    );
    jig(&[
        fuses("4 A", "T"),
        resistor("R0", "L1", "a", "10 Ω", "100 W"),
        BRIDGE.into(),
        reservoir("47 uF"),
        part("F3", "fuse", "p", "q", &format!("current = \"1.6 A\"\nspeed = \"F\"\nbreaking = \"1500 A\"\n{fuse}")),
        switch,
        load("r", "s", "330 Ω"),
    ])
}

#[test]
fn a_fuse_of_a_dc_bus_stands_its_volts() {
    // 325 V at nominal mains across F3 once it is open.
    // With the fuse open a bleeder is all that draws.
    let bleeder = resistor("R1", "p", "m", "220 kΩ", "3 W");
    let of = |fuse: &str| bus(fuse, "voltage = \"400 V\"\ndc-voltage = \"400 V\"") + &bleeder;
    let f = trips(&of("voltage = \"250 V\""), "fuse-voltage", Signal::Warning);
    assert_eq!(f.parts, ["F3"]);
    close(f.value, 325.0, 0.03);
    // 500 V a.c. and nothing stated of d.c.: half of that is 250 V.
    trips(&of("voltage = \"500 V\""), "fuse-voltage", Signal::Caution);
    silent(&of("voltage = \"500 V\"\ndc-voltage = \"450 V\""), "fuse-voltage");
}

#[test]
fn a_contact_does_not_break_a_dc_bus() {
    // Two poles share the volts, 160 V each: contacts break some 0.3 to 0.4 A there, and some 0.9 A flow all the time.
    let of = |contact: &str| bus("voltage = \"500 V\"\ndc-voltage = \"450 V\"", contact);
    let f = trips(&of("voltage = \"250 V\""), "switch-rating", Signal::Warning);
    assert!(f.message.contains("d.c.") && f.parts == ["SW2"], "{f:?}");
    silent(&of("voltage = \"250 V\"\ndc-voltage = \"250 V\""), "switch-rating");
    // 10 kΩ take 33 mA: that goes out.
    silent(&of("voltage = \"250 V\"").replace("\"330 Ω\"", "\"10 kΩ\""), "switch-rating");
}

#[test]
fn insulation_stands_what_hangs_on_the_wire() {
    // 500 V behind a transformer, without load more; wires of 300 V stand 300 V · 1.1 without load, those of 600 V do.
    let of = |volts: &str| {
        let winding = "[part.T1]\nkind = \"transformer\"\nprimary = { across = [\"L1\", \"N1\"], volts = \"230 V\" }\nsecondary = { across = [\"S1\", \"S2\"], volts = \"500 V\" }\npower = \"20 VA\"\ninsulation = \"reinforced\"\n";
        jig(&[fuses("100 mA", "T"), winding.into(), wire("S1", "h", volts), load("h", "S2", "100 kΩ")])
    };
    let f = trips(&of("300 V"), "wire-rating", Signal::Warning);
    assert_eq!(f.parts, ["W1"]);
    silent(&of("600 V"), "wire-rating");
    // A d.c. bus of 325 V: a wire of 300 V a.c. stands 450 V of d.c., one of 150 V 225 V.
    let dc = |volts: &str| {
        jig(&[
            fuses("1 A", "T"),
            resistor("R0", "L1", "a", "10 Ω", "100 W"),
            BRIDGE.into(),
            reservoir("47 uF"),
            wire("p", "q", volts),
            load("q", "m", "10 kΩ"),
        ])
    };
    trips(&dc("150 V"), "wire-rating", Signal::Warning);
    silent(&dc("300 V"), "wire-rating");
}

#[test]
fn a_thermal_fuse_stands_the_volts_across_it_once_it_is_open() {
    // 120 V behind a transformer; closed it has none across it.
    let of = |volts: &str| {
        let winding = "[part.T1]\nkind = \"transformer\"\nprimary = { across = [\"L1\", \"N1\"], volts = \"230 V\" }\nsecondary = { across = [\"S1\", \"S2\"], volts = \"120 V\" }\npower = \"100 VA\"\ninsulation = \"reinforced\"\n";
        let link = format!("temperature = \"130 °C\"\ncurrent = \"5 A\"\nvoltage = \"{volts}\"");
        jig(&[
            fuses("1 A", "T"),
            winding.into(),
            part("TF1", "thermal-fuse", "S1", "h", &link),
            load("h", "S2", "240 Ω"),
        ])
    };
    let f = trips(&of("24 V"), "fuse-voltage", Signal::Warning);
    assert_eq!(f.parts, ["TF1"]);
    silent(&of("250 V"), "fuse-voltage");
}

/// A switch that feeds a bus in one position and empties it in the other.
fn emptied(off: &str, more: &str) -> String {
    let switch = format!(
        "[part.SW1]\nkind = \"switch\"\npositions = {{ on = [[\"L1\", \"L2\"], [\"N1\", \"N2\"]], off = [{off}] }}\nvoltage = \"400 V\"\ncurrent = \"10 A\"\n"
    );
    let bridge = BRIDGE.replace("\"N1\"", "\"N2\"");
    jig(&[
        fuses("2 A", "T"),
        switch,
        resistor("R0", "L2", "a", "22 Ω", "20 W") + "flameproof = true\n",
        bridge,
        reservoir("470 uF"),
        more.into(),
    ])
}

#[test]
fn what_a_switch_empties_into_takes_the_charge() {
    // ½ · 470 µF · 1.1 · (253 V · 1.414)² = 33 J at every switch-off; a wire-wound part stands 4.9 J a watt.
    let of = |watts: &str| emptied("[\"p\", \"d\"], [\"m\", \"e\"]", &resistor("R1", "d", "e", "470 Ω", watts));
    let j = judged(&of("0.25 W"));
    let f = super::tiny::of(&j, "resistor-power").into_iter().find(|f| f.parts == ["R1"]).expect("told");
    assert_eq!(f.signal, Signal::Warning);
    close(f.value, 33.1, 0.02);
    let j = judged(&of("25 W"));
    assert!(super::tiny::of(&j, "resistor-power").iter().all(|f| f.parts != ["R1"]), "{j:?}");
}

#[test]
fn a_contact_that_shorts_a_reservoir_welds() {
    // Nothing but the contact: hundreds of amperes squared for its time constant, far above 10² · 15² · 5 ms = 112 A²s.
    let f = trips(&emptied("[\"p\", \"m\"]", ""), "switch-rating", Signal::Warning);
    assert!(f.parts == ["SW1"] && f.message.contains("charged"), "{f:?}");
    let through = emptied("[\"p\", \"d\"]", &resistor("R1", "d", "m", "470 Ω", "25 W"));
    silent(&through, "switch-rating");
}

#[test]
fn a_contact_makes_an_empty_reservoir() {
    // 358 V over half an ohm of loop and fuses; ½ · 100 µF · 358² / 0.6 Ω = 10 A²s against 2² · 1.125 = 4.5 A²s.
    let of = |amperes: &str| {
        let switch = format!(
            "[part.SW1]\nkind = \"switch\"\npoles = [[\"L1\", \"a\"]]\nvoltage = \"250 V\"\ncurrent = \"{amperes}\"\n"
        );
        jig(&[fuses("4 A", "T"), switch, BRIDGE.into(), reservoir("100 uF"), load("p", "m", "4.7 kΩ")])
    };
    let f = trips(&of("2 A"), "switch-rating", Signal::Caution);
    assert!(f.message.contains("switch-on"), "{f:?}");
    silent(&of("16 A"), "switch-rating");
}

/// A probe of 142 Ω with a fuse, put on 470 µF at 400 V: 400² · 470 µF · 1.1 / (2 · 142 Ω) = 0.26 to 0.29 A²s.
fn probe(fuse: &str) -> String {
    let head = HEAD
        .replace("[supply]\nsystem = \"230 V 50 Hz\"\nplug = \"C\"\ncord = { area = \"0.75 mm2\", length = \"2 m\", cores = 2, strain-relief = true }", "[supply]\nsystem = \"none\"")
        .replace("\"bench\"", "\"hand-held\"");
    let r = |name: &str, a: &str, b: &str| resistor(name, a, b, "47 Ω", "25 W") + "flameproof = true\n";
    head + &part("F1", "fuse", "tip", "t", fuse)
        + &r("R1", "t", "u")
        + &r("R2", "u", "v")
        + &r("R3", "v", "clip")
        + "[[outlet]]\nname = \"tips\"\nacross = [\"tip\", \"clip\"]\nloads = [\"470 uF charged 400 V\"]\n"
}

#[test]
fn a_fuse_in_a_probe_leaves_the_charge() {
    // F 200 mA is sure to carry 10 ms at four times its rating, or less: below 0.01 A²s. T 1 A carries 10² · 10 ms = 1 A²s.
    let fuse = |rating: &str, volts: &str| format!("current = \"{rating}\"\nbreaking = \"1500 A\"\n{volts}");
    let f = trips(&probe(&fuse("200 mA\"\nspeed = \"F", "voltage = \"500 V\"")), "fuse-inrush", Signal::Warning);
    assert!(f.message.contains("the charge stays"), "{f:?}");
    silent(&probe(&fuse("2 A\"\nspeed = \"T", "voltage = \"500 V\"")), "fuse-inrush");
    // Open, it has 400 V d.c. across it.
    trips(&probe(&fuse("2 A\"\nspeed = \"T", "voltage = \"250 V\"")), "fuse-voltage", Signal::Warning);
}
