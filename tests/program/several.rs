//! Several jigs, folders, standard input, two jigs compared, a jig watched, completions and manual pages.
#![allow(missing_docs, clippy::unwrap_used)]

use super::program::{printed, program, root, said};
use serde_json::Value;
use std::io::{BufRead as _, BufReader, Write as _};
use std::process::Stdio;
use std::sync::mpsc::channel;
use std::time::Duration;

fn run(arguments: &[&str]) -> (i32, String, String) {
    let out = program(arguments).current_dir(root()).output().unwrap();
    (out.status.code().unwrap(), printed(&out), said(&out))
}

#[test]
fn a_folder_stands_for_its_jigs_a_line_each() {
    let (status, text, _) = run(&["check", "demo-data/wrong"]);
    assert_eq!(status, 1);
    assert!(text.starts_with("6 jigs of demo-data/wrong checked, the worst first\n"), "{text}");
    let table: Vec<&str> = text.lines().take_while(|l| !l.is_empty()).collect();
    for name in ["neon-100k-on-230v", "led-switch-in-neutral", "isolated-supply-earthed"] {
        assert!(table.iter().filter(|l| l.contains(name)).count() == 1, "{name}: {table:#?}");
    }
    // The worst first: what has a DANGER before what has none.
    let at = |word: &str| table.iter().position(|l| l.contains(word)).unwrap();
    assert!(at("series-lamp-limiter-no-earth") < at("led-switch-in-neutral"), "{table:#?}");
    // All sound: a line each is all there is to say.
    let (status, text, _) = run(&["check", "demo-data/neon-wand-230v.toml", "demo-data/neon-wand-120v.toml"]);
    assert_eq!(status, 0);
    assert!(text.lines().count() <= 8, "{text}");
    let empty = tempfile::tempdir().unwrap();
    let (status, out, err) = run(&["check", empty.path().to_str().unwrap()]);
    assert_eq!((status, out.as_str()), (2, ""));
    assert!(err.contains("holds no *.toml file"), "{err}");
}

#[test]
fn one_that_cannot_be_read_stands_in_the_json() {
    let (status, text, err) = run(&["check", "--json", "demo-data/neon-wand-230v.toml", "no-such.toml"]);
    let json: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(status, 2);
    assert_eq!(json[0]["verdict"], "no finding");
    assert_eq!(json[1]["file"], "no-such.toml");
    assert!(json[1]["errors"][0].as_str().unwrap().contains("no such file") && err.contains("no such file"), "{json}");
    assert!(!err.contains("os error"), "{err}");
}

#[test]
fn standard_input_is_a_jig() {
    let text = std::fs::read(root().join("demo-data/neon-wand-230v.toml")).unwrap();
    let mut child = program(["check", "-"]).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
    child.stdin.take().unwrap().write_all(&text).unwrap();
    let out = child.wait_with_output().unwrap();
    assert_eq!(out.status.code(), Some(0));
    assert!(printed(&out).contains("(standard input)"), "{}", printed(&out));
}

#[test]
fn two_jigs_are_laid_beside_each_other() {
    let folder = tempfile::tempdir().unwrap();
    let old = root().join("demo-data/neon-wand-230v.toml");
    let text = std::fs::read_to_string(&old).unwrap();
    let new = folder.path().join("wand.toml");
    // R1 of a tenth of a watt: it takes 70 mW at the highest mains, 70 % where it took 12 %.
    std::fs::write(&new, text.replacen("power = \"0.6 W\"", "power = \"0.1 W\"", 1)).unwrap();
    let files = [old.to_str().unwrap(), new.to_str().unwrap()];
    let (status, text, _) = run(&[&["compare"], &files[..]].concat());
    assert_eq!(status, 1, "{text}");
    let json: Value = serde_json::from_str(&run(&[&["compare", "--json"], &files[..]].concat()).1).unwrap();
    let changes = json["changes"].as_array().unwrap();
    assert_eq!(changes.len(), 1, "{changes:?}");
    assert_eq!(
        (&changes[0]["what"], &changes[0]["from"], &changes[0]["to"]),
        (&"R1".into(), &"0.6 W".into(), &"0.1 W".into())
    );
    let come: Vec<&str> = json["come"].as_array().unwrap().iter().map(|f| f["check"].as_str().unwrap()).collect();
    assert!(come.contains(&"resistor-power") && json["gone"].as_array().unwrap().is_empty(), "{come:?}");
    let moved = |kind: &str| {
        let rows = json["moved"].as_array().unwrap().iter();
        rows.clone().find(|m| m["part"] == "R1" && m["quantity"] == "power" && m["kind"] == kind).cloned().unwrap()
    };
    let (before, now) =
        (moved("normal")["used_before"].as_f64().unwrap(), moved("normal")["used_now"].as_f64().unwrap());
    assert!((now / before - 6.0).abs() < 1e-6, "a sixth of the rating: {before} {now}");
    assert!(text.contains("R1") && text.contains("resistor-power"), "{text}");
    // The same twice: nothing to tell, and the exit status of the new one.
    let (status, text, _) = run(&["compare", files[0], files[0]]);
    assert_eq!(status, 0);
    assert!(text.contains("Nothing but comments and order") && text.contains("No finding has come"), "{text}");
}

#[test]
fn a_watched_jig_is_checked_again_when_it_is_saved() {
    let folder = tempfile::tempdir().unwrap();
    let jig = folder.path().join("wand.toml");
    let sound = std::fs::read_to_string(root().join("demo-data/neon-wand-230v.toml")).unwrap();
    std::fs::write(&jig, &sound).unwrap();
    let mut child = program(["check", "--watch", jig.to_str().unwrap()]).stdout(Stdio::piped()).spawn().unwrap();
    let lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let (tell, told) = channel();
    std::thread::spawn(move || lines.map_while(Result::ok).all(|line| tell.send(line).is_ok()));
    let until = |words: &str| {
        let mut seen = vec![];
        while let Ok(line) = told.recv_timeout(Duration::from_secs(60)) {
            seen.push(line);
            if seen.last().unwrap().contains(words) {
                return true;
            }
        }
        panic!("{words:?} never came: {seen:#?}");
    };
    assert!(until("Nothing graver than NOTICE found"));
    assert!(until("Nothing graver than NOTICE found"), "the last line of the first check");
    // An editor puts a new file in the place of the old one.
    let new = folder.path().join("wand.toml.new");
    std::fs::write(&new, sound.replace("strain-relief = true", "strain-relief = false")).unwrap();
    std::fs::rename(&new, &jig).unwrap();
    assert!(until("Do not plug it in"));
    std::fs::write(&jig, &sound).unwrap();
    assert!(until("Nothing graver than NOTICE found"));
    child.kill().unwrap();
    child.wait().unwrap();
    let (status, _, err) = run(&["check", "--watch", "--lock", jig.to_str().unwrap()]);
    assert!(status == 2 && err.contains("--watch"), "{err}");
}

#[test]
fn shells_and_manuals_are_served() {
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let (status, text, _) = run(&["completions", shell]);
        assert_eq!(status, 0);
        assert!(text.contains("deadfront") && text.contains("compare"), "{shell}");
    }
    let folder = tempfile::tempdir().unwrap();
    let manual = folder.path().join("manual");
    let (status, _, err) = run(&["man", manual.to_str().unwrap()]);
    assert_eq!((status, err.as_str()), (0, ""));
    let page = std::fs::read_to_string(manual.join("deadfront-check.1")).unwrap();
    assert!(page.contains(".TH") && page.contains("watch"), "{page}");
    assert!(manual.join("deadfront-plugin-sign.1").is_file() && manual.join("deadfront.1").is_file());
}

#[test]
fn other_spellings_are_understood() {
    let (status, text, _) = run(&["help"]);
    assert!(status == 0 && text.contains("compare"), "{text}");
    let (status, text, _) = run(&["check", "--json", "--color", "never", "demo-data/neon-wand-230v.toml"]);
    assert!(status == 0 && serde_json::from_str::<Value>(&text).is_ok(), "{text}");
}
