//! A machine that gives way while a plugin is added: no room, no permission, killed at any moment. The program itself is
//! run. What was installed before stays, or the new is there; nothing between.
#![cfg(unix)]
#![allow(missing_docs, clippy::unwrap_used)]

use super::program;
use super::program::said;
use super::sharing_support::*;
use crate::sharing;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

pub fn adding(home: &Path, arguments: &[&Path]) -> Command {
    let mut command = program::program(["plugin", "add"]);
    command.args(arguments).env("DEADFRONT_HOME", home);
    command
}

/// The records of these tests are of a fixed day; the program knows only today.
pub fn fill_for_today(bench: &Bench, version: &str) {
    let bytes = bench.fill(version);
    let old = record(&bytes, version);
    for ending in ["", ".minisig"] {
        std::fs::remove_file(bench.parcel.join(format!("{}{ending}", old.file_name()))).unwrap();
    }
    bench.put_record(&crate::sharing::vet::Record { date: sharing::Day::today(), ..old }, &SALTMARSH);
    let text = shops().text().replace("2027-06-30", &sharing::Day::today().after(100).to_string());
    std::fs::write(bench.home.shops(), text).unwrap();
}

/// A bench with 1.0.0 installed and 1.1.0 in the parcel, as of today.
fn bench() -> Bench {
    let bench = Bench::new();
    fill_for_today(&bench, "1.0.0");
    let output = adding(bench.home.root(), &[&bench.parcel]).output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", said(&output));
    fill_for_today(&bench, "1.1.0");
    bench
}

/// The one installed plugin, which has to be whole.
fn version(bench: &Bench) -> String {
    let all = sharing::installed(&bench.home, sharing::Day::today()).unwrap();
    assert_eq!(all.len(), 1);
    assert_eq!(all[0].stopped, None);
    assert_eq!(all[0].files.as_ref().unwrap(), &small_plugin(&all[0].version));
    all[0].version.clone()
}

#[test]
fn home_that_cannot_be_written_is_told_and_nothing_changes() {
    // Files stand where folders have to be: that stops the system administrator too, whom permissions do not.
    for blocked in ["store", "plugins", "vets"] {
        let bench = Bench::new();
        fill_for_today(&bench, "1.1.0");
        std::fs::write(bench.home.root().join(blocked), "").unwrap();
        let output = adding(bench.home.root(), &[&bench.parcel]).output().unwrap();
        assert_eq!(output.status.code(), Some(2), "{}", said(&output));
        assert!(said(&output).contains(blocked) && said(&output).contains("could not be"), "{}", said(&output));
        std::fs::remove_file(bench.home.root().join(blocked)).unwrap();
        assert!(sharing::installed(&bench.home, sharing::Day::today()).unwrap().is_empty());
        // Once the way is free the same parcel comes in, and nothing of the first try is left lying.
        assert!(adding(bench.home.root(), &[&bench.parcel]).status().unwrap().success());
        assert_eq!(version(&bench), "1.1.0");
    }
    let bench = bench();
    let home = bench.folder.path().join("a-file");
    std::fs::write(&home, "").unwrap();
    let output = adding(&home.join("home"), &[&bench.parcel]).output().unwrap();
    assert_eq!(output.status.code(), Some(2), "{}", said(&output));
}

#[test]
fn home_on_a_read_only_disk_or_a_full_one() {
    // Mounts of this test's own, where the system permits them.
    let bench = bench();
    let run = |script: &str| {
        let mut command = Command::new("unshare");
        command.args(["--user", "--map-root-user", "--mount", "sh", "-c", script]);
        command.env("HOME_HERE", bench.home.root()).env("PARCEL", &bench.parcel).env("MOUNT", bench.folder.path());
        command.env("PROGRAM", super::program::binary()).output()
    };
    match run("mkdir -p $MOUNT/m && mount -t tmpfs -o size=16k tmpfs $MOUNT/m") {
        Ok(output) if output.status.success() => {}
        _ => {
            return println!(
                "SKIPPED: this system lets nobody mount a disk; the tests beside this one fill it otherwise"
            );
        }
    }
    // A page for each of the home's files and folders, and a few more: room for some of what is new, not for all.
    let script = "mount -t tmpfs -o size=SIZE,mode=0700 tmpfs $MOUNT/m && cp -r $HOME_HERE/. $MOUNT/m && \
                  cp -r $MOUNT/m $MOUNT/before && REMOUNT && \
                  DEADFRONT_HOME=$MOUNT/m $PROGRAM plugin add $PARCEL; status=$?; \
                  diff -r $MOUNT/m $MOUNT/before >&2 || status=99; rm -r $MOUNT/before; exit $status";
    let full = script.replace("SIZE", "44k").replace("REMOUNT", "true");
    let read_only = script.replace("SIZE", "1m").replace("REMOUNT", "mount -o remount,ro $MOUNT/m");
    for (what, script) in [("no space left", full), ("read-only", read_only)] {
        let output = run(&script).unwrap();
        assert_eq!(output.status.code(), Some(2), "{}", said(&output));
        assert!(said(&output).to_lowercase().contains(what), "{}", said(&output));
    }
}

#[test]
fn disk_full_at_every_size_leaves_the_old_or_the_new() {
    let (mut old, mut new) = (0, 0);
    // The shell's unit is 512 or 1024 bytes. With the signal ignored the write fails; with it, the program dies.
    for blocks in 0..12 {
        for signal in ["trap '' XFSZ;", ""] {
            let bench = bench();
            let script = format!("{signal} ulimit -f {blocks}; exec \"$0\" plugin add \"$1\"");
            let mut shell = Command::new("sh");
            shell.args(["-c", &script]).arg(super::program::binary()).arg(&bench.parcel);
            let output = shell.env("DEADFRONT_HOME", bench.home.root()).output().unwrap();
            let before = if output.status.success() {
                new += 1;
                "1.1.0"
            } else {
                old += 1;
                "1.0.0"
            };
            assert_eq!(version(&bench), before, "{blocks} {}", said(&output));
            if !output.status.success() && !signal.is_empty() {
                assert_eq!(output.status.code(), Some(2));
                assert!(said(&output).contains("could not be written"), "{}", said(&output));
            }
            assert!(adding(bench.home.root(), &[&bench.parcel]).status().unwrap().success());
            assert_eq!(version(&bench), "1.1.0");
            no_leftovers(&bench);
        }
    }
    println!("full disk: {old} times the old one stayed, {new} times there was room");
    assert!(old >= 4 && new >= 2);
}

/// Nothing but what the one installed version needs is in the home.
fn no_leftovers(bench: &Bench) {
    for place in contents(bench.home.root()).into_keys() {
        assert!(!place.to_string_lossy().contains("unfinished"), "{}", place.display());
    }
    // It and the version before it, which a jig's lock may name; each an archive with its signature.
    assert_eq!(std::fs::read_dir(bench.home.root().join("store")).unwrap().count(), 4);
    assert_eq!(std::fs::read_dir(bench.home.root().join("vets")).unwrap().count(), 2);
}

#[test]
fn killed_at_random_points_leaves_the_old_or_the_new() {
    // A hundred blows where they are asked for, as they were when this was written; a few of them in every run.
    let blows = std::env::var("DEADFRONT_BLOWS").ok().and_then(|n| n.parse().ok()).unwrap_or(20);
    // How long a whole run takes, so that the blows fall within it.
    let bench_for_time = bench();
    let start = Instant::now();
    assert!(adding(bench_for_time.home.root(), &[&bench_for_time.parcel]).status().unwrap().success());
    let whole = start.elapsed();
    let mut dice = 0x9E37_79B9_7F4A_7C15u64;
    let (mut old, mut new, mut between) = (0, 0, 0);
    let bench = bench();
    let before = contents(bench.home.root());
    for blow in 0..blows {
        std::fs::remove_dir_all(bench.home.root()).unwrap();
        for (place, bytes) in &before {
            std::fs::create_dir_all(place.parent().unwrap()).unwrap();
            std::fs::write(place, bytes).unwrap();
        }
        dice = dice.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        // One blow in each part of the run, somewhere in it.
        let share = (f64::from(blow) + (dice >> 40) as f64 / f64::from(1 << 24)) / f64::from(blows);
        let mut child = adding(bench.home.root(), &[&bench.parcel]).stdout(Stdio::null()).spawn().unwrap();
        std::thread::sleep(Duration::from_secs_f64(whole.as_secs_f64() * share));
        child.kill().unwrap();
        child.wait().unwrap();
        let found = version(&bench);
        let touched = contents(bench.home.root()) != before;
        match found.as_str() {
            "1.0.0" if touched => between += 1,
            "1.0.0" => old += 1,
            _ => new += 1,
        }
        assert!(adding(bench.home.root(), &[&bench.parcel]).stdout(Stdio::null()).status().unwrap().success());
        assert_eq!(version(&bench), "1.1.0");
        no_leftovers(&bench);
    }
    println!(
        "killed in mid-install: {old} before the first byte, {between} while files lay there, {new} when it was in"
    );
    assert_eq!(old + between + new, blows);
    assert!(between > 0, "no blow fell between the first byte and the last");
}
