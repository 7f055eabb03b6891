//! What is wrong with a jig file: every fault with its place and words, all in one run, and never a panic.
#![allow(clippy::unwrap_used)]

use crate::jig::{self, InputError, MOST_ERRORS};
use proptest::prelude::*;

/// Seven good lines; a body under test begins in line 8.
const HEAD: &str =
    "format = 1\n[jig]\nname = \"x\"\nuse = \"bench\"\n[supply]\nsystem = \"230 V 50 Hz\"\nplug = \"C\"\n";
const WIRE: &str = "[part.W]\nkind = \"wire\"\nacross = [\"L\", \"N\"]\n";

fn faults(bytes: &[u8]) -> Vec<InputError> {
    match jig::parse("j.toml", bytes) {
        Ok(jig) => panic!("was read: {}", jig.name),
        Err(faults) => faults,
    }
}

fn told(bytes: &[u8]) -> Vec<String> {
    faults(bytes).iter().map(InputError::to_string).collect()
}

/// Body behind the seven good lines, and all that is told, without the file's name.
const BODIES: &[(&str, &[&str])] = &[
    ("", &[r"1:1: error: the file has no [part.…]; add each part as [part.R1] with its kind"]),
    (
        "[part.R1]\nkind = \"resistor\"\nacross = [\"L\", \"N\"]\nresistance = \"150 kΩ\"\npower = \"0,6 W\"\n",
        &[r#"12:9: error: "0,6 W" uses a decimal comma; write "0.6 W""#],
    ),
    (
        "[part.R1]\nkind = \"resistor\"\nacross = [\"L\", \"N\"]\nresistance = 1e400\n",
        &[
            r#"11:14: error: resistance is a bare number, 1e400; write the unit too, in quotes, such as resistance = "150 kΩ""#,
        ],
    ),
    (
        "[part.R1]\nkind = \"resistor\"\nacross = [\"L\", \"N\"]\nresistance = \"1e400 Ω\"\n",
        &[r#"11:14: error: "1e400 Ω" is too large; write a value that a real part can have, such as "150 kΩ""#],
    ),
    (
        "[part.R1]\nkind = \"resistor\"\nacross = [\"L\", \"N\"]\nresistance = 150\n",
        &[
            r#"11:14: error: resistance is a bare number, 150; write the unit too, in quotes, such as resistance = "150 Ω""#,
        ],
    ),
    (
        "[part.R1]\nkind = \"resistor\"\nacross = [\"L\", \"N\"]\nresistance = true\ntolerance = \"100 %\"\n",
        &[
            r#"11:14: error: resistance is true or false, where a resistance is wanted; write resistance = "150 kΩ""#,
            r#"12:13: error: "100 %" is the whole value or more; write tolerance below 100 %, such as "5 %""#,
        ],
    ),
    // One run tells everything, in the order of the file.
    (
        "[part.R1]\nkind = \"resistr\"\n[part.R2]\nkind = \"resistor\"\nacros = [\"L\", \"N\"]\nresistance = \"1 V\"\nflameproof = \"yes\"\n",
        &[
            r#"9:8: error: there is no kind of part "resistr"; did you mean "resistor"?"#,
            r#"10:1: error: resistor R2 has no across; add across = ["a", "b"]: the two nets it joins"#,
            r#"12:1: error: resistor R2 has no key "acros"; did you mean "across"?"#,
            r#"13:14: error: "1 V" is a voltage, where a resistance is wanted; write a resistance such as "150 kΩ""#,
            r#"14:14: error: flameproof is a string, where true or false is wanted; write flameproof = true or flameproof = false, without quotes"#,
        ],
    ),
    // What the trade calls otherwise, however near the letters of another kind are.
    (
        "[part.T]\nkind = \"thermostat\"\npoles = [[\"L\", \"N\"]]\n",
        &[r#"9:8: error: there is no kind of part "thermostat"; it is written as kind = "switch""#],
    ),
    (
        "[resistor.R1]\n[prt.R2]\n[part.\"a.b\"]\nkind = \"wire\"\nacross = [\"L\", \"L\"]\n",
        &[
            r#"8:2: error: a jig file has no section or key "resistor"; a part is written [part.X1] with kind = "resistor""#,
            r#"9:2: error: a jig file has no section or key "prt"; did you mean "part"?"#,
            r#"10:1: error: the part name "a.b" has a full stop; leave the full stop out: reports name a winding as T1.primary"#,
        ],
    ),
    (
        "[part.W]\nkind = \"wire\"\nacross = [\"L\", \"mains\"]\n[part.W2]\nkind = \"wire\"\nacross = [\"L\"]\n[part.W3]\nkind = \"wire\"\nacross = \"L\"\n[part.W4]\nkind = \"wire\"\nacross = [\"\", 7]\n",
        &[
            r#"10:16: error: a net cannot be called "mains"; "mains" stands for the whole supply side in [[insulation]]; give the net another name"#,
            r#"13:10: error: across has 1 nets, where two are wanted; write across = ["a", "b"]"#,
            r#"16:10: error: across is a string, where a list is wanted; write across = ["a", "b"]"#,
            r#"19:11: error: the net name "" is empty; write the net name such as "L1""#,
            r#"19:15: error: a bare whole number where the name of a net is wanted; write a name in quotes, such as "L1""#,
        ],
    ),
    (
        "[part.LP]\nkind = \"neon-lamp\"\nacross = [\"L\", \"N\"]\nstrike = \"50 V\"\nmaintain = \"60 V\"\n[part.LP2]\nkind = \"neon-lamp\"\nacross = [\"L\", \"N\"]\nstrike = \"90 V\"\nstrike-max = \"80 V\"\nmaintain = \"60 V\"\n[part.LP3]\nkind = \"neon-lamp\"\nacross = [\"L\", \"N\"]\nstrike = \"90 V\"\n",
        &[
            "12:12: error: the lamp would maintain at 60 V and strike at 50 V; a glow lamp strikes above the volts it maintains at: look again at the data sheet",
            "17:14: error: strike-max 80 V is below strike 90 V; strike-max is the worst lamp of the type: the same or higher",
            "19:1: error: neon-lamp LP3 has no maintain; strike and maintain go together",
        ],
    ),
    (
        "[part.S]\nkind = \"switch\"\n[part.S2]\nkind = \"switch\"\npoles = [[\"L\", \"a\"]]\npositions = { a = [] }\n[part.S3]\nkind = \"switch\"\npoles = [\"L\", \"a\"]\n",
        &[
            "8:1: error: switch S has no poles, nor positions; add one of them",
            "13:1: error: switch S2 has both poles and positions; keep one of them",
            r#"16:10: error: poles wants a list of pairs; write poles = [["a", "b"]]"#,
        ],
    ),
    (
        "[part.C]\nkind = \"capacitor\"\nacross = [\"L\", \"N\"]\ncapacitance = \"100n\"\nclass = \"X4\"\n[part.L]\nkind = \"led\"\nacross = [\"L\", \"N\"]\nforward = \"2 V\"\nseries = 0\n[part.X]\nkind = \"load\"\nacross = [\"L\", \"N\"]\npower = \"1 W\"\npower-factor = 1.5\n",
        &[
            r#"11:15: error: "100n" has a prefix but no unit; write "100 nF""#,
            r#"12:9: error: class cannot be "X4"; did you mean "X1"?"#,
            "17:10: error: series is out of range; write a whole number from 1 to 1000",
            "22:16: error: power-factor is out of range; write a number above 0 and up to 1",
        ],
    ),
    (
        "[part.W]\nkind = \"wire\"\nacross = [\"L\", \"N\"]\ncolour = \"bron\"\n[[outlet]]\nname = \"a\"\nacross = [\"L\", \"N\"]\nloads = [\"opn\", \"100\", \"5 uF charged\"]\n[[outlet]]\nname = \"b\"\nacross = [\"L\", \"N\"]\n[[outlet]]\nname = \"b\"\nacross = [\"L\", \"N\"]\n",
        &[
            r#"11:10: error: "bron" is no colour; did you mean "brown"?"#,
            r#"15:10: error: "opn" is no load; did you mean "open"?"#,
            r#"15:17: error: "100" is no load; write "open", "short", watts ("100 W"), ohms ("10 kΩ") or "100 uF charged 400 V""#,
            r#"15:24: error: an empty text where a voltage is wanted; write a number and a unit, such as "275 V"; a charged load is written "100 uF charged 400 V""#,
            r#"20:8: error: the outlet "b" is there twice, first in line 17; give one of them another name"#,
        ],
    ),
    (
        "[part.W]\nkind = \"wire\"\nacross = [\"L\", \"CASE\"]\n[[touchable]]\nname = \"c\"\nnet = \"CAES\"\n[[insulation]]\nbetween = [\"mains\", \"TUBE\"]\ngrade = \"doubel\"\n[[accept]]\ncheck = \"a\"\npart = \"w\"\nreason = \"x\"\nby = \"y\"\nuntil = \"2027-02-29\"\n",
        &[
            r#"13:7: error: no part and no insulation names the net "CAES"; did you mean "CASE"?"#,
            r#"15:21: error: no part and nothing touchable names the net "TUBE"; name a net of a part or of something touchable"#,
            r#"16:9: error: grade cannot be "doubel"; did you mean "double"?"#,
            r#"22:9: error: "2027-02-29" is no day of the calendar; write year-month-day, such as "2027-12-31""#,
        ],
    ),
    (
        "[part.W]\nkind = \"wire\"\nacross = [\"L\", \"N\"]\n[[accept]]\ncheck = \"a\"\npart = \"w\"\nreason = \"x\"\nby = \"y\"\nuntil = 2027-02-28\n[[accept]]\ncheck = \"a\"\npart = \"w\"\nreason = \" \"\nby = \"y\"\nuntil = \"2028-02-29\"\n[[accept]]\ncheck = \"a\"\npart = \"w\"\nreason = \"z\"\nby = \"y\"\nuntil = \"2028-02-29\"\n",
        &[
            r#"16:9: error: until is a bare date or time, where words in quotes are wanted; write it in quotes: until = "2027-02-28""#,
            "20:10: error: reason is empty; write something or remove the key",
            r#"25:8: error: the jig has no part "w"; did you mean "W"?"#,
        ],
    ),
    (
        "[part.R1]\nkind = \"wire\"\nacross = [\"L\", \"N\"]\nlength = \"2 m\"\nlength = \"3 m\"\n[part.\"R1\"]\nkind = \"wire\"\n[part.R2]\nkind = \"wire\"\nacross = [\"L\", \"N\"]\n",
        &[
            r#"12:1: error: "length" is written twice, first in line 11; keep one of them"#,
            "13:7: error: [part.R1] is written twice, first in line 8; give one of them another name or remove it",
        ],
    ),
    (
        "[part.T]\nkind = \"transformer\"\nprimary = { across = [\"L\", \"N\"] }\nsecondary = []\n",
        &[
            "10:11: error: primary has no volts; add volts = \"230 V\": rated volts r.m.s. of the winding",
            r#"11:13: error: secondary is a list, where a table is wanted; write secondary = { across = ["a", "b"], volts = "12 V" }"#,
        ],
    ),
    ("[part]\n", &["8:1: error: the jig has no parts; add each part as [part.R1] with its kind"]),
    (
        "[[part]]\nkind = \"wire\"\n",
        &["8:1: error: part is a list, where a table is wanted; write [part.R1] for each part"],
    ),
    (
        "[touchable]\nname = \"x\"\nnet = \"L\"\n[part.W]\nkind = \"wire\"\nacross = [\"L\", \"N\"]\n",
        &["8:1: error: touchable may stand more than once; write [[touchable]]"],
    ),
    // Slips of the text itself.
    (
        "[part.R1]\nkind = \"resistor\"\nresistance = 0,6\n",
        &[
            r#"10:15: error: this is not TOML: unexpected key or value, expected newline, `#`; put the value in quotes: resistance = "0,6""#,
        ],
    ),
    (
        "[part.R1]\nkind = “resistor”\n",
        &[
            r#"9:8: error: this is not TOML: string values must be quoted, expected literal string; use straight quotes: "…""#,
        ],
    ),
    (
        "[part.R1\nkind = \"wire\"\n[part.R2]\nkind = \"wird\"\n",
        &[
            "8:9: error: this is not TOML: unclosed table, expected `]`; close the quotes or brackets on this line",
            r#"11:8: error: there is no kind of part "wird"; did you mean "wire"?"#,
        ],
    ),
];

#[test]
fn every_fault_has_its_place_and_its_words() {
    for (body, wanted) in BODIES {
        let wanted: Vec<String> = wanted.iter().map(|line| format!("j.toml:{line}")).collect();
        assert_eq!(told(format!("{HEAD}{body}").as_bytes()), wanted, "{body}");
    }
}

#[test]
fn the_supply_says_what_it_lacks() {
    let jig = "format = 1\n[jig]\nname = \"a\"\nuse = \"bench\"\n[supply]\n";
    let case = |supply: &str| told(format!("{jig}{supply}{WIRE}").as_bytes());
    assert_eq!(
        case("system = \"none\"\nplug = \"C\"\ncord = {}\n"),
        [
            "j.toml:7:1: error: a tool with system = \"none\" has no plug; remove it, or write the system the jig is plugged into",
            "j.toml:8:1: error: a tool with system = \"none\" has no cord; remove it, or write the system the jig is plugged into",
        ]
    );
    assert_eq!(
        case("system = \"230 V 50 Hz\"\n"),
        [
            "j.toml:5:1: error: [supply] does not say how the jig is connected; write plug = \"C\" (the letter of its type, A to O), plug = \"fixed\" for hard-wired, nothing for a hand-held probe without cord, or system = \"none\" for a tool without mains"
        ]
    );
    assert_eq!(
        case("system = \"230 V 50 Hz\"\nplug = \"Z\"\n"),
        [
            "j.toml:7:8: error: \"Z\" is no plug type; write the letter of its type, A to O (deadfront tables plugs lists them), or \"fixed\" for hard-wired"
        ]
    );
    assert_eq!(
        case("volts = \"230 V\"\nplug = \"C\"\n"),
        ["j.toml:5:1: error: [supply] has no frequency and tolerance; volts, frequency and tolerance go together"]
    );
    assert_eq!(
        case("volts = \"230 V\"\nsystem = \"230 V 50 Hz\"\nplug = \"C\"\n"),
        ["j.toml:6:1: error: [supply] has both system and volts; keep one of them"]
    );
}

#[test]
fn files_that_are_no_jig_files() {
    let over = vec![b' '; (1 << 20) + 1];
    let deep = format!("{HEAD}x = {}", "[".repeat(5000));
    let deep_closed = format!("{HEAD}x = {}{}", "[".repeat(5000), "]".repeat(5000));
    let deep_tables = format!("{HEAD}x = {}1{}", "{a=".repeat(5000), "}".repeat(5000));
    let big = "#".repeat(5 << 20);
    let cases: &[(&[u8], &[&str])] = &[
        (
            &over,
            &["j.toml: error: the file has a little over 1 MiB; a jig file has at most 1 MiB; is this the right file?"],
        ),
        (
            big.as_bytes(),
            &["j.toml: error: the file has 5.0 MiB; a jig file has at most 1 MiB; is this the right file?"],
        ),
        (b"", &["j.toml:1:1: error: the file is empty; a jig file begins with format = 1"]),
        (b"\n \n", &["j.toml:1:1: error: the file is empty; a jig file begins with format = 1"]),
        ("\u{feff}".as_bytes(), &["j.toml:1:1: error: the file is empty; a jig file begins with format = 1"]),
        (b"a = 1\nb\xff", &["j.toml:2:2: error: byte 0xFF is not UTF-8; save the file as UTF-8"]),
        (
            "é = \"ü".as_bytes().split_last().unwrap().1,
            &["j.toml:1:6: error: byte 0xC3 is not UTF-8; save the file as UTF-8"],
        ),
        (
            b"a = 1\nbc\0",
            &["j.toml:2:3: error: the file holds a NUL byte; a jig file is plain text; is this the right file?"],
        ),
        (b"\xff\xfef\0o\0", &["j.toml:1:1: error: the file is written in UTF-16; save it as UTF-8"]),
        // A page of words is told once, not line by line.
        (
            b"# Wand\n\nHold it over the ring: it *flashes*.\n- item\n- another\n",
            &[
                "j.toml:1:1: error: this is no jig file; a jig file has format = 1, [jig], [supply] and parts; deadfront new \
               writes one to begin from",
            ],
        ),
        (
            b"format = 2\nwhat = ever\n",
            &["j.toml:1:10: error: the file is of format 2; this program reads format 1 only"],
        ),
        (
            deep.as_bytes(),
            &["j.toml:8:37: error: brackets are nested too deep; a jig file needs no more than four; 32 are read"],
        ),
        (
            deep_closed.as_bytes(),
            &["j.toml:8:37: error: brackets are nested too deep; a jig file needs no more than four; 32 are read"],
        ),
        (
            deep_tables.as_bytes(),
            &["j.toml:8:101: error: brackets are nested too deep; a jig file needs no more than four; 32 are read"],
        ),
    ];
    for (bytes, wanted) in cases {
        let told = told(bytes);
        // Of another format nothing but that is told, whatever else is wrong.
        let told: Vec<&str> = told.iter().map(String::as_str).filter(|line| !line.contains("not TOML")).collect();
        assert_eq!(&told, wanted);
    }
}

/// Names come from the file: none may steer the terminal a fault is printed on, nor fill it.
#[test]
fn names_cannot_garble_a_message() {
    let long = "x".repeat(10_000);
    for body in [
        "[part.\"\\u001b[31mred\"]\nkind = \"wire\"\n".to_string(),
        "[part.\"R\\u202eX\"]\nkind = \"wirr\"\n".to_string(),
        "[part.S]\nkind = \"switch\"\npositions = { \"a\\nb\" = 7 }\n".to_string(),
        "[part.W]\nkind = \"wire\"\n\u{1b}x = 5\nacross = [\"\\u0007a\", \"b\"]\n".to_string(),
        format!("[part.W]\nkind = \"wire\"\nacross = [\"{long}\", \"b\"]\n{long} = 5\n{long}\n"),
        format!("[part.{long}]\nkind = \"wire\"\n[part.{long}]\n"),
        format!("{WIRE}[[touchable]]\nname = \"a\\nb\"\nnet = \"L\"\n"),
        format!("{WIRE}[[touchable]]\nname = \"ab\"\nnet = \"L\\u200b\"\n"),
    ] {
        for line in told(format!("{HEAD}{body}").as_bytes()) {
            assert!(!line.contains(|c: char| c.is_control() || c == '\u{202e}' || c == '\u{200b}'), "{line:?}");
            assert!(line.chars().count() < 1100, "{} characters", line.len());
        }
    }
}

/// Characters that are drawn as nothing, one or more of each block of the Unicode tables that has them: controls, format
/// characters, separators of lines, variation selectors, fillers, what is kept free for such.
const UNSEEN: &str = "\u{7}\u{85}\u{ad}\u{34f}\u{600}\u{61c}\u{6dd}\u{70f}\u{890}\u{8e2}\u{115f}\u{1160}\u{17b4}\u{17b5}\
                      \u{180b}\u{180d}\u{180e}\u{180f}\u{200b}\u{200d}\u{200f}\u{2028}\u{2029}\u{202a}\u{202e}\u{2060}\
                      \u{2064}\u{2065}\u{2066}\u{2069}\u{206f}\u{3164}\u{fe00}\u{fe0f}\u{feff}\u{ffa0}\u{fff0}\u{fff8}\
                      \u{fff9}\u{fffb}\u{110bd}\u{13430}\u{1bca0}\u{1d173}\u{1d17a}\u{e0000}\u{e0001}\u{e0020}\u{e007f}\
                      \u{e0080}\u{e0100}\u{e01ef}\u{e0fff}";

/// Two names that are printed alike are two things under one name: nothing unseen may stand in any of them.
#[test]
fn nothing_unseen_stands_in_a_name() {
    for unseen in UNSEEN.chars() {
        // Escaped, so that the controls too reach the reader of names.
        let u = format!("\\U{:08X}", u32::from(unseen));
        let named = |section: &str| format!("{WIRE}[[{section}]]\nname = \"TIP{u}\"\n");
        for body in [
            format!("[part.\"R2{u}\"]\nkind = \"wire\"\nacross = [\"L\", \"N\"]\n"),
            format!("[part.W]\nkind = \"wire\"\nacross = [\"L\", \"a{u}\"]\n"),
            format!("[part.W]\nkind = \"wire{u}\"\nacross = [\"L\", \"N\"]\n"),
            format!("{WIRE}[part.S]\nkind = \"switch\"\npositions = {{ \"up{u}\" = [[\"L\", \"N\"]] }}\n"),
            format!("{WIRE}\"length{u}\" = \"1 m\"\n"),
            format!("{WIRE}[enclosure]\n\"class{u}\" = \"II\"\n"),
            format!("{WIRE}[\"enclosure{u}\"]\nclass = \"II\"\n"),
            format!("{}across = [\"L\", \"N\"]\n", named("outlet")),
            format!("{}net = \"L\"\n", named("touchable")),
            format!("{WIRE}[[touchable]]\nname = \"TIP\"\nnet = \"L{u}\"\n"),
        ] {
            let lines = told(format!("{HEAD}{body}").as_bytes());
            let shown = unseen.escape_unicode().to_string();
            // A text that is no name is told without being repeated.
            let says = |line: &String| line.contains(&shown) || line.contains("another hidden character");
            assert!(lines.iter().any(says), "{body} {lines:?}");
            assert!(!lines.iter().any(|line| line.contains(unseen)), "{body} {lines:?}");
        }
    }
}

/// What is seen may stand in a name, in every script, with marks above and below.
#[test]
fn names_of_every_script_are_read() {
    for seen in ["Ω", "é", "e\u{301}", "抵抗", "резистор", "مقاوم", "प्रतिरोध", "저항", "R₂", "½ W", "µ", "→", "✓"]
    {
        let body = format!("[part.\"{seen}\"]\nkind = \"wire\"\nacross = [\"L\", \"N\"]\n");
        let jig = jig::parse("j.toml", format!("{HEAD}{body}").as_bytes()).unwrap();
        assert_eq!(jig.parts[0].name, seen);
    }
}

/// A side of an insulation that is nearly `mains`.
#[test]
fn mains_is_suggested_too() {
    let body = format!("{WIRE}[[insulation]]\nbetween = [\"Mains\", \"L\"]\ngrade = \"basic\"\n");
    assert_eq!(
        told(format!("{HEAD}{body}").as_bytes()),
        ["j.toml:12:12: error: no part and nothing touchable names the net \"Mains\"; did you mean \"mains\"?"]
    );
}

#[test]
fn a_megabyte_is_still_read() {
    let mut text = format!("{HEAD}{WIRE}#");
    text.push_str(&"x".repeat((1 << 20) - text.len()));
    assert_eq!(text.len(), 1 << 20);
    assert!(jig::parse("j.toml", text.as_bytes()).is_ok());
}

#[test]
fn five_hundred_parts_and_no_more() {
    let file = |count: usize| {
        let wires: String =
            (0..count).map(|i| format!("[part.W{i}]\nkind = \"wire\"\nacross = [\"L\", \"N\"]\n")).collect();
        format!("{HEAD}{wires}")
    };
    assert_eq!(jig::parse("j.toml", file(500).as_bytes()).unwrap().parts.len(), 500);
    let line = 8 + 3 * 500;
    assert_eq!(
        told(file(501).as_bytes()),
        [format!(
            "j.toml:{line}:1: error: the file has 501 parts; a jig has at most 500; from here on they are not read"
        )]
    );
}

#[test]
fn faults_without_end_are_counted() {
    let body: String = (0..250).map(|i| format!("[part.W{i}]\n")).collect();
    let faults = faults(format!("{HEAD}{body}").as_bytes());
    assert_eq!(faults.len(), MOST_ERRORS + 1);
    assert_eq!(faults[MOST_ERRORS].message, "230 more faults in this file");
}

#[test]
fn files_that_cannot_be_opened() {
    let folder = tempfile::tempdir().unwrap();
    let told = |path: &std::path::Path| jig::read(path).unwrap_err()[0].to_string();
    let missing = folder.path().join("none.toml");
    let name = missing.display();
    assert_eq!(told(&missing), format!("{name}: error: no such file; look at the spelling of the path"));
    let name = folder.path().display();
    assert_eq!(told(folder.path()), format!("{name}: error: this is a folder; name the jig file in it"));
}

const WHOLE: &str = include_str!("../jigs/everything.toml");
const WAND: &str = include_str!("../jigs/wand.toml");

/// Either a jig or faults with words and places inside the text.
fn holds(bytes: &[u8]) -> Result<(), TestCaseError> {
    if let Err(faults) = jig::parse("j.toml", bytes) {
        prop_assert!(!faults.is_empty() && faults.len() <= MOST_ERRORS + 1);
        let lines = bytes.iter().filter(|b| **b == b'\n').count() + 1;
        for fault in faults {
            prop_assert!(!fault.message.is_empty());
            prop_assert!(fault.line as usize <= lines, "{fault}");
            prop_assert!(!fault.to_string().contains(['\n', '\u{1b}', '\0']), "{fault}");
        }
    }
    Ok(())
}

proptest! {
    #[test]
    fn no_bytes_make_it_panic(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        holds(&bytes)?;
    }

    #[test]
    fn no_text_in_a_good_file_makes_it_panic(text in "[ -~\n\r\tµΩ“\u{feff}]{0,30}", at in 0usize..4000) {
        let mut at = at % WHOLE.len();
        while !WHOLE.is_char_boundary(at) {
            at -= 1;
        }
        holds(format!("{}{text}{}", &WHOLE[..at], &WHOLE[at..]).as_bytes())?;
    }

    /// Bytes changed, cut out or doubled, anywhere in a file that was good.
    #[test]
    fn no_damage_to_a_good_file_makes_it_panic(
        whole in any::<bool>(),
        damage in proptest::collection::vec((any::<prop::sample::Index>(), 0u8..4, any::<u8>(), 1usize..40), 1..6),
    ) {
        let mut bytes = if whole { WHOLE } else { WAND }.as_bytes().to_vec();
        for (index, how, byte, length) in damage {
            if bytes.is_empty() {
                break;
            }
            let at = index.index(bytes.len());
            let end = (at + length).min(bytes.len());
            match how {
                0 => bytes[at] = byte,
                1 => drop(bytes.drain(at..end)),
                2 => {
                    let copy = bytes[at..end].to_vec();
                    bytes.splice(at..at, copy);
                }
                _ => bytes.insert(at, b"\"[]{}=,#\n"[usize::from(byte) % 9]),
            }
        }
        holds(&bytes)?;
    }
}

/// What would cost more than it could tell is refused at the first one too many.
#[test]
fn there_are_bounds_on_what_is_many() {
    let touchables =
        |n: usize| (0..n).map(|k| format!("[[touchable]]\nname = \"t{k}\"\nnet = \"L\"\n")).collect::<String>();
    let text = |n| format!("{HEAD}{WIRE}{}", touchables(n));
    assert!(jig::parse("j.toml", text(64).as_bytes()).is_ok());
    let told = told(text(65).as_bytes());
    // Ten lines, then three a touchable: the 65th begins in line 11 + 3 · 64.
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains(":203:1: error: the file has 65 [[touchable]]; a jig has at most 64"), "{told:?}");

    let windings = |n: usize| {
        let one = "{ across = [\"a\", \"b\"], volts = \"1 V\" }";
        let all = vec![one; n].join(", ");
        format!(
            "{HEAD}{WIRE}[part.T]\nkind = \"transformer\"\nprimary = {{ across = [\"L\", \"N\"], volts = \"230 V\" }}\nsecondary = [{all}]\n"
        )
    };
    assert!(jig::parse("j.toml", windings(16).as_bytes()).is_ok());
    let told = faults(windings(17).as_bytes()).iter().map(InputError::to_string).collect::<String>();
    assert!(told.contains("secondary has 17 entries; it may have at most 16"), "{told}");
}
