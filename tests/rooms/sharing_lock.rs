//! The lock beside a jig: what it lets run, and what it tells before anything runs.
#![allow(missing_docs, clippy::unwrap_used)]

use super::sharing_support::*;
use crate::sharing::lock::{self, Lock, Pin};
use crate::sharing::{self, applicable};

fn pin(id: &str, version: &str, sha256: &str) -> Pin {
    Pin { id: id.into(), version: version.into(), sha256: sha256.into(), vetted_by: vec!["Saltmarsh Bench".into()] }
}

/// What the gate says with this lock: ids that may run, and why others may not.
fn through(bench: &Bench, lock: Option<&Lock>, shipped: &[Pin]) -> (Vec<String>, Vec<String>) {
    let gate = applicable(&bench.home, "discharge-probe", today()).unwrap();
    assert!(gate.stopped.is_empty());
    let here: Vec<Pin> = gate.ready.iter().map(|p| pin(&p.id, &p.version, &p.sha256)).chain(shipped.to_vec()).collect();
    let stopped = lock.map_or(vec![], |lock| lock.stops(&here));
    let ready = gate.ready.into_iter().map(|p| p.id).filter(|id| stopped.iter().all(|s| s.id != *id)).collect();
    (ready, stopped.into_iter().map(|s| format!("{}: {}", s.id, s.why)).collect())
}

#[test]
fn the_gate_lets_the_pinned_bytes_through_and_no_others() {
    let bench = Bench::new();
    let sha256 = sharing::sha256(&bench.fill("1.1.0"));
    bench.add().unwrap();
    let locked = |version: &str, sha256: &str| Lock::new(today(), vec![pin("probe-bleeder", version, sha256)]);
    let ready = (vec!["probe-bleeder".to_string()], vec![]);
    assert_eq!(through(&bench, None, &[]), ready);
    assert_eq!(through(&bench, Some(&locked("1.1.0", &sha256)), &[]), ready);
    // Nothing is pinned under this name: it may look as well.
    assert_eq!(through(&bench, Some(&Lock::new(today(), vec![])), &[]), ready);
    let other = "0".repeat(64);
    for (version, sha256, why) in [
        ("1.1.0", other.as_str(), "its bytes are not those which checked this jig (lock file, 1.1.0)"),
        ("1.2.0", other.as_str(), "1.1.0 is older than 1.2.0, which checked this jig"),
        ("1.0.0", other.as_str(), "1.1.0 is not 1.0.0, which checked this jig"),
        // A lock that calls the right bytes something else does not hold either.
        ("1.0.0", sha256.as_str(), "1.1.0 is not 1.0.0"),
    ] {
        let (ready, stopped) = through(&bench, Some(&locked(version, sha256)), &[]);
        assert!(ready.is_empty() && stopped[0].contains(why), "{stopped:?}");
    }
}

#[test]
fn a_pinned_plugin_that_is_gone_is_told() {
    let bench = Bench::new();
    let sha256 = sharing::sha256(&bench.fill("1.1.0"));
    bench.add().unwrap();
    sharing::remove(&bench.home, "probe-bleeder", false).unwrap();
    let lock = Lock::new(today(), vec![pin("probe-bleeder", "1.1.0", &sha256)]);
    let (ready, stopped) = through(&bench, Some(&lock), &[]);
    assert!(ready.is_empty());
    assert_eq!(stopped, ["probe-bleeder: it checked this jig (lock file), and is not here any more"]);
    // One that ships with the program is held against the lock as well.
    assert_eq!(through(&bench, Some(&lock), &[pin("probe-bleeder", "1.1.0", &sha256)]), (vec![], vec![]));
    let (_, stopped) = through(&bench, Some(&lock), &[pin("probe-bleeder", "1.1.0", &"0".repeat(64))]);
    assert!(stopped[0].contains("its bytes are not those"), "{stopped:?}");
}

#[test]
fn plugins_for_other_units_stay_out_unless_their_bytes_cannot_be_believed() {
    let bench = Bench::with("1.1.0");
    bench.add().unwrap();
    let other = |bench: &Bench| applicable(&bench.home, "strobe-lamp", today()).unwrap();
    assert!(other(&bench).ready.is_empty() && other(&bench).stopped.is_empty());
    let store = bench.home.root().join("store");
    let archive = contents(&store).into_keys().find(|p| p.to_string_lossy().ends_with(".gz")).unwrap();
    // A policy that cannot be read lets nothing run, but the bytes still say what they are for.
    let policy = std::fs::read(bench.home.policy()).unwrap();
    std::fs::write(bench.home.policy(), "vets-neded = 1\n").unwrap();
    assert!(other(&bench).stopped.is_empty());
    assert_eq!(applicable(&bench.home, "discharge-probe", today()).unwrap().stopped.len(), 1);
    std::fs::write(bench.home.policy(), policy).unwrap();
    std::fs::write(archive, "something else").unwrap();
    assert_eq!(other(&bench).stopped.len(), 1);
}

#[test]
fn a_lock_reads_back_and_a_broken_one_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let jig = folder.path().join("wand.toml");
    assert_eq!(Lock::load(&jig).unwrap(), None);
    let written = Lock::new(today(), vec![pin("b", "1.0.0", &"1".repeat(64)), pin("a", "2.0.0", &"2".repeat(64))]);
    written.save(&jig).unwrap();
    assert_eq!(lock::place(&jig), folder.path().join("wand.lock"));
    let read = Lock::load(&jig).unwrap().unwrap();
    assert_eq!(read, written);
    assert_eq!(read.pins.iter().map(|p| p.id.as_str()).collect::<Vec<_>>(), ["a", "b"]);
    let text = std::fs::read_to_string(lock::place(&jig)).unwrap();
    for broken in [
        text.replacen("format = 1", "format = 2", 1),
        text.replacen("version", "versoin", 1),
        "x".into(),
        text.replacen("id = \"b\"", "id = \"a\"", 1),
    ] {
        std::fs::write(lock::place(&jig), broken).unwrap();
        assert!(Lock::load(&jig).is_err());
    }
    // A jig whose own name ends in .lock would be overwritten.
    assert!(written.save(&folder.path().join("wand.lock")).is_err());
}
