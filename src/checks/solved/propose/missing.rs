//! Ratings the file does not state, as requirements: what a part fitted there must have at least. Never what a part that is
//! there has; that can only be read off it.

use super::resistor::required;
use super::{amperes, one, rating, volts, watts};
use crate::checks::solved::lookup::{next_of, nominal_volts, volts_to_earth};
use crate::checks::{Case, Change, Proposal};
use crate::finding::way::Rating;
use crate::finding::{Quantity, Way};
use crate::jig::{Part, PartKind};
use crate::standard;

/// One proposal that fills in all of `keys`, where every one of them follows from what was solved.
pub(crate) fn ratings(case: &Case, part: &Part, keys: &[&str]) -> Vec<Proposal> {
    let Some(k) = case.survey.model.items.iter().position(|i| case.jig.parts[i.part].name == part.name) else {
        return vec![];
    };
    let all: Option<Vec<(&'static str, Rating)>> = keys.iter().map(|key| needed(case, k, part, key)).collect();
    let Some(all) = all.filter(|a| !a.is_empty()) else { return vec![] };
    let changes: Vec<Change> = all.iter().map(|(key, r)| rating(part, key, written(*r))).collect();
    vec![one(changes, Way::ReadOff { ratings: all, part: part.name.clone() })]
}

/// As it stands in a jig file.
fn written(r: Rating) -> String {
    match r {
        Rating::Watts(w) => watts(w),
        Rating::Volts(v) => volts(v),
        Rating::Amperes(a) => amperes(a),
        Rating::Breaking(a) => format!("{a} A"),
    }
}

fn needed(case: &Case, k: usize, part: &Part, key: &str) -> Option<(&'static str, Rating)> {
    let mains = nominal_volts(case);
    match (&part.kind, key) {
        (PartKind::Resistor(_), "power") => Some(("power", Rating::Watts(required(case, k, part)?.0))),
        (PartKind::Resistor(_), "voltage") => Some(("voltage", Rating::Volts(required(case, k, part)?.1))),
        (PartKind::Fuse(_) | PartKind::Switch(_), "voltage") if mains > 0.0 => {
            let sold = standard::fuse::sheet().iter().map(|s| s.rated_v);
            Some(("voltage", Rating::Volts(next_of(sold, mains)?)))
        }
        (PartKind::Fuse(_), "breaking") if mains > 0.0 => {
            Some(("breaking", Rating::Breaking(standard::bench::prospective_max(volts_to_earth(case)).value)))
        }
        (PartKind::Switch(_), "current") => {
            let worst = case.nominal(k, Quantity::CurrentRms)?;
            Some(("current", Rating::Amperes(next_of(standard::fuse::ratings().into_iter(), worst)?)))
        }
        _ => None,
    }
}
