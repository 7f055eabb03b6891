//! One home under many hands: runs side by side, some of them killed, lose nothing, revive nothing and leave nothing half there.
//! What is odd about a home is told before anything of it is believed.
#![cfg(unix)]
#![allow(missing_docs, clippy::unwrap_used)]

use super::program;
use super::program::{printed, said};
use super::sharing_machine::{adding, fill_for_today};
use super::sharing_support::*;
use crate::sharing::Home;
use crate::sharing::shops::Shops;
use std::os::unix::fs::PermissionsExt as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::Duration;

const SHOPS: [&str; 5] = ["Alder", "Birch", "Cedar", "Damson", "Elder"];

/// Numbers without a pattern that are the same in each run.
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % most
    }
}

fn key_file(folder: &Path, name: &str) -> PathBuf {
    let pair = minisign::KeyPair::generate_unencrypted_keypair().unwrap();
    let place = folder.join(format!("{name}.pub"));
    std::fs::write(&place, format!("untrusted comment: a key for tests\n{}\n", pair.pk.to_base64())).unwrap();
    place
}

fn plugin(home: &Path, arguments: &[&str]) -> Command {
    let mut command = program::program(["plugin"]);
    command.args(arguments).env("DEADFRONT_HOME", home).stdout(Stdio::null()).stderr(Stdio::piped());
    command
}

/// Lists a shop and takes it out again and again; what the list may say of it at the end.
fn lists_a_shop(home: &Path, name: &str, key: &Path, rounds: u64, mut dice: Dice) -> Vec<bool> {
    let mut may_be = vec![false];
    for _ in 0..rounds {
        let adds = !may_be[0] || (may_be.len() > 1 && dice.below(2) == 0);
        let mut command = match adds {
            true => plugin(home, &["shops", "add", name, key.to_str().unwrap(), "--for", "vet"]),
            false => plugin(home, &["shops", "remove", name]),
        };
        let mut child = command.spawn().unwrap();
        if dice.below(4) == 0 {
            std::thread::sleep(Duration::from_micros(dice.below(30_000)));
            child.kill().unwrap();
        }
        let output = child.wait_with_output().unwrap();
        may_be = match output.status.code() {
            Some(0) => vec![adds],
            // Killed: it was done or not.
            None => [may_be, vec![adds]].concat(),
            // After a kill it may be listed already, or not be listed.
            Some(_) => {
                let told = said(&output);
                assert!(may_be.contains(&adds) && told.contains("listed"), "{told}");
                vec![adds]
            }
        };
    }
    may_be
}

#[test]
fn eight_at_once_some_of_them_killed_lose_nothing_and_revive_nothing() {
    let rounds = std::env::var("DEADFRONT_EDITS").ok().and_then(|r| r.parse().ok()).unwrap_or(6);
    let bench = Bench::new();
    fill_for_today(&bench, "1.0.0");
    let (home, parcel) = (bench.home.root(), &bench.parcel);
    assert!(adding(home, &[parcel]).stdout(Stdio::null()).status().unwrap().success());
    let keys = SHOPS.map(|name| key_file(bench.folder.path(), name));
    std::thread::scope(|scope| {
        let listing: Vec<_> = SHOPS
            .iter()
            .zip(&keys)
            .enumerate()
            .map(|(k, (name, key))| scope.spawn(move || lists_a_shop(home, name, key, rounds, Dice(k as u64 + 7))))
            .collect();
        // Two add the same parcel over and over, and one looks: the plugin is there and runs, each time.
        for k in 0..2u64 {
            scope.spawn(move || {
                let mut dice = Dice(k + 99);
                for _ in 0..rounds {
                    let mut child =
                        adding(home, &[parcel]).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap();
                    if dice.below(3) == 0 {
                        std::thread::sleep(Duration::from_micros(dice.below(30_000)));
                        child.kill().unwrap();
                    }
                    let output = child.wait_with_output().unwrap();
                    assert!(matches!(output.status.code(), Some(0) | None), "{}", said(&output));
                }
            });
        }
        scope.spawn(move || {
            for _ in 0..rounds {
                let output = plugin(home, &["list"]).output().unwrap();
                assert_eq!(output.status.code(), Some(0), "{}", said(&output));
            }
        });
        for (name, listing) in SHOPS.iter().zip(listing) {
            let may_be = listing.join().unwrap();
            let listed = Shops::load(&bench.home).unwrap().iter().any(|s| s.name == *name);
            assert!(may_be.contains(&listed), "{name}: {may_be:?}");
        }
    });
    assert!(adding(home, &[parcel]).stdout(Stdio::null()).status().unwrap().success());
    assert!(contents(home).into_keys().all(|place| !place.to_string_lossy().contains("unfinished")));
    assert_eq!(std::fs::read_dir(home.join("store")).unwrap().count(), 2);
}

#[test]
fn who_waits_for_a_home_goes_on_when_the_other_was_killed() {
    let bench = Bench::new();
    let held = std::fs::File::open(bench.home.root()).unwrap();
    held.lock().unwrap();
    let child = plugin(bench.home.root(), &["list"]).spawn().unwrap();
    std::thread::sleep(Duration::from_millis(100));
    drop(held);
    assert!(child.wait_with_output().unwrap().status.success());
}

fn list(home: &Path) -> Output {
    plugin(home, &["list"]).stdout(Stdio::piped()).output().unwrap()
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_home_that_everybody_may_write_is_not_believed() {
    let bench = Bench::new();
    fill_for_today(&bench, "1.0.0");
    assert!(adding(bench.home.root(), &[&bench.parcel]).stdout(Stdio::null()).status().unwrap().success());
    let root = bench.home.root().to_path_buf();
    for place in
        [root.clone(), root.join("shops.toml"), root.join("policy.toml"), root.join("store"), root.join("plugins")]
    {
        let rights = std::fs::metadata(&place).unwrap().permissions();
        std::fs::set_permissions(&place, std::fs::Permissions::from_mode(rights.mode() | 0o002)).unwrap();
        for output in [list(&root), adding(&root, &[&bench.parcel]).output().unwrap()] {
            assert_eq!(output.status.code(), Some(2), "{}", place.display());
            assert!(said(&output).contains("everybody on this machine may write it"), "{}", said(&output));
        }
        std::fs::set_permissions(&place, rights).unwrap();
        assert_eq!(list(&root).status.code(), Some(0));
    }
}

#[test]
fn a_home_that_is_a_link_or_is_not_there_is_told() {
    let bench = Bench::new();
    let link = bench.folder.path().join("link");
    std::os::unix::fs::symlink(bench.home.root(), &link).unwrap();
    let told = one_line(&printed(&list(&link)));
    assert!(told.contains("is a link to"), "{told}");
    assert!(!printed(&list(bench.home.root())).contains("is a link"));
    let gone = bench.folder.path().join("gone");
    let output = list(&gone);
    assert_eq!(output.status.code(), Some(0));
    let told = one_line(&printed(&output));
    assert!(told.contains("which DEADFRONT_HOME names, is not there"), "{told}");
    assert!(!gone.exists());
    // A check says that what added plugins look for was not looked for.
    let jig = program::root().join("demo-data/neon-wand-230v.toml");
    let check = |home: &Path| {
        let mut command = program::program(["check", "--format", "json"]);
        printed(&command.arg(&jig).env("DEADFRONT_HOME", home).output().unwrap())
    };
    assert!(check(&gone).contains("what added plugins look for"));
    assert!(!check(bench.home.root()).contains("what added plugins look for"));
    // A link that leads nowhere holds no home to write into.
    std::os::unix::fs::symlink(&gone, bench.folder.path().join("nowhere")).unwrap();
    let output = adding(&bench.folder.path().join("nowhere"), &[&bench.parcel]).output().unwrap();
    assert_eq!(output.status.code(), Some(2), "{}", said(&output));
}

#[test]
fn a_key_that_others_may_read_signs_nothing() {
    let bench = Bench::new();
    let home: &Home = &bench.home;
    std::fs::create_dir(home.root().join("key")).unwrap();
    std::fs::write(home.secret_key(), &SALTMARSH.locked).unwrap();
    bench.fill("1.0.0");
    let archive = bench.parcel.join("probe-bleeder-1.0.0.tar.gz");
    std::fs::remove_file(bench.parcel.join("probe-bleeder-1.0.0.tar.gz.minisig")).unwrap();
    let sign = |file: u32, folder: u32| {
        for (place, mode) in [(home.secret_key(), file), (home.root().join("key"), folder)] {
            std::fs::set_permissions(place, std::fs::Permissions::from_mode(mode)).unwrap();
        }
        let mut command = plugin(home.root(), &["sign"]);
        command.arg(&archive).env("DEADFRONT_KEY_PASSWORD", PASSWORD).output().unwrap()
    };
    for (file, folder, what) in [
        (0o644, 0o700, "others on this machine may read or write this shop's key"),
        (0o620, 0o700, "others on this machine may read or write this shop's key"),
        (0o600, 0o770, "others on this machine may put another key here"),
    ] {
        let output = sign(file, folder);
        assert_eq!(output.status.code(), Some(2));
        assert!(said(&output).contains(what), "{}", said(&output));
    }
    let output = sign(0o600, 0o700);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output));
}
