//! The dead test: what a meter must read against circuits worked by hand, what is told and what stays hidden, and readings that
//! are wrong in themselves.
#![allow(clippy::unwrap_used)]

use crate::deadtest::{self, DeadTest, Measurement, Range, Reading, Why, Wish, given};
use crate::jig;
use crate::wording::deadtest as words;

/// A tool without mains, from its parts and the nets that a meter reaches.
fn tool(parts: &str, points: &[&str]) -> DeadTest {
    let head = "format = 1\n[jig]\nname = \"Bench piece\"\nuse = \"bench\"\n[supply]\nsystem = \"none\"\n";
    let points: String = points.iter().map(|n| format!("[[point]]\nname = \"{n}\"\nnet = \"{n}\"\n")).collect();
    of(&format!("{head}{parts}\n{points}"))
}

fn of(text: &str) -> DeadTest {
    let jig = jig::parse("bench.toml", text.as_bytes()).unwrap_or_else(|e| panic!("{e:?}\n{text}"));
    deadtest::dead_test(&jig)
}

fn demo(name: &str) -> DeadTest {
    of(&std::fs::read_to_string(format!("{}/demo-data/{name}.toml", env!("CARGO_MANIFEST_DIR"))).unwrap())
}

fn resistor(name: &str, ends: [&str; 2], ohms: &str, tolerance: &str) -> String {
    let [a, b] = ends;
    format!(
        "[part.{name}]\nkind = \"resistor\"\nacross = [\"{a}\", \"{b}\"]\nresistance = \"{ohms}\"\ntolerance = \"{tolerance}\"\n"
    )
}

fn near(got: Reading, low: f64, high: f64) {
    let close = |a: f64, b: f64| (a - b).abs() <= 1e-4 * b.abs();
    assert!(close(got.low, low) && close(got.high, high), "{got:?} for {low} to {high}");
}

fn found<'t>(test: &'t DeadTest, a: &str, b: &str, range: Range) -> &'t Measurement {
    let at = |m: &&Measurement| {
        let names = [m.between[0].name.as_str(), m.between[1].name.as_str()];
        m.range == range && (names == [a, b] || names == [b, a])
    };
    test.measurements.iter().find(at).unwrap_or_else(|| panic!("{a}-{b} {range:?}: {:#?}", test.measurements))
}

#[test]
fn resistors_in_series_add_their_tolerances() {
    let parts = resistor("R1", ["a", "m"], "150 kΩ", "5 %") + &resistor("R2", ["m", "b"], "150 kΩ", "5 %");
    let test = tool(&parts, &["a", "b"]);
    let m = found(&test, "a", "b", Range::Ohms);
    // 2 · 150 k · 0.95 and 1.05.
    near(m.expect, 285e3, 315e3);
    assert_eq!(words::reads(m), "285 to 315 kΩ");
}

#[test]
fn resistors_in_parallel() {
    let parts = resistor("R1", ["a", "b"], "10 kΩ", "1 %") + &resistor("R2", ["a", "b"], "40 kΩ", "5 %");
    let test = tool(&parts, &["a", "b"]);
    // 9.9 k · 38 k / 47.9 k and 10.1 k · 42 k / 52.1 k.
    near(found(&test, "a", "b", Range::Ohms).expect, 9.9 * 38.0 / 47.9 * 1e3, 10.1 * 42.0 / 52.1 * 1e3);
}

#[test]
fn a_bridge_of_resistors_that_is_neither_series_nor_parallel() {
    // Arms 1 k and 2 k, 3 k and 6 k would balance; with 6 k and 3 k they do not, and 5 k lies across.
    let arms =
        [("R1", "a", "x", 1), ("R2", "x", "b", 2), ("R3", "a", "y", 6), ("R4", "y", "b", 3), ("R5", "x", "y", 5)];
    let parts: String = arms.iter().map(|(n, a, b, k)| resistor(n, [a, b], &format!("{k} kΩ"), "1 %")).collect();
    let test = tool(&parts, &["a", "b"]);
    // Delta a-x-y (1, 6, 5) to a star: a 6/12, x 5/12, y 30/12; then (5/12 + 2) beside (30/12 + 3), all times 1 kΩ.
    let (x, y) = (5.0 / 12.0 + 2.0, 30.0 / 12.0 + 3.0);
    let ohms = 1e3 * (6.0 / 12.0 + x * y / (x + y));
    near(found(&test, "a", "b", Range::Ohms).expect, 0.99 * ohms, 1.01 * ohms);
}

#[test]
fn a_rectifier_behind_resistors_is_dark_to_ohms_and_a_junction_to_the_diode_range() {
    let bridge = "[part.BR1]\nkind = \"bridge\"\nac = [\"p\", \"q\"]\nplus = \"x\"\nminus = \"y\"\n";
    let parts = resistor("R1", ["a", "p"], "100 Ω", "5 %") + bridge + &resistor("R2", ["x", "y"], "100 kΩ", "5 %");
    let test = tool(&parts, &["a", "q", "x", "y"]);
    assert!(test.reading("a", "q", Range::Ohms).is_none());
    // One silicon junction, 0.4 V to 0.8 V, and 100 Ω at 0.5 mA to 1.5 mA: The meter gives its
    // current into a short, out of 3 V: 6 kΩ and 2 kΩ inside. A junction that conducts has 1 Ω.
    let one = test.reading("a", "x", Range::Diode);
    let (low, high) = (96.0 * 2.6 / (3.0 / 0.5e-3 + 96.0), 106.0 * 2.2 / (3.0 / 1.5e-3 + 106.0));
    near(one, 0.4 + low, 0.8 + high);
    // The other way round 95 kΩ and a junction lie in the way: 0.4 V and 95/101 of the other 2.6 V.
    assert!(test.reading("x", "a", Range::Diode).is_none());
    // Two junctions and 95 kΩ: more than a meter shows.
    assert!(test.reading("a", "q", Range::Diode).is_none());
}

#[test]
fn a_winding_reads_its_copper() {
    let coil =
        "[part.K1]\nkind = \"winding\"\nacross = [\"a\", \"b\"]\nresistance = \"12 kΩ\"\ninductance = \"40 H\"\n";
    let test = tool(coil, &["a", "b"]);
    // 15 % either way by the table of spreads.
    near(found(&test, "a", "b", Range::Ohms).expect, 10.2e3, 13.8e3);
    assert!(test.hidden.iter().any(|h| h.fault == "K1-shorted-turns" && h.why == Why::ShortedTurns));
}

#[test]
fn a_capacitor_is_charged_by_the_meter() {
    let capacitor =
        "[part.C1]\nkind = \"capacitor\"\nacross = [\"a\", \"b\"]\ncapacitance = \"330 nF\"\ntolerance = \"10 %\"\n";
    let alone = tool(capacitor, &["a", "b"]);
    let m = found(&alone, "a", "b", Range::Capacitance);
    near(m.expect, 297e-9, 363e-9);
    // 363 nF to 0.5 V with 50 nA: 3.63 s.
    let m = found(&alone, "a", "b", Range::Ohms);
    assert_eq!(words::reads(m), "rises, then no reading within 4 s");
    // With 660 kΩ beside it: five times 363 nF · 693 kΩ are 1.26 s.
    let bled = tool(&(capacitor.to_string() + &resistor("R1", ["a", "b"], "660 kΩ", "5 %")), &["a", "b"]);
    let m = found(&bled, "a", "b", Range::Ohms);
    near(m.expect, 627e3, 693e3);
    assert_eq!(words::reads(m), "rises to 627 to 693 kΩ within 2 s");
}

#[test]
fn a_cold_filament() {
    let lamp = "[part.LP1]\nkind = \"filament-lamp\"\nacross = [\"a\", \"b\"]\nvolts = \"230 V\"\npower = \"100 W\"\ncold-ratio = 0.08\n";
    let test = tool(lamp, &["a", "b"]);
    // 230² / 100 · 0.08 = 42.32 Ω, 30 % either way.
    near(found(&test, "a", "b", Range::Ohms).expect, 0.7 * 42.32, 1.3 * 42.32);
}

#[test]
fn a_junction_reads_one_way_only() {
    let diode = "[part.D1]\nkind = \"diode\"\nacross = [\"a\", \"b\"]\n";
    let test = tool(diode, &["a", "b"]);
    let turned = test.measurements.iter().find(|m| m.tells.iter().any(|t| t == "D1-turned")).expect("it is told");
    assert_eq!(turned.range, Range::Diode);
    assert!(test.measurements.iter().any(|m| words::reads(m).ends_with("V, one way only")), "{:#?}", test.measurements);
}

#[test]
fn what_stays_hidden_says_why() {
    let test = demo("neon-wand-230v");
    let why = |fault: &str| test.hidden.iter().find(|h| h.fault == fault).map(|h| h.why.clone());
    assert_eq!(why("LP1-open"), Some(Why::FewVolts));
    assert_eq!(why("LP1-does-not-strike"), Some(Why::Strikes));
    assert_eq!(why("insulation-strength"), Some(Why::Strength));
    assert_eq!(why("R1-open"), None, "a lead on the lamp tells it");
    // Its twin without the points inside: no lead reaches the resistors.
    let text =
        std::fs::read_to_string(format!("{}/demo-data/neon-wand-230v.toml", env!("CARGO_MANIFEST_DIR"))).unwrap();
    let closed = of(text.split("[[point]]").next().unwrap());
    let why = closed.hidden.iter().find(|h| h.fault == "R1-open").map(|h| h.why.clone());
    assert!(matches!(why, Some(Why::OutOfReach(_))), "{why:?}");
}

#[test]
fn demo_jigs_take_at_most_twelve_measurements_and_all_are_told_apart_by_what_they_tell() {
    for name in DEMOS {
        let test = demo(name);
        assert!((1..=12).contains(&test.measurements.len()), "{name}: {}", test.measurements.len());
        assert!(test.complete, "{name}");
        // Every fault is told by a measurement or stands among the hidden ones.
        for w in &test.wrongs {
            let told = test.measurements.iter().any(|m| m.tells.contains(&w.id));
            let hidden = test.hidden.iter().any(|h| h.fault == w.id);
            assert!(told != hidden, "{name}: {} told {told}, hidden {hidden}", w.id);
        }
    }
}

/// The demo jigs.
pub(super) const DEMOS: [&str; 7] = [
    "neon-wand-230v",
    "neon-wand-120v",
    "led-box-230v",
    "capacitor-led-230v",
    "discharge-probe",
    "isolated-supply-230v",
    "series-lamp-limiter-230v",
];

#[test]
fn every_kind_says_one_branch_for_each_item_that_can_fail() {
    let folder = format!("{}/tests/designs", env!("CARGO_MANIFEST_DIR"));
    let mut kinds = std::collections::BTreeSet::new();
    for file in std::fs::read_dir(folder).unwrap().map(|f| f.unwrap().path()) {
        if file.extension().is_none_or(|e| e != "toml") {
            continue;
        }
        let jig = jig::read(&file).unwrap();
        let model = crate::survey::build::build(&jig);
        for (k, part) in jig.parts.iter().enumerate() {
            let failing: Vec<_> =
                model.items.iter().filter(|i| i.part == k && i.fault_branch.is_some()).map(|i| i.ends).collect();
            let dead: Vec<_> = part.kind.dead().into_iter().map(|b| b.ends).collect();
            assert_eq!(dead.get(..failing.len()), Some(failing.as_slice()), "{}: {}", file.display(), part.name);
            kinds.insert(part.kind.word());
        }
    }
    assert!(kinds.len() >= 18, "{kinds:?}");
}

fn told(test: &DeadTest, readings: &[&str]) -> deadtest::Diagnosis {
    let wish = Wish { readings: readings.iter().map(|r| r.to_string()).collect(), ..Wish::default() };
    test.diagnose(&given(test, &wish).unwrap_or_else(|e| panic!("{e:?}")))
}

fn refused(test: &DeadTest, readings: &[&str]) -> String {
    let wish = Wish { readings: readings.iter().map(|r| r.to_string()).collect(), ..Wish::default() };
    given(test, &wish).unwrap_err().iter().map(|e| format!("{e}\n")).collect()
}

fn refused_file(test: &DeadTest, text: &str, any_jig: bool) -> String {
    let wish = Wish { file: Some(("wand.readings.toml".into(), text.into())), any_jig, ..Wish::default() };
    match given(test, &wish) {
        Ok(list) => format!("taken: {}", list.len()),
        Err(errors) => errors.iter().map(|e| format!("{e}\n")).collect(),
    }
}

#[test]
fn readings_lead_to_what_is_wrong() {
    let test = demo("neon-wand-230v");
    // R1 bridged: 150 kΩ from the plug to the lamp.
    let d = told(&test, &["L-LP1=149 kΩ"]);
    assert!(d.differs() && d.unexplained.is_empty(), "{d:?}");
    let first: Vec<&str> = d.explained_by.iter().map(|e| e.fault.as_str()).collect();
    assert!(first.contains(&"R1-short") && first.contains(&"R2-short"), "{first:?}");
    assert!(d.next.is_some());
    // As it must be: nothing is called sound, and what would still be hidden is told.
    let d = told(&test, &["L-LP1=299 kΩ"]);
    assert!(!d.differs() && d.explained_by.is_empty(), "{d:?}");
    assert!(d.still_hidden.iter().any(|f| f == "LP1-open"), "{d:?}");
    assert!(d.next.is_some(), "other measurements would tell more");
}

#[test]
fn a_reading_that_nothing_explains_says_so() {
    let test = demo("neon-wand-230v");
    let d = told(&test, &["L-LP1=62 kΩ"]);
    assert_eq!(d.unexplained.len(), 1, "{d:?}");
    assert!(d.explained_by.iter().all(|e| e.fits < d.readings), "{d:?}");
}

#[test]
fn wrong_readings_are_refused_with_what_to_write() {
    let test = demo("neon-wand-230v");
    for (reading, words) in [
        ("L-N=5 V", &["ohms", "OL"][..]),
        ("L-LP9=5 kΩ", &["L-LP9", "L, N"]),
        ("M77=OL", &["M77", "M1 to M"]),
        ("L-N SW1=on ohms=OL", &["SW1=on", "no switch"]),
        ("L-N", &["no ="]),
        ("L-N=0,5 Ω", &["comma"]),
        ("L-N ohms=-3 Ω", &["-3"]),
        ("L-N ohms=nan", &["nan"]),
    ] {
        let said = if reading == "L-N=5 V" { refused(&test, &["L-N ohms=5 V"]) } else { refused(&test, &[reading]) };
        for word in words {
            assert!(said.contains(word), "{reading}: {word:?} is not in {said}");
        }
    }
}

#[test]
fn readings_that_exclude_each_other_are_refused() {
    let test = demo("neon-wand-230v");
    let said = refused(&test, &["L-LP1=299 kΩ", "LP1-L=150 kΩ"]);
    assert!(said.contains("exclude each other"), "{said}");
    // From L to the middle and on to the lamp there are 300 kΩ: no reading from L to the lamp cannot be.
    let said = refused(&test, &["L-R1/R2=150 kΩ", "R1/R2-LP1=150 kΩ", "L-LP1=OL"]);
    assert!(said.contains("exclude each other"), "{said}");
    // The near twin: 300 kΩ can.
    told(&test, &["L-R1/R2=150 kΩ", "R1/R2-LP1=150 kΩ", "L-LP1=300 kΩ"]);
    // Twice the same within what a meter may be off.
    told(&test, &["L-LP1=299 kΩ", "L-LP1=300 kΩ"]);
}

#[test]
fn a_file_of_readings_is_taken_whole_or_not_at_all() {
    let test = demo("neon-wand-230v");
    let head = format!("format = 1\njig = \"{}\"\n", test.sha256);
    let good = format!(
        "{head}[[reading]]\nid = \"M1\"\nvalue = \"OL\"\n[[reading]]\nbetween = [\"L\", \"LP1\"]\nvalue = \"299 kΩ\"\n"
    );
    assert_eq!(refused_file(&test, &good, false), "taken: 2");
    for (text, line, word) in [
        (good.replace("299 kΩ", "299 V"), 8, "ohms"),
        (good.replace("\"LP1\"", "\"LP9\""), 8, "no point \"LP9\""),
        (good.replace("value = \"OL\"", "vlaue = \"OL\""), 5, "vlaue"),
        (good.replace("format = 1", "format = 2"), 1, "format 2"),
        (good.replace(&test.sha256, &"0".repeat(64)), 2, "another jig"),
        ("format = 1\n[[reading]]\nid = \"M1\"\nvalue = \"OL\"\n".to_string(), 1, "which jig"),
        (head.clone(), 1, "no readings"),
        (format!("{good}[[reading]]\nid = \"M1\"\nvalue = \"12 Ω\"\n"), 11, "exclude each other"),
        (format!("{good}[[reading]]\nvalue = \"12 Ω\"\n"), 10, "where it was taken"),
        (format!("{good}[[reading]\n"), 9, ""),
    ] {
        let said = refused_file(&test, &text, false);
        // Ranges are inferred from units: volts between two points would be the diode range, so the range is written.
        if word == "ohms" {
            let text = text.replace("value = \"299 V\"", "range = \"ohms\"\nvalue = \"299 V\"");
            let said = refused_file(&test, &text, false);
            assert!(said.contains("ohms range"), "{said}");
            continue;
        }
        assert!(said.contains(word) && said.contains(&format!("toml:{line}:")), "{word}, line {line}: {said}");
    }
    let other = good.replace(&test.sha256, &"0".repeat(64));
    assert_eq!(refused_file(&test, &other, true), "taken: 2");
}
