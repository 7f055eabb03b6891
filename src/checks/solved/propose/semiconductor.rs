//! Diodes and bridges: the row of the rectifier table that stands everything.

use super::{MOST, amperes, one, rating, volts};
use crate::checks::solved::lookup::{KINDS, lasting, reverse};
use crate::checks::{Case, Change, Proposal};
use crate::finding::said::Amount;
use crate::finding::{Quantity, Situation, Way};
use crate::jig::{Part, PartKind};
use crate::part::{Bridge, Diode};
use crate::standard;

/// What a rectifier has to stand: peak reverse volts, mean amperes, one surge.
fn load(case: &Case, part: &Part) -> (f64, f64, f64) {
    let items = || {
        (0..case.survey.model.items.len())
            .filter(|k| case.jig.parts[case.survey.model.items[*k].part].name == part.name)
    };
    let most = |values: Vec<Option<f64>>| values.into_iter().flatten().fold(0.0, f64::max);
    let back = most(items().flat_map(|k| KINDS.map(|kind| reverse(case, k, kind).map(|s| s.value))).collect());
    let mean =
        most(items().map(|k| lasting(case, k, Quantity::CurrentMean, Situation::Normal).map(|s| s.value)).collect());
    let surge = most(items().map(|k| case.survey.ledger.lasting.inrush[k].copied().map(|w| w.value)).collect());
    (back, mean, surge)
}

/// Rows of the table that stand it, with the usual margin for surges on the volts first.
pub(crate) fn rectifier(case: &Case, part: &Part) -> Vec<Proposal> {
    let (PartKind::Diode(Diode { voltage, current, surge, .. })
    | PartKind::Bridge(Bridge { voltage, current, surge, .. })) = part.kind
    else {
        return vec![];
    };
    let (back, mean, pulse) = load(case, part);
    let margin = standard::parts::reverse_margin().value;
    let stands = |r: &&standard::parts::Rectifier, volts: f64| {
        r.peak_reverse_v >= volts && r.mean_forward_a >= mean && (surge.is_none() || r.surge_8ms_a >= pulse)
    };
    let mut rows: Vec<&standard::parts::Rectifier> =
        standard::parts::rectifier().iter().filter(|r| stands(r, back * margin)).collect();
    rows.sort_by(|a, b| a.peak_reverse_v.total_cmp(&b.peak_reverse_v));
    // Without a row that has the margin, what stands the volts found.
    if rows.is_empty() {
        rows = standard::parts::rectifier().iter().filter(|r| stands(r, back)).collect();
    }
    let way = |r: &standard::parts::Rectifier| {
        let mut changes: Vec<Change> = vec![];
        let mut raise = |key, now: Option<f64>, to: f64, words: String| {
            if now.is_some_and(|n| n < to) {
                changes.push(rating(part, key, words));
            }
        };
        raise("voltage", voltage, r.peak_reverse_v, volts(r.peak_reverse_v));
        // A part with more of these than the row has already what it takes.
        raise("current", current.filter(|c| *c < mean), r.mean_forward_a, amperes(r.mean_forward_a));
        raise("surge", surge.filter(|s| *s < pulse), r.surge_8ms_a, amperes(r.surge_8ms_a));
        let way = Way::Rectifier {
            kind: part.kind.word(),
            volts: Amount::new(r.peak_reverse_v, "V"),
            amperes: Amount::new(current.unwrap_or(r.mean_forward_a).max(r.mean_forward_a), "A"),
            part: part.name.clone(),
        };
        one(changes, way)
    };
    rows.into_iter().map(way).filter(|p| !p.changes.is_empty()).take(MOST).collect()
}
