//! Artificial judgements of every shape, of an invented shop. The numbers are invented too: nothing
//! here was solved, and nothing is meant to agree with a real circuit.

#![allow(dead_code)]

#[path = "sizings.rs"]
mod sizings;
pub use sizings::*;

use crate::finding::conditions::{
    Cleared, DoubleFaults, NetState, Opens, Pair, PartState, Replay, StepValues, TouchState, Tried,
};
use crate::finding::{
    Accepted, CheckId, CheckName, Compared, Conditions, Discharge, FilePlace, Finding, Judgement, PluginRun, Quantity,
    Signal, Situation, Stress, Touch, When,
};

fn texts(words: &[&str]) -> Vec<String> {
    words.iter().map(|w| w.to_string()).collect()
}

/// A judgement that found nothing.
pub fn quiet() -> Judgement {
    Judgement {
        date: "2026-11-25".into(),
        jig_name: "Neon strobe wand".into(),
        jig_file: "demo-data/neon-wand-230v.toml".into(),
        jig_sha256: "5f3c0b7e19a2d4468c01f7be2a95d3106be8f04c7721e9a05b3c6d18f4a7920e".into(),
        conditions: Conditions { solved: 214, unsolved: 0, cleared: 31 },
        findings: Vec::new(),
        stresses: vec![
            stress("R1", Quantity::Power, [0.112, 0.153], Some(0.6), Situation::Normal, "high mains, plug either way"),
            stress("R1", Quantity::Power, [0.112, 0.548], Some(0.6), Situation::SingleFault, "high mains, R2 shorted"),
            stress("R1", Quantity::VoltageRms, [92.4, 112.0], Some(350.0), Situation::Normal, "high mains"),
            stress("R1", Quantity::CurrentMean, [0.000_41, 0.000_52], None, Situation::Normal, "high mains"),
            stress("LP1", Quantity::CurrentRms, [0.000_49, 0.000_61], Some(0.001), Situation::Normal, "high mains"),
        ],
        touch: vec![touch("wand tube end cap", 0.0, 0.0, "every one of them")],
        discharge: vec![discharge("L", "N", 1.0, 0.0, "unplugged at the crest of the mains")],
        plugins: Vec::new(),
        only: false,
        not_checked: texts(&["the lamp's light output", "wires: no length is written down"]),
        assumed: Vec::new(),
        unit_without_checks: None,
        let_pass: Vec::new(),
        cleared: vec![cleared()],
        tried: None,
        replay: None,
        double_faults: None,
        measure_first: None,
    }
}

pub fn finding(signal: Signal, check: &str) -> Finding {
    let check = CheckId::named(check).map_or_else(|| CheckName::Plugin(check.into()), CheckName::Core);
    let place = FilePlace { file: "demo-data/neon-wand-230v.toml".into(), line: 31, column: 1 };
    Finding {
        source: "common practice".into(),
        message: "It matters.".into(),
        remedy: "Change it.".into(),
        ..Finding::new(check, signal, place)
    }
}

fn stress(
    part: &str,
    quantity: Quantity,
    [nominal, value]: [f64; 2],
    rating: Option<f64>,
    kind: Situation,
    condition: &str,
) -> Stress {
    Stress {
        part: part.into(),
        quantity,
        nominal: Some(nominal),
        value,
        unit: quantity.unit(),
        rating,
        margin: rating.map(|r| r / value),
        condition: condition.into(),
        kind,
    }
}

fn touch(name: &str, volts: f64, amperes: f64, condition: &str) -> Touch {
    Touch {
        touchable: name.into(),
        voltage_rms: volts,
        voltage_peak: volts * 1.414,
        voltage_dc: 0.0,
        current_rms: amperes,
        current_peak: amperes * 1.414,
        unweighted_rms: amperes,
        unweighted_peak: amperes * 1.414,
        condition: condition.into(),
        kind: Situation::SingleFault,
    }
}

fn discharge(a: &str, b: &str, seconds: f64, volts: f64, condition: &str) -> Discharge {
    Discharge { between: [a.into(), b.into()], seconds, volts, condition: condition.into() }
}

/// A fault that a fuse ends.
fn cleared() -> Cleared {
    Cleared {
        fault: "insulation from L1 to TUBE broken down".into(),
        by: "F1".into(),
        within_seconds: 0.3,
        amperes: 12.5,
        conditions: 6,
        also: texts(&["branch breaker"]),
        condition: "insulation from L1 to TUBE broken down, mains low".into(),
    }
}

fn condition(number: usize, words: &str, faults: &[&str]) -> Tried {
    Tried {
        number: Some(number),
        condition: words.into(),
        faults: texts(faults),
        supply: Some("high"),
        plug: Some("as wired"),
        switches: Default::default(),
        loads: Default::default(),
        tolerances: Default::default(),
        moment: String::new(),
        outcome: "solved",
        cleared_by: None,
        within_seconds: None,
        amperes: None,
        why: None,
        ordinal: (u32::try_from(number).unwrap(), 0),
        in_full: words.into(),
    }
}

/// Every condition listed: solved, cleared, not solved, at a corner.
pub fn listed() -> Judgement {
    let mut j = quiet();
    let ends = condition(2, "R1 open, mains high, tolerances at their worst", &["R1-open"]);
    let tolerances = [("R1".to_string(), 1.0), ("R2".to_string(), -1.0)].into();
    j.tried = Some(vec![
        condition(1, "mains high", &[]),
        Tried { tolerances, in_full: "R1 open, mains high, R1 at its upper end, R2 at its lower end".into(), ..ends },
        Tried {
            outcome: "cleared",
            cleared_by: Some("F1".into()),
            within_seconds: Some(0.3),
            amperes: Some(12.5),
            ..condition(3, "R1 shorted, mains high", &["R1-short"])
        },
        Tried {
            outcome: "unsolved",
            why: Some("it goes \u{1B}[31mround in circles".into()),
            ..condition(4, "R2 shorted, mains high", &["R2-short"])
        },
    ]);
    j
}

fn state(when: &str) -> StepValues {
    StepValues {
        when: when.into(),
        opens: vec![],
        nets: vec![NetState { net: "L".into(), voltage_rms: 253.0, voltage_peak: 357.8, voltage_mean: 0.0 }],
        parts: vec![PartState {
            part: "R1".into(),
            power: 0.153,
            voltage_rms: 112.0,
            voltage_peak: 190.0,
            current_rms: 0.001_3,
            current_mean: 0.001_1,
            current_peak: 0.001_9,
        }],
        touch: vec![TouchState {
            touchable: "wand tube end cap".into(),
            voltage_rms: 0.1,
            voltage_peak: 0.2,
            voltage_dc: 0.0,
            current_rms: 0.000_05,
            current_peak: 0.000_1,
        }],
    }
}

/// One condition in full, in which a finding is worst.
pub fn replayed() -> Judgement {
    let mut j = every_signal();
    let tried = Tried { outcome: "cleared", ..condition(57, "high mains", &["R2-short"]) };
    j.replay = Some(Replay {
        tried,
        states: vec![
            StepValues {
                opens: vec![Opens { device: "F1".into(), within_seconds: 0.3, amperes: 12.5 }],
                ..state("until F1 opens")
            },
            state("after F1 has opened"),
        ],
        others: vec![55, 59, 60],
    });
    j
}

/// Pairs of faults below the tables.
pub fn paired() -> Judgement {
    let mut j = quiet();
    let finding = every_signal().findings.remove(3);
    let pair = Pair {
        faults: ["PE-open".into(), "insulation-L1-TUBE".into()],
        words: "earth conductor open and insulation from L1 to TUBE broken down".into(),
        finding,
        further: 2,
    };
    j.double_faults = Some(DoubleFaults { pairs: 61, conditions: 122, unsolved: 1, ranked: vec![pair] });
    j
}

/// One finding of each signal word, handed over in the wrong order.
pub fn every_signal() -> Judgement {
    let mut j = quiet();
    j.findings = vec![
        Finding {
            parts: texts(&["LP1"]),
            condition: "high mains".into(),
            when: When::Written("high mains".into()),
            quantity: "current_rms".into(),
            value: Some(0.000_61),
            unit: "A".into(),
            limit: Some(0.000_5),
            margin: Some(0.819_67),
            source: "lamps table, from memory".into(),
            message: "Above its design current the lamp blackens and wears out early; nobody is hurt.".into(),
            remedy: "Use 2 × 180 kΩ instead of 2 × 150 kΩ.".into(),
            ..finding(Signal::Notice, "lamp-life")
        },
        Finding {
            parts: texts(&["F1"]),
            nets: texts(&["L", "N"]),
            message: "The plug goes in both ways, and with one fuse half of the ways leave the circuit live behind a \
                      fuse that has opened."
                .into(),
            remedy: "Fuse both poles.".into(),
            ..finding(Signal::Caution, "single-pole-fuse")
        },
        Finding {
            parts: texts(&["R1"]),
            condition: "high mains 253 V, plug either way, R2 shorted".into(),
            quantity: "voltage_rms".into(),
            value: Some(260.0),
            unit: "V".into(),
            limit: Some(250.0),
            margin: Some(0.961_54),
            source: "IEC 60115-1:2020, 2.2.4, limiting element voltage".into(),
            message: "The resistor stands across more than its limiting element voltage; its film can flash over, and \
                      then the lamp carries the whole mains."
                .into(),
            remedy: "Use two 150 kΩ 0.6 W 350 V in series; solved again, the worst is 131 V r.m.s. on each.".into(),
            ..finding(Signal::Warning, "resistor-voltage")
        },
        Finding {
            touchables: texts(&["wand tube end cap"]),
            nets: texts(&["TUBE"]),
            condition: "high mains 253 V, plug reversed, insulation L1 to TUBE broken down".into(),
            quantity: "touch current r.m.s.".into(),
            value: Some(0.0035),
            unit: "A".into(),
            limit: Some(0.0005),
            margin: Some(0.142_86),
            source: "IEC 61010-1:2010, 6.3.2 a)".into(),
            message: "A hand on the end cap would carry enough current to hold on to it.".into(),
            remedy: "Put reinforced insulation, 6 mm, between the mains and the end cap.".into(),
            ..finding(Signal::Danger, "touch-current")
        },
    ];
    j
}

/// A DANGER that somebody has accepted, and a CAUTION too.
pub fn accepted() -> Judgement {
    let mut j = every_signal();
    j.findings.retain(|f| matches!(f.signal, Signal::Warning | Signal::Caution));
    for f in &mut j.findings {
        f.accepted = Some(Accepted {
            reason: "class II, nothing earthed within reach of the wand".into(),
            by: "workshop lead".into(),
            until: "2027-12-31".into(),
        });
    }
    j
}

/// Nothing graver than CAUTION.
pub fn only_caution() -> Judgement {
    let mut j = every_signal();
    j.findings.retain(|f| f.signal >= Signal::Caution);
    j
}

/// Nothing graver than NOTICE.
pub fn only_notice() -> Judgement {
    let mut j = every_signal();
    j.findings.retain(|f| f.signal == Signal::Notice);
    j
}

/// Names and words longer than any line.
pub fn long_names() -> Judgement {
    let long = "dropping_resistor_nearest_the_plug_".repeat(5);
    let mut j = quiet();
    j.jig_name = format!("{} wand", "Very long name of a ".repeat(6).trim_end());
    j.jig_file = format!("{}wand.toml", "folder-of-the-co-op/".repeat(9));
    j.findings = vec![Finding {
        parts: (1..=40).map(|n| if n == 2 { long.clone() } else { format!("R{n}") }).collect(),
        touchables: vec![long.clone()],
        nets: vec![long.clone(), "L".into()],
        condition: format!("high mains, {long} shorted"),
        quantity: "power".into(),
        value: Some(1.2),
        unit: "W".into(),
        limit: Some(0.6),
        margin: Some(0.5),
        source_of_check: format!("{}@1.0.0", "quillgate-".repeat(12)),
        ..finding(Signal::Warning, "resistor-power")
    }];
    j.stresses[0].part = long.clone();
    j.stresses[1].part = long.clone();
    j.stresses[1].condition = long.clone();
    j.touch[0].touchable = long.clone();
    j.touch[0].condition = long.clone();
    j.discharge[0].between = [long.clone(), long.clone()];
    j.plugins = vec![PluginRun {
        id: "quillgate-".repeat(12),
        version: "1.0.0-".repeat(12),
        sha256: "ab".repeat(32),
        vetted_by: vec!["quillgate-repair-co-op".into(); 9],
        outcome: "ran",
        why: String::new(),
    }];
    j.not_checked = vec![long];
    j
}

/// Letters of other scripts, wide ones, and accents that take no column.
pub fn non_ascii() -> Judgement {
    let mut j = every_signal();
    j.jig_name = "氖灯频闪棒 – Glimmlampe für den Plattenteller, große Ausführung".into();
    j.jig_file = "demo-data/氖灯-größe.toml".into();
    j.findings[2].parts = texts(&["R_größe", "抵抗器一番", "сопротивление"]);
    j.findings[2].message = "電源を入れないでください。抵抗器の素子電圧が定格を超えています。".repeat(3);
    j.findings[2].remedy = "Deux résistances de 150 kΩ 0,6 W en série, cafe\u{301} noir.".into();
    j.stresses[0].part = "抵抗器一番".into();
    j.stresses[0].condition = "電源電圧が高い場合のプラグの向きは問わない".into();
    j.touch[0].touchable = "ручка жезла".into();
    j
}

/// Nothing at all: not even a condition was solved.
pub fn empty() -> Judgement {
    Judgement {
        date: "2026-11-25".into(),
        jig_name: String::new(),
        jig_file: "empty.toml".into(),
        jig_sha256: String::new(),
        conditions: Conditions::default(),
        findings: Vec::new(),
        stresses: Vec::new(),
        touch: Vec::new(),
        discharge: Vec::new(),
        plugins: Vec::new(),
        only: false,
        not_checked: Vec::new(),
        assumed: Vec::new(),
        unit_without_checks: None,
        let_pass: Vec::new(),
        cleared: Vec::new(),
        tried: None,
        replay: None,
        double_faults: None,
        measure_first: None,
    }
}

/// Found nothing, but did not get to the end.
pub fn incomplete() -> Judgement {
    let mut j = quiet();
    j.conditions = Conditions { solved: 212, unsolved: 2, cleared: 0 };
    j.plugins = vec![
        plugin("strobe-lamp", "ran", &["quillgate", "ferry-lane"], ""),
        plugin("wand-extras", "failed", &[], "check.lua:14: more than its share of time"),
        plugin("series-lamp-limiter", "skipped", &["quillgate"], "for other units"),
    ];
    j
}

/// Found the worst, and did not get to the end.
pub fn incomplete_and_danger() -> Judgement {
    let mut j = every_signal();
    j.conditions.unsolved = 1;
    j
}

fn plugin(id: &str, outcome: &'static str, vetted_by: &[&str], why: &str) -> PluginRun {
    PluginRun {
        id: id.into(),
        version: "1.2.0".into(),
        sha256: "0123456789abcdef".repeat(4),
        vetted_by: texts(vetted_by),
        outcome,
        why: why.into(),
    }
}

/// Several touchables, charges and kinds of condition.
pub fn touchables() -> Judgement {
    let mut j = quiet();
    j.touch = vec![
        touch("metal box", 115.0, 0.000_21, "PE of the cord open, C1 shorted"),
        touch("4 mm socket, red", 240.5, 0.0123, "one pole of SW1 welded"),
        touch("4 mm socket, black", 0.0, 0.0, ""),
    ];
    j.touch[2].kind = Situation::Normal;
    j.discharge = vec![
        discharge("L", "N", 1.0, 319.2, "R3 open, unplugged at the crest"),
        discharge("L", "N", 5.0, 33.1, "unplugged at the crest"),
        discharge("metal box", "PE", 5.0, 0.012, "unplugged at the crest"),
    ];
    j
}

/// Values no real jig has, and some that are no numbers.
pub fn huge_numbers() -> Judgement {
    let mut j = every_signal();
    j.conditions = Conditions { solved: 123_456_789, unsolved: 0, cleared: 98_765_432 };
    j.findings[0].value = Some(f64::NAN);
    j.findings[1].value = Some(f64::INFINITY);
    j.findings[1].unit = "A".into();
    j.findings[1].quantity = "prospective current".into();
    j.findings[2].value = Some(1.234_567e200);
    j.findings[2].margin = Some(2e-198);
    j.findings[3].value = Some(0.000_500_04);
    j.findings[3].margin = Some(0.999_92);
    j.stresses[0].value = 1e300;
    j.stresses[0].margin = Some(f64::NAN);
    j.stresses[1].value = 9_999_999.0;
    j.stresses[2].value = 1e-30;
    j.stresses[2].margin = Some(f64::INFINITY);
    j.stresses[4].margin = Some(0.999_9);
    j.touch[0].voltage_rms = f64::MAX;
    j.touch[0].current_peak = -0.25;
    j
}

/// One of each hidden character the pages must not hold, and the ones beside them that they may.
pub const HIDDEN: &str = "\u{0}\u{7}\u{8}\u{1B}[31m\u{7F}\u{85}\u{9B}\u{AD}\u{61C}\u{200B}\u{200F}\u{2028}\u{202A}\
                          \u{202E}\u{2060}\u{2066}\u{206F}\u{FEFF}\u{FFF9}\u{FFFB}\u{E0000}\u{E007F}\r\n\t";

/// Hidden characters in every text of a judgement that comes from a file or a plugin.
pub fn hostile() -> Judgement {
    let mut j = accepted();
    j.plugins = vec![plugin("strobe-lamp", "failed", &["quillgate"], "why")];
    let poison = |text: &mut String| text.insert_str(text.len() / 2, HIDDEN);
    for text in [&mut j.jig_name, &mut j.jig_file, &mut j.jig_sha256] {
        poison(text);
    }
    for f in &mut j.findings {
        f.touchables = texts(&["cap"]);
        let mut check = f.check.to_string();
        poison(&mut check);
        f.check = CheckName::Plugin(check);
        let mut quantity = f.quantity.to_string();
        poison(&mut quantity);
        f.quantity = Compared::Named(quantity);
        let own = [&mut f.source_of_check, &mut f.condition, &mut f.unit, &mut f.source];
        own.into_iter().for_each(poison);
        [&mut f.message, &mut f.remedy, &mut f.place.file].into_iter().for_each(poison);
        f.parts.iter_mut().chain(&mut f.nets).chain(&mut f.touchables).for_each(poison);
        if let Some(a) = &mut f.accepted {
            [&mut a.reason, &mut a.by, &mut a.until].into_iter().for_each(poison);
        }
    }
    for s in &mut j.stresses {
        [&mut s.part, &mut s.condition].into_iter().for_each(poison);
    }
    for t in &mut j.touch {
        [&mut t.touchable, &mut t.condition].into_iter().for_each(poison);
    }
    for d in &mut j.discharge {
        d.between.iter_mut().chain([&mut d.condition]).for_each(poison);
    }
    for p in &mut j.plugins {
        [&mut p.id, &mut p.version, &mut p.sha256, &mut p.why].into_iter().chain(&mut p.vetted_by).for_each(poison);
    }
    j.not_checked.iter_mut().for_each(poison);
    j
}

/// Every judgement, with the name of its page.
pub fn judgements() -> Vec<(&'static str, Judgement)> {
    vec![
        ("quiet", quiet()),
        ("every-signal", every_signal()),
        ("accepted", accepted()),
        ("only-caution", only_caution()),
        ("only-notice", only_notice()),
        ("long-names", long_names()),
        ("non-ascii", non_ascii()),
        ("empty", empty()),
        ("incomplete", incomplete()),
        ("incomplete-and-danger", incomplete_and_danger()),
        ("touchables", touchables()),
        ("huge-numbers", huge_numbers()),
        ("hostile", hostile()),
        ("conditions-listed", listed()),
        ("condition-in-full", replayed()),
        ("pairs-of-faults", paired()),
    ]
}
