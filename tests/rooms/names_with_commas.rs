//! Names that hold commas, full stops and words of the report read right everywhere: nothing is put together as a sentence
//! and taken apart again.
#![allow(clippy::unwrap_used)]

use crate::checks::conditions::{replayed, tried};
use crate::checks::judge;
use crate::finding::{Judgement, Situation};
use crate::jig::{self, Jig};
use crate::survey::{Options, Survey, survey};

const TEXT: &str = r#"format = 1
[jig]
name = "commas"
use = "bench"
[supply]
system = "230 V 50 Hz"
plug = "C"
cord = { area = "0.75 mm2", length = "2 m", cores = 2, strain-relief = true }
[enclosure]
material = "metal"
class = "II"
[part."F1, left"]
kind = "fuse"
across = ["L", "node 1, left"]
current = "100 mA"
speed = "T"
voltage = "250 V"
breaking = "1500 A"
[part."S1, main"]
kind = "switch"
poles = [["node 1, left", "a, b"]]
voltage = "250 V"
current = "1 A"
[part."R1, after F1 has opened"]
kind = "resistor"
across = ["a, b", "m, n, o"]
resistance = "33 kΩ"
tolerance = "5 %"
power = "1 W"
voltage = "350 V"
[part."R2, right"]
kind = "resistor"
across = ["m, n, o", "N"]
resistance = "33 kΩ"
tolerance = "5 %"
power = "1 W"
voltage = "350 V"
[part."C1, across"]
kind = "capacitor"
across = ["a, b", "N"]
capacitance = "1 uF"
class = "X2"
voltage = "275 V"
[part."R3, bleeder"]
kind = "resistor"
across = ["a, b", "N"]
resistance = "1 MΩ"
tolerance = "5 %"
power = "1 W"
voltage = "500 V"
[[touchable]]
name = "tip, red"
net = "t, r"
[[insulation]]
between = ["a, b", "t, r"]
grade = "basic"
[[insulation]]
between = ["mains", "t, r"]
grade = "basic"
"#;

fn surveyed() -> (Jig, Survey, Judgement) {
    let jig = jig::parse("commas.toml", TEXT.as_bytes()).unwrap_or_else(|f| panic!("{f:?}"));
    let survey = survey(&jig, &Options::default());
    let judgement = judge(&jig, &survey, "2026-01-01");
    (jig, survey, judgement)
}

#[test]
fn a_message_names_its_fault_whole() {
    let (.., j) = surveyed();
    let hot = j.findings.iter().find(|f| f.check == "resistor-power" && f.parts[0] == "R1, after F1 has opened");
    let hot = hot.unwrap_or_else(|| panic!("{:#?}", j.findings));
    assert!(
        hot.message.starts_with("With one fault (R2, right shorted) R1, after F1 has opened takes"),
        "{}",
        hot.message
    );
    assert!(hot.condition.starts_with("R2, right shorted, mains high"), "{}", hot.condition);
}

#[test]
fn tables_name_sides_devices_and_faults_whole() {
    let (.., j) = surveyed();
    assert!(j.discharge.iter().any(|d| d.between == ["tip, red", "earth"]), "{:#?}", j.discharge);
    assert!(j.discharge.iter().any(|d| d.between == ["L", "N"]));
    let ended = |fault: &str| j.cleared.iter().find(|c| c.fault == fault).unwrap_or_else(|| panic!("{:#?}", j.cleared));
    assert_eq!(ended("C1, across shorted").by, "F1, left");
    assert!(j.stresses.iter().any(|s| s.part == "S1, main.1" && s.kind == Situation::SingleFault));
    let touch = j.touch.iter().find(|t| t.touchable == "tip, red" && t.kind == Situation::SingleFault).unwrap();
    let broken = "insulation from ";
    assert!(
        touch.condition.starts_with(broken) && touch.condition.contains(" to t, r broken down"),
        "{}",
        touch.condition
    );
}

#[test]
fn the_list_and_one_condition_of_it_keep_names_whole() {
    let (jig, survey, j) = surveyed();
    let rows = tried(&jig, &survey);
    let after = rows.iter().find(|r| r.faults == ["C1, across-short"] && !r.moment.is_empty()).unwrap();
    assert_eq!(after.moment, "after F1, left has opened");
    assert!(after.condition.ends_with(", after F1, left has opened"), "{}", after.condition);
    let off = rows.iter().find(|r| r.switches["S1, main"] == "off").unwrap();
    assert!(off.condition.contains("S1, main off"), "{}", off.condition);
    let broken = rows.iter().find(|r| r.faults == ["insulation-a, b-t, r"]).unwrap();
    assert!(broken.condition.starts_with("insulation from a, b to t, r broken down, mains"), "{}", broken.condition);
    let replay = replayed(&jig, &survey, &j.findings, "R2, right-short").unwrap();
    assert_eq!(replay.tried.faults, ["R2, right-short"]);
    assert_eq!(replay.states[0].when, "lasting");
    let replay = replayed(&jig, &survey, &j.findings, "C1, across-short").unwrap();
    assert_eq!(replay.states[0].when, "until F1, left opens");
    assert_eq!(replay.states[1].when, "after F1, left has opened");
}
