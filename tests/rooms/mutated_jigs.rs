//! Whole jigs with tokens swapped and values at their extremes, checked from the text to the pages: never a panic, never a whole
//! check of what was not tried, no number that is none, and always an end.
#![allow(clippy::unwrap_used)]

use super::program::root;
use super::support::dice::Dice;
use crate::{Look, Options};
use std::path::PathBuf;
use std::time::{Duration, Instant};

/// How many: more with `DEADFRONT_MUTANTS=100000`.
fn mutants() -> usize {
    std::env::var("DEADFRONT_MUTANTS").ok().and_then(|n| n.parse().ok()).unwrap_or(150)
}

/// Small jigs of every kind of part.
fn jigs() -> Vec<String> {
    let examples = std::fs::read_dir(root().join("src/checks/examples")).unwrap();
    let mut files: Vec<PathBuf> = examples.map(|e| e.unwrap().path()).collect();
    files.extend(std::fs::read_dir(root().join("tests/jigs")).unwrap().map(|e| e.unwrap().path()));
    files.retain(|f| f.extension().is_some_and(|e| e == "toml"));
    files.sort();
    let texts: Vec<String> = files.iter().map(|f| std::fs::read_to_string(f).unwrap()).collect();
    assert!(texts.len() > 50, "{}", texts.len());
    texts
}

/// What stands between two quotes, as (from, to).
fn quoted(text: &str) -> Vec<(usize, usize)> {
    let marks: Vec<usize> = text.match_indices('"').map(|(k, _)| k).collect();
    marks.chunks_exact(2).map(|c| (c[0] + 1, c[1])).filter(|(a, b)| !text[*a..*b].contains('\n')).collect()
}

const NUMBERS: [&str; 16] = [
    "0",
    "1e-18",
    "1e-9",
    "1e-6",
    "0.001",
    "0.999999999",
    "1",
    "1000000",
    "1e9",
    "1e12",
    "1e15",
    "-1",
    "-1e15",
    "3.3",
    "1e16",
    "1e-19",
];

/// A value with another number in front of its unit.
fn extreme(value: &str, dice: &mut Dice) -> String {
    let unit = value.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | 'e' | ' '));
    format!("{} {unit}", NUMBERS[dice.below(NUMBERS.len())])
}

fn mutated(text: &str, others: &[String], dice: &mut Dice) -> String {
    let mut text = text.to_string();
    for _ in 0..=dice.below(3) {
        let all = quoted(&text);
        if all.is_empty() {
            return text;
        }
        let (a, b) = all[dice.below(all.len())];
        match dice.below(6) {
            // A value at its extreme; only what begins like a number is one.
            0 | 1 => {
                let numbers: Vec<_> =
                    all.iter().filter(|(a, b)| text[*a..*b].starts_with(|c: char| c.is_ascii_digit())).collect();
                if let Some((a, b)) = (!numbers.is_empty()).then(|| *numbers[dice.below(numbers.len())]) {
                    let value = extreme(&text[a..b], dice);
                    text.replace_range(a..b, &value);
                }
            }
            // Two tokens change places.
            2 => {
                let (c, d) = all[dice.below(all.len())];
                let ((a, b), (c, d)) = if a <= c { ((a, b), (c, d)) } else { ((c, d), (a, b)) };
                if b <= c {
                    let (first, second) = (text[a..b].to_string(), text[c..d].to_string());
                    text.replace_range(c..d, &first);
                    text.replace_range(a..b, &second);
                }
            }
            // One takes the place of another: nets run together.
            3 => {
                let (c, d) = all[dice.below(all.len())];
                let other = text[c..d].to_string();
                text.replace_range(a..b, &other);
            }
            // A line goes.
            4 => {
                let lines: Vec<&str> = text.lines().collect();
                let gone = dice.below(lines.len());
                text = lines.iter().enumerate().filter(|(k, _)| *k != gone).map(|(_, l)| format!("{l}\n")).collect();
            }
            // A part of another jig comes in.
            _ => {
                let other = &others[dice.below(others.len())];
                let starts: Vec<usize> = other.match_indices("[part.").map(|(k, _)| k).collect();
                if let Some(at) = (!starts.is_empty()).then(|| starts[dice.below(starts.len())]) {
                    let part = other[at..].split("\n[").next().unwrap_or_default();
                    text += &format!("\n{}\n", part.replacen("[part.", &format!("[part.Z{}", dice.below(100)), 1));
                }
            }
        }
    }
    text
}

/// What must hold of a check of any text: whether it was read.
fn holds(text: &str) -> bool {
    let options =
        Options { budget: Some(Duration::from_secs(2)), threads: 1, measure_first: true, ..Options::default() };
    let begun = Instant::now();
    let checked = std::panic::catch_unwind(|| {
        crate::check(text, &options).map(|r| (r.to_json(), r.to_full_text(Look::default()), r))
    });
    let Ok(checked) = checked else { panic!("a panic:\n{text}") };
    // A development build on a busy machine takes its time for pages and single solutions.
    assert!(begun.elapsed() < Duration::from_secs(120), "{:?}:\n{text}", begun.elapsed());
    let Ok((json, page, report)) = checked else { return false };
    let j = &report.judgement;
    assert_eq!(report.exit_status() == 3, !j.complete(), "{text}");
    assert!(
        j.complete()
            || j.conditions.unsolved > 0
            || j.conditions.solved == 0
            || j.plugins.iter().any(|p| p.outcome == "failed")
    );
    for f in &j.findings {
        let numbers = [f.value, f.limit, f.margin];
        assert!(numbers.iter().flatten().all(|x| x.is_finite()), "{f:?}\n{text}");
        assert!(!f.message.is_empty() && !f.remedy.is_empty() && !f.source.is_empty(), "{f:?}\n{text}");
    }
    for written in [&json, &page] {
        for none in ["NaN", "inf ", "-inf", "null V", "null A"] {
            assert!(!written.contains(none), "{none}:\n{text}");
        }
    }
    true
}

#[test]
fn mutants_of_whole_jigs_end_in_words() {
    let all = jigs();
    let small: Vec<&String> = all.iter().filter(|t| t.len() < 2_500).collect();
    let mut dice = Dice::new(std::env::var("DEADFRONT_SEED").ok().and_then(|n| n.parse().ok()).unwrap_or(19));
    let mut read = 0;
    for k in 0..mutants() {
        let text = mutated(small[dice.below(small.len())], &all, &mut dice);
        read += usize::from(holds(&text));
        if k % 5_000 == 4_999 {
            eprintln!("{} of {} mutants were read", read, k + 1);
        }
    }
    // Most are jigs still: what is read is what is tried.
    assert!(read * 5 > mutants(), "{read} of {} were read", mutants());
}
