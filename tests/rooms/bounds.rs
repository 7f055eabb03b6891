//! Bounds that are stated and kept: of everything that is counted, of the mains, of conditions and of time. Past a bound the
//! answer is an error at its line, or a check that is not complete and says which bound it was.
#![allow(clippy::unwrap_used)]

use super::tiny::HEAD;
use crate::jig;
use crate::jig::bounds::BOUNDS;
use crate::{Effort, Faults, InputError, Options};
use std::time::{Duration, Instant};

const LINES_OF_HEAD: u32 = 13;

fn wire(name: &str, a: &str, b: &str) -> String {
    format!("[part.{name}]\nkind = \"wire\"\nacross = [\"{a}\", \"{b}\"]\n")
}

fn listed(n: usize, one: impl Fn(usize) -> String) -> String {
    (0..n).map(one).collect::<Vec<_>>().join(", ")
}

fn resistor(keys: &str) -> String {
    format!("[part.R]\nkind = \"resistor\"\nacross = [\"L\", \"N\"]\nresistance = \"1 kΩ\"\n{keys}")
}

/// A jig with so many of what a bound counts, and the line at which the first one too many stands.
fn with(what: &str, n: usize) -> (String, u32) {
    let all = |one: &dyn Fn(usize) -> String| (0..n).map(one).collect::<String>();
    let bridge = wire("W", "L", "N");
    // Each part or section of so many lines; the last one is one too many.
    let after = |lines_before: u32, each: u32| LINES_OF_HEAD + lines_before + each * (n as u32 - 1) + 1;
    let section = |heading: &str, keys: &dyn Fn(usize) -> String| {
        let text = all(&|k| format!("{heading}\n{}\n", keys(k)));
        (format!("{HEAD}{bridge}{text}"), after(3, 1 + keys(0).lines().count() as u32))
    };
    let touched = |k: usize| format!("name = \"t{k}\"\nnet = \"L\"");
    let on_line = |text: String| (format!("{HEAD}{text}"), LINES_OF_HEAD + text.trim_end().lines().count() as u32);
    match what {
        "parts" => (format!("{HEAD}{}", all(&|k| wire(&format!("W{k}"), "L", "N"))), after(0, 3)),
        "switches" => {
            let one = |k| format!("[part.S{k}]\nkind = \"switch\"\npoles = [[\"L\", \"N\"]]\n");
            (format!("{HEAD}{}", all(&one)), after(0, 3))
        }
        "capacitors, inductors and windings" => {
            let one = |k| {
                format!(
                    "[part.C{k}]\nkind = \"capacitor\"\nacross = [\"L\", \"N\"]\ncapacitance = \"1 nF\"\nvoltage = \"1 kV\"\n"
                )
            };
            (format!("{HEAD}{}", all(&one)), after(0, 5))
        }
        "[[touchable]]" => section("[[touchable]]", &touched),
        "[[point]]" => section("[[point]]", &touched),
        "[[outlet]]" => section("[[outlet]]", &|k| format!("name = \"o{k}\"\nacross = [\"L\", \"N\"]")),
        "[[insulation]]" => section("[[insulation]]", &|_| "between = [\"L\", \"N\"]\ngrade = \"basic\"".into()),
        "[[accept]]" => section("[[accept]]", &|_| {
            "check = \"flash-rate\"\nreason = \"a\"\nby = \"b\"\nuntil = \"2027-12-31\"".into()
        }),
        "settings of all [plugin.ID]" => {
            (format!("{HEAD}{bridge}[plugin.a]\n{}", all(&|k| format!("k{k} = 1\n"))), after(4, 1))
        }
        "loads of an outlet" => on_line(format!(
            "{bridge}[[outlet]]\nname = \"o\"\nacross = [\"L\", \"N\"]\nloads = [{}]",
            listed(n, |k| format!("\"{} W\"", k + 1))
        )),
        "secondaries, poles, positions, contacts of a position or nets of a socket" => {
            on_line(format!("{bridge}[part.X]\nkind = \"socket\"\nnets = [{}]", listed(n, |_| "\"L\"".into())))
        }
        "characters of a name" => {
            on_line(wire("W", "L", "N").replace('W', &"W".repeat(n)).lines().next().unwrap().into())
        }
        "characters of any other text" => on_line(format!(
            "{bridge}[[accept]]\ncheck = \"flash-rate\"\nby = \"b\"\nuntil = \"2027-12-31\"\nreason = \"{}\"",
            "r".repeat(n)
        )),
        "brackets within brackets" => {
            on_line(format!("{}\nacross = {}\"L\"{}", bridge.lines().next().unwrap(), "[".repeat(n), "]".repeat(n)))
        }
        "bytes of the file" => {
            let text = format!("{HEAD}{bridge}#");
            (format!("{text}{}", "x".repeat(n - text.len())), 0)
        }
        other => panic!("no jig for the bound of {other}"),
    }
}

#[test]
fn of_everything_that_is_counted_one_more_is_an_error_at_its_line() {
    for (what, most) in BOUNDS {
        // Some jigs at a bound are wrong in other ways; none is wrong for the bound.
        let told = |text: &str| match jig::parse("j.toml", text.as_bytes()) {
            Ok(_) => vec![],
            Err(errors) => errors,
        };
        let names_it = |e: &InputError| {
            let words = format!("{} {}", e.message, e.help);
            words.contains("at most")
                || words.contains(&format!("more than {most}"))
                || words.contains("too deep")
                || words.contains("1 MiB")
        };
        let at = told(&with(what, *most).0);
        assert!(!at.iter().any(names_it), "{what} at {most}: {at:?}");
        let (text, line) = with(what, most + 1);
        let beyond = told(&text);
        let found = beyond.iter().find(|e| names_it(e)).unwrap_or_else(|| panic!("{what} beyond {most}: {beyond:?}"));
        assert_eq!(found.line, line, "{what}: {found}");
        assert!(line == 0 || found.column > 0, "{what}: {found}");
    }
}

#[test]
fn a_mains_that_is_written_out_is_one() {
    let supply = |volts: &str, hertz: &str, tolerance: &str| {
        let keys = format!("volts = \"{volts}\"\nfrequency = \"{hertz}\"\ntolerance = \"{tolerance}\"");
        let text = format!("{HEAD}{}", resistor("")).replace("system = \"230 V 50 Hz\"", &keys);
        jig::parse("j.toml", text.as_bytes())
    };
    for (volts, hertz, tolerance) in
        [("230 V", "50 Hz", "10 %"), ("15 V", "16.7 Hz", "0 %"), ("1000 V", "500 Hz", "50 %"), ("1 V", "15 Hz", "5 %")]
    {
        assert!(supply(volts, hertz, tolerance).is_ok(), "{volts} {hertz} {tolerance}");
    }
    // The supply's three keys stand in lines 6, 7 and 8, their values behind `key = `.
    for (volts, hertz, tolerance, place, told) in [
        ("230 V", "1e-9 Hz", "10 %", "7:13", "write frequency from 15 Hz to 500 Hz"),
        ("230 V", "1e9 Hz", "10 %", "7:13", "write frequency from 15 Hz to 500 Hz"),
        ("230 V", "14.9 Hz", "10 %", "7:13", "write frequency from 15 Hz to 500 Hz"),
        ("1e9 V", "50 Hz", "10 %", "6:9", "write volts from 1 V to 1 kV"),
        ("0.5 V", "50 Hz", "10 %", "6:9", "write volts from 1 V to 1 kV"),
        ("230 V", "50 Hz", "60 %", "8:13", "write tolerance from 0 % to 50 %"),
    ] {
        let errors = supply(volts, hertz, tolerance).unwrap_err();
        assert_eq!(errors.len(), 1, "{errors:?}");
        let words = errors[0].to_string();
        assert!(
            words.starts_with(&format!("j.toml:{place}: ")) && errors[0].help.contains(told),
            "{words} {}",
            errors[0].help
        );
    }
}

/// What is worked out besides a check has bounds of its own, told at the first part too many.
#[test]
fn dead_tests_and_sheets_are_made_of_so_many_parts() {
    use crate::front::{DeadWish, SheetPart, sheet};
    use crate::jig::bounds::{MOST_DRAWN, MOST_IN_A_DEAD_TEST};
    let options = Options { file: "j.toml".into(), ..Options::default() };
    let dead = |text: &str| crate::front::dead_test(text.as_bytes(), &options, &DeadWish::default()).map(drop);
    let drawn = |text: &str| sheet(text.as_bytes(), &options, SheetPart::Wiring).map(drop);
    for (most, made) in [(MOST_IN_A_DEAD_TEST, &dead as &dyn Fn(&str) -> _), (MOST_DRAWN, &drawn)] {
        let errors: Vec<InputError> = made(&with("parts", most + 1).0).unwrap_err();
        let line = LINES_OF_HEAD + 3 * most as u32 + 1;
        assert!(
            errors.len() == 1 && errors[0].line == line && errors[0].help.contains(&format!("at most {most}")),
            "{errors:?}"
        );
        let text = with("parts", most).0;
        assert!(most == MOST_IN_A_DEAD_TEST || made(&text).is_ok());
    }
}

fn checked(text: &str, budget: Option<Duration>) -> crate::Report {
    let options = Options { budget, measure_first: true, ..Options::default() };
    crate::check(text, &options).unwrap()
}

/// Whatever is cut off where, what is left is never a whole check.
#[test]
fn a_check_that_runs_out_of_time_is_never_complete() {
    let wand = include_str!("../../demo-data/neon-wand-230v.toml");
    let limiter = include_str!("../../demo-data/series-lamp-limiter-230v.toml");
    let whole = [wand, limiter].map(|text| checked(text, None).judgement.conditions);
    for micros in [1, 300, 3_000, 10_000, 30_000] {
        for (text, whole) in [wand, limiter].iter().zip(&whole) {
            let report = checked(text, Some(Duration::from_micros(micros)));
            let j = &report.judgement;
            let out: Vec<_> = j.findings.iter().filter(|f| f.message.contains("allowed were used up before")).collect();
            if out.is_empty() {
                // It was quicker than that.
                assert!(j.complete() && j.conditions == *whole, "{micros}");
                continue;
            }
            assert_eq!(report.exit_status(), 3, "{micros}");
            assert!(out.len() == 1 && j.conditions.unsolved > 0, "{out:#?}");
            assert!(out[0].remedy.contains("--budget"), "{out:#?}");
            assert!(j.conditions.solved < whole.solved || whole.solved + j.conditions.unsolved > 0);
            // The page and the JSON say so, too.
            assert!(report.to_text(crate::Look::default()).contains("allowed were used up"));
            assert!(report.to_json().contains(&format!("\"unsolved\": {}", j.conditions.unsolved)));
        }
    }
    assert_eq!(checked(wand, Some(Duration::from_micros(1))).exit_status(), 3);
}

#[test]
fn the_bound_is_named_with_its_time() {
    let report = checked(include_str!("../../demo-data/neon-wand-230v.toml"), Some(Duration::from_micros(250)));
    let told = report.judgement.findings.iter().find(|f| f.check == "unsolved-condition").unwrap();
    assert!(told.message.starts_with("the 250 µs allowed were used up before "), "{}", told.message);
    // A budget that is long enough changes nothing, to the last byte.
    let text = include_str!("../../src/checks/examples/touch-voltage.passes.toml");
    assert_eq!(checked(text, Some(Duration::from_secs(3600))).to_json(), checked(text, None).to_json());
    // As long as no clock runs is none.
    assert_eq!(checked(text, Some(Duration::MAX)).to_json(), checked(text, None).to_json());
}

/// Pairs of faults and a mended file come under the same bound.
#[test]
fn all_that_is_asked_for_comes_under_the_bound() {
    let text = include_str!("../../demo-data/neon-wand-230v.toml").replace("\"0.6 W\"", "\"0.1 W\"");
    let options = Options {
        budget: Some(Duration::from_millis(1)),
        faults: Faults::Pairs,
        mend: Effort::File,
        ..Options::default()
    };
    let report = crate::check(&text, &options).unwrap();
    let pairs = report.judgement.double_faults.as_ref().unwrap();
    assert!(report.exit_status() == 3 && pairs.unsolved > 0 && report.mended_text.is_none());
}

/// 64 switches of 16 positions: four thousand settings, with every fault each more than are tried.
#[test]
fn more_conditions_than_are_tried_are_told() {
    let positions = listed(16, |k| format!("p{k} = [[\"L\", \"N\"]]"));
    let switches: String =
        (0..64).map(|k| format!("[part.S{k}]\nkind = \"switch\"\npositions = {{ {positions} }}\n")).collect();
    let begun = Instant::now();
    let report = checked(&format!("{HEAD}{switches}{}", resistor("")), Some(Duration::from_millis(10)));
    let told = |words: &str| report.judgement.findings.iter().any(|f| f.message.contains(words));
    assert!(told("conditions, of which 100000 are tried at most") && told("allowed were used up before"));
    assert_eq!(report.exit_status(), 3);
    // Minutes on any machine, if the time did not hold.
    assert!(begun.elapsed() < Duration::from_secs(60), "{:?}", begun.elapsed());
}

/// Devices that have opened open no second time: what follows what opened comes to an end, with as many as there may be.
#[test]
fn whatever_opens_after_whatever_comes_to_an_end() {
    let fuses: String = (0..24)
        .map(|k| format!("[part.F{k}]\nkind = \"fuse\"\nacross = [\"n{k}\", \"n{}\"]\ncurrent = \"{} mA\"\nspeed = \"F\"\nvoltage = \"250 V\"\nbreaking = \"1500 A\"\n", k + 1, 100 + k))
        .collect();
    let text = format!("{HEAD}{fuses}{}", resistor("tolerance = \"5 %\"\n"))
        .replace("\"n0\"", "\"L\"")
        .replace("\"n24\"", "\"N\"");
    let report = checked(&text, Some(Duration::from_secs(20)));
    assert!(report.judgement.conditions.cleared > 0);
}

/// A rating beyond every row of the tables is judged by the last of them: a file may say anything up to 1e15 W.
#[test]
fn ratings_beyond_every_table_are_judged() {
    for watts in [2.9, 3.1, 0.99e6, 1.01e6, 1e15] {
        let pulse = crate::standard::resistor::pulse_watts(watts, 100.0, 1e-3);
        assert!(pulse.value.is_finite() && pulse.value >= watts, "{watts}: {pulse:?}");
    }
    let text = include_str!("../../src/checks/examples/stored-charge.passes.toml");
    let large =
        text.replace("power = \"0.6 W\"", "power = \"1e15 W\"").replace("power = \"1 W\"", "power = \"1e15 W\"");
    assert!(crate::check(&large, &Options::default()).is_ok());
}
