//! No limit is typed into code: every number of the program outside the tables of `src/standard`, the mathematics of
//! `src/circuit` and what only lays out text is one that cannot be a limit, or stands in the list below with its reason.
#![allow(clippy::unwrap_used)]

use std::path::{Path, PathBuf};

/// Rooms that judge nothing: (folder, why its numbers are no limits).
const OTHER_ROOMS: &[(&str, &str)] = &[
    ("standard", "the tables themselves, and the arithmetic of looking them up"),
    ("circuit", "mathematics: orders, steps and tolerances of the solver; knows no part and no person"),
    ("quantity", "reading and printing numbers: digits, prefixes, feet and inches"),
    ("report", "columns and digits"),
    ("picture", "points of a drawing, and what order things stand in"),
    ("strobe/disc", "lays out a drawing: ticks, letters, degrees; its measures are in the tables"),
    ("files", "who may read a file that is written"),
    ("command", "exit status"),
    ("plugin", "what a plugin may use up of the machine: time, memory, calls, length of texts"),
    ("sharing", "bounds on archives and records, days; trust is in the policy"),
    ("jig", "the file format: how much may be read, dates, spelling"),
];

/// Numbers that stay in code: (file, the end of its name or nothing for any; number; what its line holds; why it is no
/// limit). A line of code that goes takes its reason with it.
const REASONS: &[(&str, &str, &str, &str)] = &[
    ("", "3600.0", "/ 3600.0", "seconds of an hour"),
    ("nets/standing.rs", "256", "MOST", "bounds the work, not a limit of a tool"),
    ("survey/watts.rs", "12", "ROUNDS", "rounds of a search"),
    ("survey/lamps.rs", "180.0", "HALF_CYCLE", "degrees of half a turn"),
    ("wording/condition.rs", "180.0", "rem_euclid", "degrees of half a turn"),
    ("wording/condition.rs", "90.0", "90.0 =>", "degrees of a quarter of a turn"),
    ("front/rows.rs", "3", "styles", "the column of the marks"),
    ("finding/action.rs", "4", "MOST_NAMED", "how many names stand before a change"),
    ("survey/traces.rs", "360.0", "CYCLE", "degrees of a turn"),
    ("survey/traces.rs", "360", "POINTS", "instants at which a curve is drawn"),
    ("survey/traces.rs", "60", "INSTANTS", "instants at which a curve is drawn"),
    ("survey/traces.rs", "1.3", "BEYOND", "how far a curve is drawn beyond its last mark"),
    ("survey/traces.rs", "60.0", "PATIENCE", "when a discharge is given up"),
    ("", "360.0", "360.0 * phase", "degrees of a turn"),
    ("wording/finding.rs", "60.0", "OF_A_MINUTE", "seconds of a minute"),
    ("", "6", "nearest", "steps of a series of preferred values"),
    ("", "12", "nearest", "steps of a series of preferred values"),
    ("", "12", "neighbours", "steps of a series of preferred values"),
    ("", "24", "nearest", "steps of a series of preferred values"),
    (
        "nets/divider.rs",
        "256",
        "MOST_DIVIDED",
        "how many nets volts are divided over, by the work it is: told when there are more",
    ),
    ("sizing/neon.rs", "12", "round(", "steps of a series of preferred values"),
    ("sizing/parts.rs", "24", "steps_per_decade", "the series that every dropper is sold in"),
    ("checks/page.rs", "3", "nearest_names", "how many near names are offered"),
    ("checks/solved/stored_charge.rs", "0.9", "needed", "a remedy keeps a tenth back for the tolerances"),
    ("checks/solved/stored_charge.rs", "0.9", "ohms", "a remedy keeps a tenth back for the tolerances"),
    ("checks/solved/resistor_power.rs", "3", "[2usize, 3, 4]", "how many resistors in series are offered"),
    ("checks/solved/resistor_power.rs", "4", "[2usize, 3, 4]", "how many resistors in series are offered"),
    ("wording/way.rs", "3", "rest.len() < 3", "how many like resistors are told as so many in series"),
    ("survey/settings.rs", "96", "FULL", "how many combinations are tried in full: told when there are more"),
    ("survey/threads.rs", "8", "TASKS_A_THREAD", "jobs that make another thread worth its start"),
    ("survey/build.rs", "50.0", "HERTZ_WITHOUT_MAINS", "period of a circuit without mains: anything will do"),
    ("survey/unplug.rs", "32", "PHASES", "phases at which unplugging is looked for"),
    ("survey/unplug.rs", "4", "PHASES /", "the two crests among the phases"),
    ("survey/unplug.rs", "3", "PHASES /", "the two crests among the phases"),
    (
        "survey/few.rs",
        "",
        "Thrift { many:",
        "from how many values on corners are saved, by the work it is, and how well the worst is then known",
    ),
    (
        "survey/few.rs",
        "0.7",
        "FALLEN",
        "what a fault brings down so far asks for no corner: it is worse without the fault",
    ),
    ("survey/few.rs", "0.618033988749895", "SPREAD:", "the golden section: no two values are moved alike"),
    ("survey/few.rs", "0.25", "SPREAD_OVER", "how far apart values that are moved at once lie"),
    ("survey/few.rs", "0.05", "BENT:", "how bent a line may be for its slope to be believed; else all is tried"),
    ("survey/few.rs", "0.15", "BENT_SQUARE", "how bent a line may be for its slope to be believed; else all is tried"),
    ("survey/put_on.rs", "60.0", "PATIENCE", "when a discharge is given up, which is told"),
    ("survey/replay.rs", "256", "WAVE_POINTS", "instants at which a plugin sees a current, by the work it is"),
    ("survey/switch_on.rs", "", "ANGLES", "angles at which switching on is tried"),
    ("survey/switch_on.rs", "", "CRESTS", "the crests among those angles"),
    ("survey/switch_on.rs", "50", "MOST_CYCLES", "cycles that an inrush is followed, by the work it is"),
    ("sizing/parts.rs", "", "bench([", "outsides of the boxes that are offered; the heat of each is judged"),
    ("sizing/parts.rs", "", "size: [", "outsides of the boxes that are offered; the heat of each is judged"),
    ("sizing/neon.rs", "8", "COUNTS", "how many resistors in series are tried"),
    ("sizing/neon.rs", "3.6e6", "seconds", "a thousand hours: how finely a life is told"),
    ("sizing/neon.rs", "0.9", "FAR", "when a finer series of preferred values is looked at"),
    ("sizing/led.rs", "200", "MOST", "how long a string may be asked for"),
    ("sizing/led.rs", "12", "ROUNDS", "rounds of an iteration"),
    (
        "sizing/starting/droppers.rs",
        "3",
        "series: 3",
        "how many LEDs a lamp to begin from has; what comes out is judged",
    ),
    ("sizing/led.rs", "5", "take(5)", "how many fuses are tried"),
    ("finding/mod.rs", "3", "3", "exit status"),
    ("finding/strobe.rs", "3", "return 3", "exit status"),
    ("strobe/drift.rs", "60.0", "MINUTE", "seconds of a minute"),
    ("strobe/page.rs", "3", "NEIGHBOURS", "how many rings are told on either side"),
    ("strobe/page.rs", "15", "ORDERS", "how many orders of ghosts are looked at, by the work it is"),
    ("strobe/page.rs", "3", "TIMES", "how many times the speed ghosts are looked for"),
    ("strobe/solved.rs", "360.0", "CYCLE", "degrees of a turn"),
    ("strobe/light.rs", "64", "HARMONICS", "how finely a picture is worked out"),
    ("strobe/light.rs", "128", "PICTURE", "how finely a picture is worked out"),
    ("survey/glow.rs", "512", "POINTS", "instants at which a light is looked at, by the work it is"),
    ("wording/join.rs", "3", "TOLD", "how many names are told before the rest is counted"),
    ("mending/trial.rs", "3000", "CONDITIONS_FOR_WORDS", "how many conditions may be solved only to word remedies"),
    ("mending/trial.rs", "120", "SURVEYS_FOR_FILE", "how many changed jigs may be surveyed for a file"),
    ("solved/propose/bleeder.rs", "1.3", "nearest_at_most", "a second value to try; what comes out is judged"),
    ("solved/propose/conductor.rs", "1.005", "areas", "two ways of writing one cross-section are one"),
    ("solved/propose/conductor.rs", "0.995", "areas", "two ways of writing one cross-section are one"),
    ("solved/propose/mod.rs", "3", "MOST", "how many sizes of one part are tried"),
    ("solved/propose/resistor.rs", "3", "[2_usize, 3]", "how many resistors in series are tried"),
    ("solved/propose/lamp.rs", "", "NEAR", "which part is tried first: its current is about that of the lamp"),
    ("solved/propose/lamp.rs", "6", "neighbours", "steps of a series of preferred values"),
    (
        "solved/propose/lamp.rs",
        "",
        "[1.0, 1.1, 1.3]",
        "how far a value is raised when it is tried; what comes out is judged",
    ),
    ("deadtest/point.rs", "24", "MOST_POINTS", "bounds the work: told when there are more"),
    ("deadtest/point.rs", "8", "MOST_SETTINGS", "bounds the work: told when there are more"),
    (
        "deadtest/choose.rs",
        "12",
        "MOST:",
        "how many measurements a person takes before faults are merely parted from each other",
    ),
    ("deadtest/power/behind.rs", "256", "INSTANTS", "instants at which a meter is read, by the work it is"),
    ("deadtest/power/behind.rs", "6", "MOST_PAIRS", "how many places a meter is put on"),
    ("deadtest/power/behind.rs", "96", "MOST_FAULTS", "bounds the work: how many faults are tried behind the lamp"),
    ("deadtest/power/behind.rs", "3", "MOST_WARM", "how many parts are felt"),
    ("deadtest/diode.rs", "64", "ROUNDS", "rounds of an iteration"),
    ("deadtest/given/raw.rs", "8", "FEWEST", "digits of a hash"),
    ("front/dead.rs", "3", "INCOMPLETE", "exit status"),
    ("front/dead.rs", "3", "TOLD", "how many measurements a check tells"),
    ("front/dead.rs", "40", "MOST_PARTS", "bounds the work a check does beside its own"),
    ("mending/trial.rs", "3", "DEEPEST", "how many changes may make one another necessary"),
];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

fn files(folder: &Path, out: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()) {
        if entry.is_dir() {
            files(&entry, out);
        } else if entry.extension().is_some_and(|e| e == "rs") {
            out.push(entry);
        }
    }
}

/// The code of a file: comments, texts and letters blanked out, its test module cut off. Lines stay where they are.
fn code(text: &str) -> String {
    let text = text.split("#[cfg(test)]\n").next().unwrap();
    let mut out = String::new();
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let skip = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if let Some(raw) = rest.strip_prefix("r#\"") {
            raw.find("\"#").map_or(rest.len(), |n| n + 5)
        } else if c == '"' {
            end_of_text(rest)
        } else if c == '\'' {
            letter(rest)
        } else {
            out.push(c);
            rest = &rest[c.len_utf8()..];
            continue;
        };
        out.extend(rest[..skip].chars().map(|c| if c == '\n' { '\n' } else { ' ' }));
        rest = &rest[skip..];
    }
    out
}

fn end_of_text(rest: &str) -> usize {
    let mut escaped = false;
    for (k, c) in rest.char_indices().skip(1) {
        match c {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => return k + 1,
            _ => {}
        }
    }
    rest.len()
}

/// Length of a letter in quotes; of a lifetime only its quote.
fn letter(rest: &str) -> usize {
    let inner: Vec<(usize, char)> = rest.char_indices().take(12).collect();
    let escaped = inner.get(1).is_some_and(|c| c.1 == '\\');
    let close = inner.iter().skip(if escaped { 3 } else { 2 }).take(if escaped { 9 } else { 1 }).find(|c| c.1 == '\'');
    close.map_or(1, |c| c.0 + 1)
}

/// The numbers of a line of code.
fn numbers(line: &str) -> Vec<String> {
    let mut out = vec![];
    let letters: Vec<char> = line.chars().collect();
    let mut k = 0;
    while k < letters.len() {
        let word = |c: char| c.is_alphanumeric() || c == '_';
        if !word(letters[k]) {
            k += 1;
            continue;
        }
        let start = k;
        let digit = letters[k].is_ascii_digit();
        while k < letters.len() {
            let next = letters.get(k + 1).is_some_and(char::is_ascii_digit);
            let sign = digit && k > start && letters[k - 1] == 'e' && "+-".contains(letters[k]);
            if word(letters[k]) || (digit && letters[k] == '.' && next) || sign {
                k += 1;
            } else {
                break;
            }
        }
        // What follows a full stop is a field of a tuple.
        let field = start > 0 && letters[start - 1] == '.' && !(start > 1 && letters[start - 2] == '.');
        if digit && !field {
            out.push(letters[start..k].iter().filter(|c| **c != '_').collect());
        }
    }
    out
}

fn value(number: &str) -> Option<f64> {
    let bare = ["f64", "f32", "usize", "isize", "u8", "u16", "u32", "u64", "i8", "i32", "i64"]
        .iter()
        .find_map(|t| number.strip_suffix(t))
        .unwrap_or(number);
    match bare.strip_prefix("0x") {
        Some(hex) => u64::from_str_radix(hex, 16).ok().map(|v| v as f64),
        None => bare.parse().ok(),
    }
}

/// Numbers that cannot be a limit wherever they stand: nothing, one, two (a half or both of a pair), powers of ten
/// (prefixes, rounding, tolerances of the arithmetic).
fn harmless(number: &str) -> bool {
    let Some(v) = value(number) else { return false };
    v == 0.0 || v == 2.0 || v == 0.5 || { v > 0.0 && (v.log10() - v.log10().round()).abs() < 1e-12 }
}

#[test]
fn every_number_has_its_reason() {
    let mut all = vec![];
    files(&root(), &mut all);
    let mut strange = vec![];
    let mut used = vec![false; REASONS.len()];
    for file in all {
        let name = file.strip_prefix(root()).unwrap().to_str().unwrap().to_string();
        if OTHER_ROOMS.iter().any(|r| name.starts_with(&format!("{}/", r.0))) {
            continue;
        }
        for (n, line) in code(&std::fs::read_to_string(&file).unwrap()).lines().enumerate() {
            for number in numbers(line).into_iter().filter(|x| !harmless(x)) {
                // The length of an array is no quantity.
                if line.contains(&format!("; {number}]")) {
                    continue;
                }
                let fits = |r: &&(&str, &str, &str, &str)| {
                    name.ends_with(r.0) && (r.1.is_empty() || r.1 == number) && line.contains(r.2)
                };
                let reason = REASONS.iter().position(|r| fits(&r));
                match reason {
                    Some(k) => used[k] = true,
                    None => strange.push(format!("{name}:{}: {number} in {}", n + 1, line.trim())),
                }
            }
        }
    }
    assert!(strange.is_empty(), "move them to src/standard with source and basis:\n{}", strange.join("\n"));
    let idle: Vec<_> = REASONS.iter().zip(used).filter(|(_, u)| !u).map(|(r, _)| r).collect();
    assert!(idle.is_empty(), "reasons for nothing: {idle:?}");
}

#[test]
fn no_source_is_typed_into_a_check() {
    let mut all = vec![];
    files(&root().join("checks"), &mut all);
    for file in all {
        let text = std::fs::read_to_string(&file).unwrap();
        let text = text.split("#[cfg(test)]\n").next().unwrap();
        for call in [".source(\"", "source: \""] {
            assert!(!text.contains(call), "{}: {call} … takes its source from the tables", file.display());
        }
    }
}

#[test]
fn numbers_are_seen_where_they_stand() {
    let text = "let a = 42.4; // 7\nlet b = \"9\"; let c = x.1; let d = 1e-3 + 33; 'a: loop {} let e = '8';\n#[cfg(test)]\nlet f = 5;";
    let found: Vec<String> = code(text).lines().flat_map(numbers).collect();
    assert_eq!(found, ["42.4", "1e-3", "33"]);
    assert!(harmless("1e-9") && harmless("1000") && !harmless("42.4") && !harmless("0.9"));
}
