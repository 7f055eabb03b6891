//! What the words of box-temperature and hot-surface have in common.

use super::finding::minutes;
use super::{Known, join};
use crate::finding::Ordinal;
use crate::finding::said::{Amount, HeatAsks};
use crate::standard::bench;
use crate::survey::ledger::Outcome;

/// In which condition, and on what that the file leaves open.
pub(super) fn under(known: &Known, at: Option<Ordinal>, asks: &[HeatAsks]) -> String {
    let places = places(asks);
    let bare = asks.contains(&HeatAsks::Finish);
    match (at, places.is_empty(), bare) {
        (Some(at), ..) => format!("With one fault ({}) {}", known.fault(at), until(known, at)),
        (None, true, false) => String::new(),
        (None, true, true) => "If its metal is bare, ".into(),
        (None, false, false) => format!("If {} inside, ", stands(&places)),
        (None, false, true) => format!("If {} inside and its metal is bare, ", stands(&places)),
    }
}

/// How long it lasts, where a device ends it.
fn until(known: &Known, at: Ordinal) -> String {
    match known.survey.ledger.tried_at(at).map(|t| &t.outcome) {
        Some(Outcome::Cleared { by, within, judged_whole: false, .. }) => {
            let long = minutes(&Amount::new(*within, "s"));
            format!("up to {long} until {} opens, ", known.device(*by))
        }
        Some(Outcome::Cleared { judged_whole: true, .. } | Outcome::Solved | Outcome::Unsolved(_)) | None => {
            String::new()
        }
    }
}

/// Degrees, up to where things char.
pub(super) fn degrees(celsius: f64) -> String {
    let most = bench::chars().value;
    if celsius > most {
        format!("more than {most:.0} °C, at which plastics and insulation char and burn")
    } else {
        format!("{celsius:.0} °C")
    }
}

/// What to change, or to write.
pub(super) fn remedy(cure: &Amount, asks: &[HeatAsks], at: Option<Ordinal>) -> String {
    let places = places(asks);
    let mut write = vec![];
    if !places.is_empty() {
        write.push(format!("place = \"outside\" (or \"inside\") on {}", join::all(&places)));
    }
    if asks.contains(&HeatAsks::Finish) {
        write.push("finish = \"painted\" (or \"bare\") in [enclosure]".into());
    }
    if !write.is_empty() {
        return format!("write {}; if it is so, at most {cure} in this box", write.join(" and "));
    }
    let most = format!("a larger or ventilated box, or at most {cure} in this one");
    if at.is_some() { format!("{most}; or a thermal fuse on the part that heats it then") } else { most }
}

fn places(asks: &[HeatAsks]) -> Vec<String> {
    let place = |ask: &HeatAsks| match ask {
        HeatAsks::Place(part) => Some(part.clone()),
        HeatAsks::Finish => None,
    };
    asks.iter().filter_map(place).collect()
}

fn stands(places: &[String]) -> String {
    format!("{} {}", join::all(places), if places.len() == 1 { "stands" } else { "stand" })
}
