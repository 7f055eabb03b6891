//! The same jig gives the same bytes: a thousand runs, whatever threads, locale, time zone and folder.
#![allow(clippy::unwrap_used)]

use super::program::{binary, root};
use super::tiny::HEAD;
use crate::{Day, Look, Options};
use std::path::Path;
use std::process::Command;

/// A fuse, a resistor and a hand: ties between orientations of the plug, and findings of every sort.
fn tiny() -> String {
    let part = |name: &str, kind: &str, ends: [&str; 2], keys: &str| {
        format!("[part.{name}]\nkind = \"{kind}\"\nacross = [\"{}\", \"{}\"]\n{keys}\n", ends[0], ends[1])
    };
    let resistor = "resistance = \"47 kΩ\"\ntolerance = \"5 %\"\npower = \"2 W\"\nvoltage = \"350 V\"";
    let fuse = "current = \"50 mA\"\nspeed = \"F\"\nvoltage = \"250 V\"\nbreaking = \"1500 A\"";
    [
        HEAD.to_string(),
        part("F1", "fuse", ["L", "a"], fuse),
        part("R1", "resistor", ["a", "N"], resistor),
        "[[touchable]]\nname = \"clip\"\nnet = \"a\"\n".to_string(),
    ]
    .concat()
}

fn bytes(text: &str, threads: usize) -> String {
    let options = Options { threads, today: "2026-11-20".parse::<Day>().unwrap(), ..Options::default() };
    let report = crate::check(text, &options).unwrap();
    format!("{}{}", report.to_json(), report.to_full_text(Look::default()))
}

#[test]
fn a_thousand_runs_give_the_same_bytes() {
    let wand = std::fs::read_to_string(root().join("demo-data/neon-wand-230v.toml")).unwrap();
    for (text, runs) in [(tiny(), 972), (wand, 8)] {
        let first = bytes(&text, 1);
        // Maps are seeded anew in every one; a few at once, as a machine that is busy has them.
        std::thread::scope(|s| {
            for worker in 0..4 {
                let (text, first) = (&text, &first);
                s.spawn(move || (0..runs / 4).for_each(|k| assert!(bytes(text, 1 + (worker + k) % 4) == *first)));
            }
        });
    }
    let (home, elsewhere) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let jig = elsewhere.path().join("jig.toml");
    std::fs::write(&jig, tiny()).unwrap();
    let run = |locale: &str, zone: &str, folder: &Path| {
        let mut command = Command::new(binary());
        command.args(["check", "--all", "--json", "--budget", "none"]).arg("jig.toml").current_dir(folder);
        command.env_clear().env("HOME", home.path()).env("DEADFRONT_HOME", home.path());
        command.env("LC_ALL", locale).env("LANG", locale).env("TZ", zone).env("COLUMNS", "40");
        let out = command.output().unwrap();
        assert!(out.stderr.is_empty() && !out.stdout.is_empty(), "{}", String::from_utf8_lossy(&out.stderr));
        out.stdout
    };
    let first = run("C", "UTC", elsewhere.path());
    for (locale, zone) in
        [("de_DE.UTF-8", "Asia/Tokyo"), ("tr_TR.UTF-8", "America/Caracas"), ("xx", "nowhere"), ("ar_EG", "UTC-14")]
    {
        for _ in 0..5 {
            let folder = tempfile::tempdir().unwrap();
            std::fs::copy(&jig, folder.path().join("jig.toml")).unwrap();
            assert!(run(locale, zone, folder.path()) == first, "{locale} {zone}");
        }
    }
}
