//! Whatever a plugin does: its check ends in time, the program lives, nothing outside the machine is reached, and it is told
//! as failed. Each script says at its head what it attempts and what is expected of the host.
#![allow(missing_docs, clippy::unwrap_used)]

use super::plugins;
use super::program::root;
use crate::plugin::Plugin;
use crate::plugin::vm::{Bounds, Failure};
use crate::plugin::what_if::Subject;
use crate::plugin::worker::RunResult;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::{Duration, Instant};

const MANIFEST: &str = r#"
id = "hostile"
version = "1.0.0"
api = 1
title = "A script"
about = "Whatever it is."
units = ["strobe-lamp"]
author = "nobody"
licence = "MIT"
sources = []
[checks.hostile]
title = "A check"
limit = "65 Hz"
source = "common practice"
why = "None."
"#;

fn subject() -> Arc<Subject> {
    plugins::subject(&root().join("demo-data/neon-wand-230v.toml"))
}

fn plugin(source: &str) -> Plugin {
    plugins::plugin(MANIFEST, source)
}

fn run(source: &str, subject: &Arc<Subject>) -> RunResult {
    plugins::run(&plugin(source), subject, Bounds::default())
}

fn scripts() -> Vec<PathBuf> {
    let mut out: Vec<PathBuf> =
        std::fs::read_dir(root().join("tests/hostile")).unwrap().map(|e| e.unwrap().path()).collect();
    out.sort();
    assert!(out.len() >= 61, "{}", out.len());
    out
}

#[test]
fn every_hostile_script_is_contained() {
    let subject = subject();
    let honest = "return { check = function(jig) return { notice{ check = 'hostile', message = jig.name, remedy = 'none' } } end }";
    let before = run(honest, &subject).unwrap();
    for path in scripts() {
        let source = std::fs::read(&path).unwrap();
        let source = String::from_utf8_lossy(&source);
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let started = Instant::now();
        let outcome = run(&source, &subject);
        let took = started.elapsed();
        println!("{name:24} {:>6.1} ms  {outcome:?}", took.as_secs_f64() * 1e3);
        assert!(took < Duration::from_secs(1), "{name}: {took:?}");
        let head: String = source.lines().take(4).collect();
        match &outcome {
            Ok(findings) => {
                assert!(
                    !head.contains("told as failed by name") && !head.contains("refused by name"),
                    "{name} came through"
                );
                assert!(findings.iter().all(|f| !f.message.contains("BREACH")), "{name}: {findings:?}");
            }
            Err(f) => assert!(f.message.chars().count() <= 300 && f.failure != Failure::Panic, "{name}: {f:?}"),
        }
        assert_eq!(run(honest, &subject).unwrap(), before, "{name} changed what the next one finds");
    }
}

#[test]
fn much_rubbish_beside_ten_megabytes_alive_is_no_failure() {
    let source = "return { check = function(jig)
      local alive = {}
      for k = 1, 10 do alive[k] = string.rep(tostring(k % 10), 1048576) end
      local last
      for k = 1, 500000 do last = { k } end
      assert(last[1] == 500000 and #alive == 10)
      return { notice{ check = 'hostile', message = 'came to its end', remedy = 'none' } }
    end }";
    // On a crowded machine the time may be short; what is tried here is the memory.
    let limits = Bounds { milliseconds: 10_000, ..Bounds::default() };
    let found = plugins::run(&plugin(source), &subject(), limits).unwrap();
    assert_eq!(found.len(), 1);
}

#[test]
fn sixty_long_texts_one_after_another_are_no_failure() {
    let source = "return { check = function(jig)
      local sum = 0
      for k = 1, 60 do sum = sum + #string.rep(string.char(65 + k % 26), 4194304) end
      assert(sum == 60 * 4194304)
      return { notice{ check = 'hostile', message = 'came to its end', remedy = 'none' } }
    end }";
    let limits = Bounds { milliseconds: 10_000, ..Bounds::default() };
    let found = plugins::run(&plugin(source), &subject(), limits).unwrap();
    assert_eq!(found.len(), 1);
}
