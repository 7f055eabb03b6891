//! Random whole tools against the referee, and pairs of tools against what has to hold between their reports.
//!
//! `DEADFRONT_REFEREE=100000 cargo test --release --lib referee -- --nocapture` tries as many tools and pairs, from the seed
//! `DEADFRONT_REFEREE_FROM` on, and prints the figures.
#![allow(clippy::unwrap_used)]

use super::referee_kit::compare::{Outcome, compare};
use super::referee_kit::grammar;
use super::referee_kit::relations::{broken, pairs};
use super::referee_kit::told::Told;
use super::support::dice::Dice;
use crate::{checks, jig, report, survey};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Instant;

/// Tools and pairs that every run of the tests tries.
const TOOLS: u64 = 2_000;
/// Pairs are made of the first so many tools that are quick to solve.
const PAIRED: u64 = 260;

/// Tools of which the two roads say different things, and it is not settled which of them is wrong.
const OPEN: &[(u64, &str)] = &[
    (744, "charge of a capacitor behind two bleeders with one open: 71 V against 3 V"),
    (1256, "current of a switch at nominal mains: 54 mA against 45 mA"),
    (1606, "a glow lamp at 5.3 times its current with one part shorted is not told as unlimited"),
];

/// Pairs of which the same holds.
const OPEN_PAIRS: &[(u64, &str)] = &[
    (26, "with one of two droppers split the other is told more gravely"),
    (76, "with its parts in another order a resistor of a filter is told less gravely"),
];

/// What the program says of a jig, as it stands in its JSON.
fn told(text: &str) -> Told {
    let jig = jig::parse("random.toml", text.as_bytes()).unwrap_or_else(|e| panic!("{e:?}\n{text}"));
    let survey = survey::survey(&jig, &survey::Options { faults: 1, threads: 1, ..survey::Options::default() });
    let judgement = checks::judge(&jig, &survey, "2026-01-01");
    Told::read(&serde_json::from_str(&report::check_json(&judgement)).unwrap())
}

fn number(name: &str) -> Option<u64> {
    std::env::var(name).ok()?.parse().ok()
}

/// Seeds from which, and how many.
fn seeds(usual: u64) -> (u64, u64) {
    (number("DEADFRONT_REFEREE_FROM").unwrap_or(0), number("DEADFRONT_REFEREE").unwrap_or(usual))
}

/// Does the same for every seed on as many threads as there are cores.
fn all<T: Send>(from: u64, count: u64, one: impl Fn(u64) -> T + Sync) -> Vec<T> {
    let next = AtomicU64::new(from);
    let done = Mutex::new(Vec::new());
    std::thread::scope(|s| {
        for _ in 0..std::thread::available_parallelism().map_or(1, usize::from) {
            s.spawn(|| {
                loop {
                    let seed = next.fetch_add(1, Ordering::Relaxed);
                    if seed >= from + count {
                        return;
                    }
                    let outcome = one(seed);
                    done.lock().unwrap().push((seed, outcome));
                }
            });
        }
    });
    let mut done = done.into_inner().unwrap();
    done.sort_by_key(|(seed, _)| *seed);
    done.into_iter().map(|(_, outcome)| outcome).collect()
}

#[test]
fn referee_and_program_agree_on_random_tools() {
    let (from, count) = seeds(TOOLS);
    let began = Instant::now();
    let outcomes = all(from, count, |seed| {
        let tool = grammar::tool(seed);
        compare(seed, &tool, &told(&tool.text()))
    });
    let mut sum = Outcome::default();
    for o in outcomes {
        for (class, t) in o.tallies {
            let into = sum.tallies.entry(class).or_default();
            into.must += t.must;
            into.silent += t.silent;
            into.missed += t.missed;
            into.alarms += t.alarms;
        }
        sum.numbers += o.numbers;
        sum.lost += o.lost;
        let open = |c: &String| OPEN.iter().any(|(seed, _)| c.starts_with(&format!("{seed} ")));
        sum.complaints.extend(o.complaints.into_iter().filter(|c| !open(c)));
    }
    let mut table =
        String::from("| limit | had to be told | missed | had to be left | false alarms |\n|---|--:|--:|--:|--:|\n");
    for (class, t) in &sum.tallies {
        let _ = writeln!(table, "| {class} | {} | {} | {} | {} |", t.must, t.missed, t.silent, t.alarms);
    }
    let seconds = began.elapsed().as_secs();
    println!("{table}{count} tools, {} numbers, {} conditions the referee left, {seconds} s", sum.numbers, sum.lost);
    assert!(sum.tallies.values().all(|t| t.must + t.silent > 0) && sum.numbers as u64 > count, "{table}");
    assert!(sum.complaints.is_empty(), "{} disagreements:\n{}", sum.complaints.len(), sum.complaints.join("\n"));
}

#[test]
fn relations_hold_between_pairs_of_tools() {
    let (from, count) = seeds(PAIRED);
    let began = Instant::now();
    let found = all(from, count, |seed| {
        let tool = grammar::tool(seed);
        if tool.topology == "capacitor dropper" && count <= PAIRED {
            return Vec::new();
        }
        let before = told(&tool.text());
        let each = pairs(&tool, &mut Dice::new(!seed)).into_iter().map(|pair| {
            let after = told(&pair.text);
            let lines = broken(&pair, &before, &after);
            let head = format!("{seed} {} {} [{}]: ", pair.relation, pair.part, tool.topology);
            (pair.relation, lines.into_iter().map(|l| head.clone() + &l).collect::<Vec<_>>())
        });
        each.collect()
    });
    let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
    let mut complaints = Vec::new();
    for (relation, lines) in found.into_iter().flatten() {
        *counts.entry(relation).or_default() += 1;
        let open = |c: &String| OPEN_PAIRS.iter().any(|(seed, _)| c.starts_with(&format!("{seed} ")));
        complaints.extend(lines.into_iter().filter(|c| !open(c)));
    }
    let sum: usize = counts.values().sum();
    println!("{sum} pairs in {} s: {counts:?}", began.elapsed().as_secs());
    assert!(sum >= 8 * count as usize * 4 / 5, "{counts:?}");
    assert!(complaints.is_empty(), "{} do not hold:\n{}", complaints.len(), complaints.join("\n"));
}
