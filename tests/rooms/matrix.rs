//! The matrix of who judges what: nothing in it is empty, nothing in it names what is not there, and it is what the parts
//! themselves say.

use super::manual;
use crate::checks::matrix::{At, declared, matrix, reasons, unjudged};
use crate::finding::MatrixPart;
use crate::jig;
use crate::part::{Role, SECTIONS};
use std::fmt::Write as _;

/// A jig that writes every key.
const EVERYTHING: &str = include_str!("../jigs/everything.toml");

/// What an item of a part may be.
const ROLES: [Role; 7] =
    [Role::Whole, Role::Contact, Role::Arm, Role::Primary, Role::Secondary, Role::Input, Role::Output];

#[test]
fn no_cell_is_empty() {
    for part in matrix() {
        for row in part.rows {
            let told: usize = row.cells.iter().map(|c| c.situations.len()).sum();
            assert_eq!(told, At::ALL.len(), "{} {}", part.kind, row.key);
            for cell in row.cells {
                let said = !cell.checks.is_empty() || cell.why.is_some_and(|why| !why.is_empty());
                assert!(
                    said,
                    "{} {}: nobody judges it {:?}, and no reason is given",
                    part.kind, row.key, cell.situations
                );
            }
        }
    }
}

#[test]
fn what_a_check_says_that_it_judges_is_there() {
    for (check, judges) in declared() {
        let section = SECTIONS.iter().find(|s| s.name == judges.kind);
        let section = section.unwrap_or_else(|| panic!("{check} judges {}, which is no kind", judges.kind));
        for key in judges.keys {
            assert!(
                section.keys.iter().any(|k| k.name == *key),
                "{check} judges {} {key}, which is no key",
                judges.kind
            );
        }
        assert!(!judges.at.is_empty(), "{check}");
    }
}

#[test]
fn every_reason_is_needed() {
    for (k, reason) in reasons().iter().enumerate() {
        for kind in &reason.kinds {
            assert!(SECTIONS.iter().any(|s| s.name == kind), "reason {k}: {kind} is no kind");
        }
        for word in &reason.at {
            assert!(At::ALL.iter().any(|at| at.word() == word), "reason {k}: \"{word}\" is no situation");
        }
        let used = |parts: &[MatrixPart]| {
            let cells = parts.iter().flat_map(|p| &p.rows).flat_map(|r| &r.cells);
            cells.into_iter().any(|c| c.why == Some(reason.why.as_str()))
        };
        assert!(used(&matrix()), "reason {k} is used nowhere: {}", reason.why);
    }
}

/// Every rating that a part hands to a check (with the check that judges it) stands in the matrix under that check.
#[test]
fn the_ratings_of_the_parts_name_the_same_checks() {
    let jig = jig::parse("everything.toml", EVERYTHING.as_bytes()).expect("a jig");
    let all = matrix();
    let mut seen = 0;
    for part in &jig.parts {
        let kind = part.kind.word();
        let rows = &all.iter().find(|p| p.kind == kind).expect("its kind").rows;
        for rating in ROLES.iter().flat_map(|role| part.kind.ratings(*role)) {
            let judge = rating.judge.name();
            let stands = rows.iter().flat_map(|r| &r.cells).any(|c| c.checks.contains(&judge));
            assert!(stands, "{kind}: a rating is judged by {judge}, the matrix does not say so");
            seen += 1;
        }
    }
    assert!(seen > 20, "{seen}");
}

#[test]
fn what_nothing_judges_is_told_where_it_is_stated() {
    let jig = jig::parse("everything.toml", EVERYTHING.as_bytes()).expect("a jig");
    let told = unjudged(&jig);
    let keys: Vec<&str> = told.iter().map(|t| t.1).collect();
    assert!(["screened", "temperature-class", "energy"].iter().all(|key| keys.contains(key)), "{told:?}");
    let without: String =
        EVERYTHING.lines().filter(|l| !l.starts_with("energy")).map(|l| l.to_string() + "\n").collect();
    let jig = jig::parse("everything.toml", without.as_bytes()).expect("a jig");
    assert!(!unjudged(&jig).iter().any(|t| t.1 == "energy"));
}

/// The matrix of DEVELOPERS.md: who judges, by kind, key and situation; `why --matrix` has the reasons as well.
#[test]
fn matrix_in_the_manual() {
    let mut out = String::from("| kind | key | judged by (situations) |\n|---|---|---|\n");
    for part in matrix() {
        for row in part.rows {
            let judged = row.cells.iter().filter(|c| !c.checks.is_empty());
            let judged: Vec<String> =
                judged.map(|c| format!("{} ({})", c.checks.join(", "), c.situations.join(", "))).collect();
            let who = match (judged.is_empty(), row.judged) {
                (false, _) => judged.join("; "),
                (true, true) => "–".to_string(),
                (true, false) => "nothing: told where it is stated".to_string(),
            };
            writeln!(out, "| {} | {} | {who} |", part.kind, row.key).unwrap();
        }
    }
    manual::compare("matrix", &out);
}
