//! Fuses: another rating, another speed, more breaking capacity.

use super::{MOST, amperes, one, rating, text};
use crate::checks::{Case, Change, Proposal, Table};
use crate::finding::Way;
use crate::finding::said::Amount;
use crate::jig::{Part, PartKind};
use crate::part::Fuse;
use crate::standard::fuse::{fuse_gates, ratings};
use crate::standard::{self};

/// All fuses of the same rating: in each pole the same goes in.
fn twins<'a>(case: &Case<'a>, part: &Part) -> Vec<&'a Part> {
    let PartKind::Fuse(Fuse { current: mine, .. }) = part.kind else { return vec![] };
    let same = |p: &&Part| matches!(p.kind, PartKind::Fuse(Fuse { current, .. }) if current == mine);
    case.jig.parts.iter().filter(same).collect()
}

fn fitted(parts: &[&Part], a: f64, slow: bool) -> Way {
    Way::Fuses { slow, rating: Amount::new(a, "A"), fuses: parts.iter().map(|p| p.name.clone()).collect() }
}

fn of_rating(parts: &[&Part], a: f64) -> Proposal {
    let changes = parts.iter().map(|p| rating(p, "current", amperes(a))).collect();
    one(changes, fitted(parts, a, false))
}

/// The next ratings of at least `least` amperes.
pub(crate) fn larger(case: &Case, part: &Part, least: f64) -> Vec<Proposal> {
    let PartKind::Fuse(Fuse { current, .. }) = part.kind else { return vec![] };
    let twins = twins(case, part);
    let above = ratings().into_iter().filter(|a| *a > current && *a >= least);
    above.take(MOST).map(|a| of_rating(&twins, a)).collect()
}

/// The next smaller ratings of the fuse of that name, nearest first.
pub(crate) fn smaller(case: &Case, name: &str) -> Vec<Proposal> {
    let Some(part) = case.jig.parts.iter().find(|p| p.name == name) else { return vec![] };
    let PartKind::Fuse(Fuse { current, .. }) = part.kind else { return vec![] };
    let twins = twins(case, part);
    let mut below: Vec<f64> = ratings().into_iter().filter(|a| *a < current).collect();
    below.reverse();
    below.into_iter().take(MOST).map(|a| of_rating(&twins, a)).collect()
}

/// The largest ratings of the fuse of that name that are sure to open at `amperes`; nothing where it opens at them itself.
pub(crate) fn opening_at(case: &Case, name: &str, amperes: f64) -> Vec<Proposal> {
    let Some(part) = case.jig.parts.iter().find(|p| p.name == name) else { return vec![] };
    let PartKind::Fuse(Fuse { current, speed, breaking, .. }) = &part.kind else { return vec![] };
    let speed = speed.as_deref().unwrap_or("T");
    let opens = |a: f64| {
        fuse_gates(a, speed, *breaking).and_then(|g| g.least_melting_current()).is_some_and(|least| least <= amperes)
    };
    let twins = twins(case, part);
    let mut below: Vec<f64> = ratings().into_iter().filter(|a| a < current && opens(*a)).collect();
    below.dedup();
    below.reverse();
    below.into_iter().take(MOST).map(|a| of_rating(&twins, a)).collect()
}

/// A time-lag fuse, of the same rating or a little more.
pub(crate) fn slower(case: &Case, part: &Part) -> Vec<Proposal> {
    let PartKind::Fuse(Fuse { current, .. }) = &part.kind else { return vec![] };
    let twins = twins(case, part);
    let slow = |p: &&Part| {
        let table = Table::Part(p.name.clone());
        Change::Set { table, key: "speed", value: text("T") }
    };
    let is_slow = matches!(&part.kind, PartKind::Fuse(Fuse { speed: Some(s), .. }) if s.eq_ignore_ascii_case("T"));
    let way = |a: f64| {
        let mut changes: Vec<Change> = twins.iter().map(slow).filter(|_| !is_slow).collect();
        if a != *current {
            changes.extend(twins.iter().map(|p| rating(p, "current", amperes(a))));
        }
        one(changes, fitted(&twins, a, true))
    };
    let up = ratings().into_iter().filter(|a| *a >= *current && !(is_slow && *a == *current));
    up.take(MOST).map(way).collect()
}

/// A fuse that breaks at least `least` amperes.
pub(crate) fn breaking(part: &Part, least: f64) -> Vec<Proposal> {
    let sold = standard::fuse::sheet().iter().map(|sheet| sheet.breaking_capacity_a);
    let least = sold.filter(|a| *a >= least).min_by(f64::total_cmp).unwrap_or(least);
    let a = format!("{least} A");
    let quick_only = matches!(&part.kind, PartKind::Fuse(Fuse { current, speed: Some(speed), .. })
        if !standard::fuse::is_made(speed, *current, least) && standard::fuse::is_made("F", *current, least));
    let way = Way::FuseBreaking { amperes: least, quick_only, part: part.name.clone() };
    vec![one(vec![rating(part, "breaking", a)], way)]
}
