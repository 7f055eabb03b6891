//! Tiny jigs, and what the checks find in them.
#![allow(dead_code)]

use crate::checks::judge;
use crate::finding::{Finding, Judgement, Signal};
use crate::jig;
use crate::survey::{Options, Survey, survey};

/// 230 V (207 V to 253 V, crest 358 V), a reversible plug, a roomy plastic box.
pub const HEAD: &str = r#"format = 1
[jig]
name = "test"
use = "bench"
[supply]
system = "230 V 50 Hz"
plug = "C"
cord = { area = "0.75 mm2", length = "2 m", cores = 2, strain-relief = true }
[enclosure]
material = "insulating"
class = "II"
size = ["400 mm", "300 mm", "200 mm"]
opens-with = "tool"
"#;

/// The same with an earth.
pub fn earthed() -> String {
    HEAD.replace("\"C\"", "\"F\"")
        .replace("0.75 mm2", "1 mm2")
        .replace("cores = 2", "cores = 3")
        .replace("\"II\"", "\"I\"")
}

/// The survey and the judgement of a jig that reads.
pub fn surveyed(text: &str) -> (Survey, Judgement) {
    let jig = jig::parse("test.toml", text.as_bytes())
        .unwrap_or_else(|f| panic!("{}\n{text}", f.iter().map(ToString::to_string).collect::<String>()));
    let survey = survey(&jig, &Options::default());
    let judgement = judge(&jig, &survey, "2026-01-01");
    (survey, judgement)
}

/// The judgement of a jig that reads.
pub fn judged(text: &str) -> Judgement {
    surveyed(text).1
}

pub fn of<'j>(j: &'j Judgement, check: &str) -> Vec<&'j Finding> {
    j.findings.iter().filter(|f| f.check == check).collect()
}

/// The first finding of a check that must find something.
#[track_caller]
pub fn trips(text: &str, check: &str, signal: Signal) -> Finding {
    let j = judged(text);
    let found = of(&j, check);
    assert!(!found.is_empty(), "{check} is missing: {:#?}", j.findings);
    assert_eq!(found[0].signal, signal, "{:#?}", found[0]);
    assert!(!found[0].message.is_empty() && !found[0].remedy.is_empty() && !found[0].source.is_empty());
    found[0].clone()
}

/// A check that must find nothing.
#[track_caller]
pub fn silent(text: &str, check: &str) {
    let j = judged(text);
    assert!(of(&j, check).is_empty(), "{:#?}", of(&j, check));
}

/// The twin: the same jig with one thing changed.
#[track_caller]
pub fn pair(text: &str, check: &str, signal: Signal, from: &str, to: &str) -> Finding {
    let found = trips(text, check, signal);
    assert!(text.contains(from), "{from}");
    silent(&text.replace(from, to), check);
    found
}

/// Agrees to a fraction of what is expected.
#[track_caller]
pub fn close(value: impl Into<Option<f64>>, expected: f64, fraction: f64) {
    let v = value.into().unwrap();
    assert!((v / expected - 1.0).abs() < fraction, "{v} is not {expected}");
}

/// A part with its keys.
pub fn part(name: &str, kind: &str, a: &str, b: &str, keys: &str) -> String {
    format!("[part.{name}]\nkind = \"{kind}\"\nacross = [\"{a}\", \"{b}\"]\n{keys}\n")
}

/// A resistor of 5 % and 350 V.
pub fn resistor(name: &str, a: &str, b: &str, ohms: &str, watts: &str) -> String {
    let keys = format!("resistance = \"{ohms}\"\ntolerance = \"5 %\"\npower = \"{watts}\"\nvoltage = \"350 V\"");
    part(name, "resistor", a, b, &keys)
}

/// Fuses of this rating in both poles: L to L1, N to N1.
pub fn fuses(amperes: &str, speed: &str) -> String {
    let keys = format!("current = \"{amperes}\"\nspeed = \"{speed}\"\nvoltage = \"250 V\"\nbreaking = \"1500 A\"");
    part("F1", "fuse", "L", "L1", &keys) + &part("F2", "fuse", "N", "N1", &keys)
}

/// The box with these parts in it.
pub fn jig(parts: &[String]) -> String {
    HEAD.to_string() + &parts.concat()
}

/// A wand of two like resistors and a lamp of this strike-max.
pub fn wand(ohms: &str, strike: &str) -> String {
    let lamp = format!(
        "strike = \"85 V\"\nstrike-max = \"{strike}\"\nmaintain = \"60 V\"\ncurrent = \"0.5 mA\"\nmax-current = \"1 mA\""
    );
    jig(&[
        fuses("50 mA", "F"),
        resistor("R1", "L1", "m", ohms, "0.6 W"),
        resistor("R2", "m", "a", ohms, "0.6 W"),
        part("LP1", "neon-lamp", "a", "N1", &lamp),
    ])
}
