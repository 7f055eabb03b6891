//! The command line: help, usage errors, streams, exit status. Results come from an artificial engine: what a
//! result says is not tested here.

#![allow(clippy::unwrap_used)]

use super::{pages, program, snapshot};
use crate::command::{Cli, DeadtestArgs, Engine, Errors, Screen, Terminal, dispatch};
use crate::finding::comparison::Comparison;
use crate::finding::{Judgement, MatrixPart, Page, Rows};
use crate::front::Tested;
use crate::report::{self, Look};
use crate::{Begun, Design, MainsWish, Options, Report, Sheet, SheetPart, StrobeWish, Strobing, Wish};
use anyhow::anyhow;
use clap::Parser;
use serde_json::{Value, json};
use std::io::{Error, ErrorKind, Write};
use std::path::Path;
use std::process::Output;

/// A run whose surroundings change nothing of what is printed.
fn run_program(arguments: &[&str]) -> Output {
    let mut command = program::program(arguments);
    command.env_remove("NO_COLOR").env("COLUMNS", "200").env("TERM", "xterm-256color").output().unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

/// Every command that has help, as words of the command line.
const COMMANDS: [&[&str]; 43] = [
    &["completions"],
    &["man"],
    &[],
    &["check"],
    &["compare"],
    &["deadtest"],
    &["sheet"],
    &["new"],
    &["tables"],
    &["size"],
    &["size", "neon"],
    &["size", "led"],
    &["strobe"],
    &["why"],
    &["plugin"],
    &["plugin", "new"],
    &["plugin", "try"],
    &["plugin", "list"],
    &["plugin", "show"],
    &["plugin", "review"],
    &["plugin", "diff"],
    &["plugin", "pack"],
    &["plugin", "sign"],
    &["plugin", "vet"],
    &["plugin", "shops"],
    &["plugin", "shops", "own"],
    &["plugin", "shops", "add"],
    &["plugin", "shops", "rotate"],
    &["plugin", "shops", "revoke"],
    &["plugin", "shops", "confirm"],
    &["plugin", "shops", "remove"],
    &["plugin", "add"],
    &["plugin", "refresh"],
    &["plugin", "shelf"],
    &["plugin", "shelf", "make"],
    &["plugin", "trust"],
    &["plugin", "trust", "export"],
    &["plugin", "trust", "import"],
    &["plugin", "remove"],
    &["plugin", "stops"],
    &["plugin", "affected"],
    &["plugin", "lift"],
    &["schema"],
];

#[test]
fn help_of_every_command_looks_as_it_did() {
    for words in COMMANDS {
        let output = run_program(&[words, &["--help"]].concat());
        let help = text(&output.stdout);
        assert_eq!(output.status.code(), Some(0));
        assert!(output.stderr.is_empty());
        assert!(help.lines().all(|l| l.chars().count() <= 80), "{help}");
        assert!(!help.contains('\u{1B}'));
        let name = [&["help"], words].concat().join("-");
        snapshot::assert_page(&format!("{name}.txt"), &help);
    }
}

#[test]
fn every_command_is_in_the_list_of_this_test() {
    fn count(command: &clap::Command) -> usize {
        1 + command.get_subcommands().map(count).sum::<usize>()
    }
    assert_eq!(count(&<Cli as clap::CommandFactory>::command()), COMMANDS.len());
}

#[test]
fn help_examples_are_command_lines_that_read() {
    for words in COMMANDS {
        let help = text(&run_program(&[words, &["--help"]].concat()).stdout);
        let (_, example) = help.split_once("Example:\n").unwrap_or_else(|| panic!("no example in {words:?}"));
        let example = example.trim().split(" > ").next().unwrap();
        // Shell words: blanks part them, double quotes hold them together.
        let mut arguments: Vec<String> = vec![String::new()];
        let mut quoted = false;
        for c in example.chars() {
            match c {
                '"' => quoted = !quoted,
                ' ' if !quoted => arguments.push(String::new()),
                c => arguments.last_mut().unwrap().push(c),
            }
        }
        assert!(Cli::try_parse_from(&arguments).is_ok(), "{arguments:?}");
    }
}

#[test]
fn usage_errors_are_status_2_on_standard_error() {
    for arguments in [
        &[][..],
        &["check"],
        &["chek", "wand.toml"],
        &["check", "--format", "xml", "wand.toml"],
        &["size"],
        &["size", "neon"],
        &["size", "neon", "--supply", "230 V 50 Hz"],
        &["size", "led", "--supply", "230 V 50 Hz", "--forward", "2 V"],
        &["schema", "wand.toml"],
        &["why", "no-fuse", "clearance"],
        &["why", "--example", "fails"],
        &["why", "no-fuse", "--example", "both"],
    ] {
        let output = run_program(arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(output.stdout.is_empty(), "{arguments:?}");
        assert!(!output.stderr.is_empty() && !output.stderr.contains(&0x1B), "{arguments:?}");
    }
}

#[test]
fn version_is_that_of_the_package() {
    let output = run_program(&["--version"]);
    // The month of the tables, and the first digits of the sha256 of their files.
    let told = text(&output.stdout);
    let (version, tables) = told.trim().split_once(" (tables of ").unwrap();
    assert_eq!(version, format!("deadfront {}", env!("CARGO_PKG_VERSION")));
    let files: String = crate::standard::FILES.iter().map(|(name, text)| format!("{name}\n{text}")).collect();
    let (month, digits) = tables.trim_end_matches(')').split_once(", ").unwrap();
    assert!(crate::files::sha256(files.as_bytes()).starts_with(digits) && digits.len() == 8, "{told}");
    let row = include_str!("../../src/standard/rules.toml").lines().find_map(|l| l.strip_prefix("month = "));
    assert_eq!(row, Some(format!("{month:?}").as_str()));
    assert_eq!(output.status.code(), Some(0));
}

/// Gives out the artificial pages by file name; what it has no page for cannot be read.
struct Pages;

impl Engine for Pages {
    fn check(&self, jig: &Path, _: &Options) -> Result<Report, Errors> {
        let name = jig.file_stem().unwrap().to_str().unwrap();
        let page = pages::judgements().into_iter().find(|(page, _)| *page == name);
        let report = page.map(|(_, judgement)| Report { judgement, mending: None, mended_text: None });
        report.ok_or_else(|| {
            let first = anyhow!("{name}.toml:1:1: error: no\u{1B}[2J page\n  help: see the list");
            Errors(vec![first, anyhow!("second fault")])
        })
    }

    fn lock(&self, _: &Path, _: &Judgement) -> Result<Vec<String>, Errors> {
        Err(anyhow!("error: no lock is written").into())
    }

    fn size(&self, wish: &Wish) -> Result<Design, Errors> {
        let lamp = match wish {
            Wish::Neon(neon) => neon.lamp_type.as_deref(),
            Wish::Led(_) => Some("LED"),
        };
        let sizing = match lamp {
            Some("A1A") => pages::sized(),
            Some("none") => pages::sized_none(),
            Some("danger") => pages::sized_danger(),
            Some("LED") => pages::sized_many(),
            _ => return Err(anyhow!("error: no such lamp").into()),
        };
        Ok(Design { sizing, text: None })
    }

    fn begin(&self, unit: &str, _: &MainsWish) -> Result<Begun, Errors> {
        if unit != "bench-lamp" {
            return Err(anyhow!("error: there is no unit {unit}").into());
        }
        let (supply, text) = ("230 V 50 Hz".to_string(), "format = 1\n".to_string());
        Ok(Begun { unit: "bench-lamp", supply, text, notes: vec!["Plug C.".into()], first: &["power of LP1"] })
    }

    fn compare(&self, jigs: [&Path; 2], options: &[Options; 2]) -> Result<(Comparison, u8), Errors> {
        let [old, new] = [self.check(jigs[0], &options[0])?, self.check(jigs[1], &options[1])?];
        Ok((crate::front::compare((b"", &old), (b"", &new)), new.exit_status()))
    }

    fn strobe(&self, _: Option<(&Path, &Options)>, wish: &StrobeWish) -> Result<Strobing, Errors> {
        Ok(crate::strobe(None, wish)?)
    }

    fn dead_test(&self, args: &DeadtestArgs, _: &Options) -> Result<Tested, Errors> {
        Err(anyhow!("error: {} has no dead test", args.jig.display()).into())
    }

    fn sheet(&self, jig: &Path, _: &Options, _: SheetPart) -> Result<Sheet, Errors> {
        Err(anyhow!("{}: error: no sheet is drawn", jig.display()).into())
    }

    fn rows(&self, list: &str, _: Option<&str>) -> Result<Rows, Errors> {
        let columns = vec!["system", "source"];
        let rows = vec![vec!["230 V 50 Hz".to_string(), "IEC".into()], vec!["120 V 60 Hz".into(), "IEC".into()]];
        Ok(Rows { table: list.to_string(), about: "Supplies.".into(), columns, rows })
    }

    fn matrix(&self) -> Vec<MatrixPart> {
        vec![]
    }

    fn pages(&self) -> Vec<Page> {
        vec![]
    }

    fn page(&self, _: &str) -> Result<Page, Vec<String>> {
        Err(vec![])
    }

    fn schema(&self) -> Value {
        json!({"$schema": "https://json-schema.org/draft/2020-12/schema"})
    }
}

/// Exit status, standard output and standard error of a command line on a terminal.
fn run_on(terminal: Terminal, arguments: &[&str]) -> (u8, String, String) {
    let cli = Cli::try_parse_from([&["deadfront"], arguments].concat()).unwrap();
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let exit = dispatch(&cli, &Pages, &mut Screen::new(&mut out, &mut err, terminal));
    (exit.status(), text(&out), text(&err))
}

fn run(arguments: &[&str]) -> (u8, String, String) {
    run_on(Terminal::default(), arguments)
}

#[test]
fn exit_status_of_check() {
    // By hand from the product's table: 0 clean, 1 found, 3 incomplete, 2 unreadable; over several jigs
    // 2 outranks 3 outranks 1 outranks 0, in whatever order they stand.
    for (jigs, status) in [
        (&["quiet"][..], 0),
        (&["only-notice"], 0),
        (&["only-caution"], 0),
        (&["every-signal"], 1),
        (&["accepted"], 1),
        (&["incomplete"], 3),
        (&["incomplete-and-danger"], 3),
        (&["empty"], 3),
        (&["unknown"], 2),
        (&["quiet", "every-signal"], 1),
        (&["every-signal", "quiet"], 1),
        (&["every-signal", "incomplete"], 3),
        (&["incomplete", "every-signal", "quiet"], 3),
        (&["incomplete", "unknown"], 2),
        (&["unknown", "incomplete", "every-signal"], 2),
    ] {
        for format in ["table", "json"] {
            let arguments = [&["check", "--format", format], jigs].concat();
            assert_eq!(run(&arguments).0, status, "{arguments:?}");
        }
    }
}

#[test]
fn exit_status_of_size_and_schema() {
    let neon = |lamp| ["size", "neon", "--supply", "230 V 50 Hz", "--type", lamp];
    for format in ["table", "json"] {
        let size = |lamp| run(&[&neon(lamp)[..], &["--format", format]].concat());
        assert_eq!(size("A1A").0, 0);
        assert_eq!(size("none").0, 1);
        assert_eq!(size("danger").0, 1);
        let (status, out, err) = size("Z9Z");
        assert_eq!((status, out.as_str(), err.as_str()), (2, "", "error: no such lamp\n"));
        assert_eq!(run(&["schema", "--format", format]).0, 0);
    }
}

#[test]
fn results_on_standard_output_errors_on_standard_error() {
    let (_, out, err) = run(&["check", "quiet.toml"]);
    assert_eq!(out, report::brief_text(&pages::quiet(), None, Look::default()));
    assert_eq!(err, "");
    // All faults are told, with their lines kept and escape characters taken out.
    let (_, out, err) = run(&["check", "unknown.toml"]);
    assert_eq!(out, "");
    assert_eq!(err, "unknown.toml:1:1: error: no\u{FFFD}[2J page\n  help: see the list\nsecond fault\n");
    let (_, out, err) = run(&["check", "--format", "json", "unknown.toml"]);
    assert_eq!((out.as_str(), err.is_empty()), ("", false));
}

#[test]
fn several_jigs() {
    let (_, out, err) = run(&["check", "quiet.toml", "unknown.toml", "accepted.toml"]);
    let look = Look::default();
    let (quiet, accepted) = (pages::quiet(), pages::accepted());
    // A line each, the worst first; then what is wrong with those that something is wrong with.
    let lines: Vec<&str> = out.lines().collect();
    assert_eq!(lines[0], "2 jigs of demo-data checked, the worst first; 1 could not be read");
    let at = |words: &str| lines.iter().position(|l| l.contains(words)).unwrap();
    assert!(at("WARNING  ") < at("–  "), "{out}");
    assert!(out.contains("- unknown.toml could not be read") && err.contains("unknown.toml:1:1"));
    let full = report::brief_text(&accepted, None, look);
    assert!(out.ends_with(&format!("\n\n{full}")), "{out}");
    assert!(!out.contains(&report::brief_text(&quiet, None, look)));
    // The form of the JSON follows from the number of jigs asked for, not from how many could be read.
    for (jigs, is_array, count) in [
        (&["quiet"][..], false, 1),
        (&["quiet", "accepted"], true, 2),
        (&["quiet", "unknown"], true, 2),
        (&["unknown", "unknown"], true, 2),
    ] {
        let (_, out, _) = run(&[&["check", "--format", "json"], jigs].concat());
        let json: Value = serde_json::from_str(&out).unwrap();
        assert_eq!(json.is_array(), is_array, "{jigs:?}");
        assert_eq!(json.as_array().map_or(1, Vec::len), count, "{jigs:?}");
        // One that could not be read stands in its place, with what is wrong with it.
        for (jig, one) in jigs.iter().zip(json.as_array().into_iter().flatten()) {
            let unread = one.get("errors").map(|e| e[0].as_str().unwrap().contains("no\u{1B}[2J page"));
            assert_eq!(unread, (*jig == "unknown").then_some(true), "{jig}");
        }
    }
}

#[test]
fn colour_and_width_follow_terminal_and_wish() {
    let terminal = Terminal { is_terminal: true, columns: Some(100), ..Terminal::default() };
    let shown = |width, colour| report::brief_text(&pages::every_signal(), None, Look { width, colour, ascii: false });
    let check = ["check", "every-signal.toml"];
    assert_eq!(run_on(terminal.clone(), &check).1, shown(100, true));
    assert_eq!(run(&check).1, shown(80, false));
    assert_eq!(run_on(terminal.clone(), &[&check[..], &["--colour", "never"]].concat()).1, shown(100, false));
    assert_eq!(run(&[&check[..], &["--colour", "always"]].concat()).1, shown(80, true));
    assert_eq!(run(&[&check[..], &["--color", "always"]].concat()).1, shown(80, true));
    let no_color = Terminal { no_color: Some("1".into()), ..terminal.clone() };
    assert_eq!(run_on(no_color, &check).1, shown(100, false));
    assert_eq!(run(&[&check[..], &["--json"]].concat()).1, report::check_json(&pages::every_signal()));
    // JSON is for programs: no colour, whatever is wished.
    let (_, json, _) = run_on(terminal, &[&check[..], &["--format", "json", "--colour", "always"]].concat());
    assert_eq!(json, report::check_json(&pages::every_signal()));
}

#[test]
fn schema_is_printed_as_json() {
    let (_, out, _) = run(&["schema"]);
    assert_eq!(serde_json::from_str::<Value>(&out).unwrap(), Pages.schema());
}

/// A place nothing can be written to.
struct Broken(ErrorKind);

impl Write for Broken {
    fn write(&mut self, _: &[u8]) -> std::io::Result<usize> {
        Err(Error::from(self.0))
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Err(Error::from(self.0))
    }
}

#[test]
fn a_reader_who_has_gone_changes_nothing_but_a_full_disk_does() {
    for (kind, clean, found) in [(ErrorKind::BrokenPipe, 0, 1), (ErrorKind::StorageFull, 3, 3)] {
        for (jig, status) in [("quiet", clean), ("every-signal", found)] {
            for format in ["table", "json"] {
                let cli = Cli::try_parse_from(["deadfront", "check", jig, "--format", format]).unwrap();
                let mut err = Vec::new();
                let exit = dispatch(&cli, &Pages, &mut Screen::new(&mut Broken(kind), &mut err, Terminal::default()));
                assert_eq!(exit.status(), status, "{kind:?} {jig} {format}");
                assert_eq!(err.is_empty(), kind == ErrorKind::BrokenPipe);
            }
        }
    }
    // With standard error gone too there is nobody to tell; it must not panic all the same.
    let cli = Cli::try_parse_from(["deadfront", "check", "unknown"]).unwrap();
    let (mut out, mut err) = (Broken(ErrorKind::BrokenPipe), Broken(ErrorKind::BrokenPipe));
    assert_eq!(dispatch(&cli, &Pages, &mut Screen::new(&mut out, &mut err, Terminal::default())).status(), 2);
}
