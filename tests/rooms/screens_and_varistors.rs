//! Screens of transformers, and varistors that conduct all the time: tiny jigs and their near twins. The numbers are worked out
//! by hand, not taken from the program.

use super::tiny::*;
use crate::finding::{Finding, Judgement, Signal};

fn supply(screen: &str, more: &str) -> String {
    let winding = format!(
        "[part.T1]\nkind = \"transformer\"\nprimary = {{ across = [\"L1\", \"N1\"], volts = \"230 V\" }}\nsecondary = {{ across = [\"S1\", \"S2\"], volts = \"12 V\" }}\npower = \"20 VA\"\ninsulation = \"reinforced\"\n{screen}\n"
    );
    jig(&[
        fuses("200 mA", "T"),
        winding,
        part("H1", "load", "S1", "S2", "resistance = \"10 Ω\""),
        "[[touchable]]\nname = \"minus\"\nnet = \"S2\"\n".into(),
        more.into(),
    ])
}

#[test]
fn a_screen_on_the_secondary_wants_insulation_of_its_own() {
    // The grade stated of the transformer lies between primary and secondary, not between primary and screen.
    let f = trips(&supply("screen = \"S2\"", ""), "insulation-missing", Signal::Warning);
    assert!(f.parts == ["T1"] && f.touchables == ["minus"], "{f:?}");
    silent(&supply("", ""), "insulation-missing");
    // Broken through, the primary puts the mains on the minus terminal.
    let f = trips(&supply("screen = \"S2\"", ""), "touch-current", Signal::Danger);
    assert!(f.condition.contains("broken down"), "{f:?}");
    silent(&supply("", ""), "touch-current");
    let stated = "[[insulation]]\nbetween = [\"mains\", \"S2\"]\ngrade = \"reinforced\"\nclearance = \"8 mm\"\ncreepage = \"8 mm\"\n";
    silent(&supply("screen = \"S2\"", stated), "insulation-missing");
    silent(&supply("screen = \"S2\"", stated), "touch-current");
}

#[test]
fn crests_above_the_knee_heat_a_varistor() {
    // Half a wave of 60 V and what the transformer gives without load: r.m.s. below 50 V, crests above 1.56 · 50 V = 78 V. Of
    // one for 95 V the knee is 148 V.
    let of = |volts: &str| {
        let winding = "[part.T1]\nkind = \"transformer\"\nprimary = { across = [\"L1\", \"N1\"], volts = \"230 V\" }\nsecondary = { across = [\"S1\", \"S2\"], volts = \"60 V\" }\npower = \"100 VA\"\ninsulation = \"reinforced\"\n";
        jig(&[
            fuses("1 A", "T"),
            winding.into(),
            part("D1", "diode", "S1", "h", "voltage = \"1000 V\"\ncurrent = \"3 A\"\nsurge = \"100 A\""),
            part("RV1", "varistor", "h", "S2", &format!("voltage = \"{volts}\"")),
            part("H1", "load", "h", "S2", "resistance = \"200 Ω\""),
        ])
    };
    let f = trips(&of("50 V"), "varistor-rating", Signal::Warning);
    assert!(f.parts == ["RV1"] && f.unit == "W", "{f:?}");
    silent(&of("95 V"), "varistor-rating");
}

#[test]
fn a_fault_leaves_a_varistor_to_carry_a_dropper() {
    // 2.2 µF pass 0.157 A; with the string open they flow through 78 V for ever: some 10 W, a disc stands 1 W.
    let of = |volts: &str| {
        let keys = "resistance = \"100 Ω\"\ntolerance = \"5 %\"\npower = \"25 W\"\nvoltage = \"350 V\"\nflameproof = true\nfusible = true";
        let led = "forward = \"3.2 V\"\nseries = 12\ncurrent = \"250 mA\"\npeak-current = \"5 A\"\nreverse = \"5 V\"";
        jig(&[
            fuses("1 A", "T"),
            part("R1", "resistor", "L1", "a", keys),
            part("C1", "capacitor", "a", "b", "capacitance = \"2.2 uF\"\ntolerance = \"10 %\"\nclass = \"X2\"\nvoltage = \"275 V\""),
            resistor("R2", "a", "c", "47 kΩ", "2 W"),
            resistor("R3", "c", "b", "47 kΩ", "2 W"),
            "[part.BR1]\nkind = \"bridge\"\nac = [\"b\", \"N1\"]\nplus = \"x\"\nminus = \"y\"\nvoltage = \"1000 V\"\ncurrent = \"1 A\"\nsurge = \"30 A\"\n".into(),
            part("LED1", "led", "x", "y", led),
            part("RV1", "varistor", "x", "y", &format!("voltage = \"{volts}\"")),
        ])
    };
    let j = judged(&of("50 V"));
    let f = of_part(&j, "RV1").expect("told");
    assert!(f.signal == Signal::Warning && f.condition.contains("LED1 open"), "{f:?}");
    // Above the crest of the mains it never conducts.
    let j = judged(&of("275 V"));
    assert!(of_part(&j, "RV1").is_none(), "{j:?}");
}

fn of_part<'a>(j: &'a Judgement, part: &str) -> Option<&'a Finding> {
    super::tiny::of(j, "smoulder").into_iter().find(|f| f.parts.iter().any(|p| p == part))
}

#[test]
fn one_of_two_insulations_may_be_enough_by_itself() {
    let insulation = |a: &str, b: &str, grade: &str, distance: &str| {
        format!(
            "[[insulation]]\nbetween = [\"{a}\", \"{b}\"]\ngrade = \"{grade}\"\nclearance = \"{distance}\"\ncreepage = \"{distance}\"\n"
        )
    };
    let of = |first: &str| {
        jig(&[
            fuses("1 A", "T"),
            resistor("R1", "L1", "N1", "10 kΩ", "50 W"),
            part("W1", "wire", "M", "m", "area = \"1 mm2\"\nlength = \"0.2 m\"\nvoltage = \"300 V\""),
            insulation("mains", "M", first, "8 mm"),
            insulation("M", "T", "basic", "1 mm"),
            "[[touchable]]\nname = \"bit\"\nnet = \"T\"\n".into(),
        ])
    };
    // Basic and basic are double insulation only if either stands 230 V: 1.5 mm.
    trips(&of("basic"), "clearance", Signal::Warning);
    silent(&of("reinforced"), "clearance");
}

#[test]
fn green_alone_is_the_earth_where_it_is_published_so() {
    // IS 732 has green for the earth; elsewhere it is green-and-yellow.
    let of = |plug: &str| {
        let wire = part(
            "W1",
            "wire",
            "PE",
            "T",
            "area = \"1 mm2\"\nlength = \"0.2 m\"\ncolour = \"green\"\nvoltage = \"300 V\"",
        );
        let jig = earthed() + &fuses("1 A", "T") + &resistor("R1", "L1", "N1", "10 kΩ", "50 W") + &wire;
        (jig + "[[touchable]]\nname = \"cap\"\nnet = \"T\"\n").replace("\"F\"\ncord", &format!("{plug}\ncord"))
    };
    trips(&of("\"F\""), "wire-colour", Signal::Warning);
    silent(&of("\"D\""), "wire-colour");
}
