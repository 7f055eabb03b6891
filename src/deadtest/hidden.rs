//! What no measurement of the dead test tells, and why: too few volts, within the tolerances, out of reach of a lead, or the same
//! to any meter.

use super::choose::Chosen;
use super::network::{Branch, Change, Network};
use super::ohms::{self, Corner};
use super::reading::Reading;
use super::table::Table;
use super::wrong::Candidate;
use super::{Range, diode};
use crate::jig::{Jig, PartKind};
use crate::part::dead::Dead;

/// Why something stays hidden.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Why {
    /// What is wrong stands dark at a meter's volts, and so does the sound part.
    FewVolts,
    /// It changes the readings by less than the tolerances of the parts and of the meter.
    Tolerance,
    /// Leads on these nets would tell it.
    OutOfReach(Vec<String>),
    /// It is the same to a meter wherever the leads are put.
    Same,
    /// What insulation stands shows at its volts only.
    Strength,
    /// What a part stands shows at its volts only.
    Ratings,
    /// Whether a glow lamp strikes shows at its volts only.
    Strikes,
    /// Turns of a winding that touch each other change its resistance by less than the tolerances.
    ShortedTurns,
}

/// Something that stays hidden.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Hidden {
    /// Id of the fault or slip; for what no list names what it is about.
    pub fault: String,
    /// Why.
    pub why: Why,
}

/// Everything that stays hidden.
pub(super) fn hidden(
    jig: &Jig,
    network: &Network,
    table: &mut Table,
    chosen: &[Chosen],
    wrongs: &[Candidate],
) -> Vec<Hidden> {
    let columns: Vec<(Range, Vec<Reading>)> = chosen.iter().map(|c| (c.range, table.column(*c))).collect();
    let told = |v: usize| columns.iter().any(|(range, column)| column[0].differs(&column[v], *range));
    let ohms = table.all_ohms();
    let mut out = vec![];
    for (k, wrong) in wrongs.iter().enumerate().filter(|(k, _)| !told(k + 1)) {
        let near = ohms.iter().any(|place| apart(table.reading(*place, 0), table.reading(*place, k + 1)));
        let why = if near { Why::Tolerance } else { reach(jig, network, &table.settings, wrong) };
        out.push(Hidden { fault: wrong.id.clone(), why });
    }
    out.extend(always(jig));
    out
}

/// Whether two readings are not the same number.
fn apart(a: Reading, b: Reading) -> bool {
    const SAME: f64 = 1e-6;
    let far = |x: f64, y: f64| x != y && (x.is_infinite() || y.is_infinite() || (x - y).abs() > SAME * (x + y));
    far(a.low, b.low) || far(a.high, b.high)
}

/// Whether leads on the ends of what is changed would tell it.
fn reach(jig: &Jig, network: &Network, settings: &[Vec<usize>], wrong: &Candidate) -> Why {
    let mut at: Vec<usize> = vec![];
    for change in &wrong.changes {
        match change {
            Change::Remove(k) | Change::Bridge(k) | Change::Is(k, _) => at.extend(network.branches[*k].ends),
            Change::Join(a, b) => at.extend([*a, *b]),
            Change::Ends(k, ends) => at.extend(network.branches[*k].ends.into_iter().chain(*ends)),
        }
    }
    // Pins and contacts have nodes of their own; of those the net is meant.
    at.retain(|n| *n < jig.nets.len());
    at.sort_unstable();
    at.dedup();
    let variants = [network.changed(&[]), network.changed(&wrong.changes)];
    for setting in settings {
        if let Some([a, b]) = told_between(network, &variants, &at, setting) {
            let reached = |n: usize| network.points.iter().any(|p| p.net == n);
            let new: Vec<usize> = [a, b].into_iter().filter(|n| !reached(*n)).collect();
            let nets = if new.is_empty() { vec![a, b] } else { new };
            return Why::OutOfReach(nets.into_iter().map(|n| jig.nets[n].name.clone()).collect());
        }
    }
    let dark = |b: &Branch| matches!(b.dead, Dead::Dark | Dead::Junction(_));
    let changed = wrong.changes.iter().any(|c| match c {
        Change::Remove(k) | Change::Bridge(k) | Change::Is(k, _) | Change::Ends(k, _) => dark(&network.branches[*k]),
        Change::Join(..) => false,
    });
    if changed { Why::FewVolts } else { Why::Same }
}

fn told_between(network: &Network, variants: &[Vec<Branch>; 2], at: &[usize], setting: &[usize]) -> Option<[usize; 2]> {
    let [sound, wrong] = [0, 1]
        .map(|v: usize| Corner::BOTH.map(|corner| ohms::between(&variants[v], network.nodes, at, setting, corner)));
    let of = |m: &[Vec<Vec<f64>>; 2], i: usize, j: usize| Reading::on(m[0][i][j], m[1][i][j], Range::Ohms);
    for i in 0..at.len() {
        for j in i + 1..at.len() {
            if of(&sound, i, j).differs(&of(&wrong, i, j), Range::Ohms) {
                return Some([at[i], at[j]]);
            }
        }
    }
    for (i, a) in at.iter().enumerate() {
        for (j, b) in at.iter().enumerate() {
            let volts = |v: &[Branch]| {
                let [low, high] = Corner::BOTH.map(|corner| diode::volts(v, [*a, *b], setting, corner));
                Reading::on(low, high, Range::Diode)
            };
            if i != j && volts(&variants[0]).differs(&volts(&variants[1]), Range::Diode) {
                return Some([*a, *b]);
            }
        }
    }
    None
}

/// What no meter tells of any tool.
fn always(jig: &Jig) -> Vec<Hidden> {
    let mut out = vec![Hidden { fault: "voltage-ratings".into(), why: Why::Ratings }];
    if !jig.insulations.is_empty() {
        out.push(Hidden { fault: "insulation-strength".into(), why: Why::Strength });
    }
    for part in &jig.parts {
        if let PartKind::Neon(_) = part.kind {
            out.push(Hidden { fault: format!("{}-does-not-strike", part.name), why: Why::Strikes });
        }
        if let PartKind::Transformer(_) | PartKind::Winding(_) = part.kind {
            out.push(Hidden { fault: format!("{}-shorted-turns", part.name), why: Why::ShortedTurns });
        }
    }
    out
}
