//! Switches, wires and thermal fuses: the volts they stand and the current they carry in normal use. A part
//! is told once, by its first contact.

use crate::checks::{Case, Draft, OWN_RATING};
use crate::finding::Quantity;
use crate::finding::{CheckId, Kind, Signal};
use crate::jig::{Part, PartKind};
use crate::part::Wire;
use crate::standard::{self, Limit};

use super::propose;
use super::words::{at_nominal, item_name, lasting, nominal_volts, show, to_nominal};

/// What a contact is rated for.
pub(super) struct Contact {
    /// Volts.
    pub(super) volts: Option<f64>,
    /// Amperes.
    pub(super) amperes: Option<Limit>,
}

/// Tells of every part that `rating` knows: volts first, then current.
pub(super) fn judge(case: &Case, check: CheckId, rating: impl Fn(&PartKind) -> Option<Contact>, out: &mut Vec<Draft>) {
    let mut told: Vec<usize> = vec![];
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        let Some(contact) = rating(&part.kind).filter(|_| !told.contains(&item.part)) else { continue };
        let found = [
            contact.volts.and_then(|v| stands(case, check, k, part, v)),
            contact.amperes.and_then(|a| carries(case, check, k, part, &a)),
        ];
        if found.iter().any(Option::is_some) {
            told.push(item.part);
        }
        out.extend(found.into_iter().flatten());
    }
}

/// Volts: a mains net may stand at the whole nominal supply whatever the other end does.
fn stands(case: &Case, check: CheckId, k: usize, part: &Part, v: f64) -> Option<Draft> {
    let wire = matches!(part.kind, PartKind::Wire(_));
    let ends = case.survey.model.items[k].ends;
    let mains = ends.iter().all(|n| case.is_mains(*n));
    let (value, found_in) = if mains && nominal_volts(case) > 0.0 {
        (nominal_volts(case), None)
    } else if wire {
        return None;
    } else {
        let s = lasting(case, k, Quantity::VoltageRms, Kind::Normal)?;
        (s.value * to_nominal(case), Some(s.at))
    };
    (value > v * (1.0 + 1e-3)).then(|| {
        let what = if wire { "its insulation is made for" } else { "it is made for" };
        let d = case.about_part(check, Signal::Warning, part, "voltage").value("volts r.m.s.", value, "V");
        let d = match found_in {
            Some(at) => d.found_in(at),
            None => d.condition("mains nominal"),
        };
        d.limit(v, OWN_RATING)
            .says(
                format!("{} works at {}, {what} {}", part.name, show(value, "V"), show(v, "V")),
                format!("use one rated for at least {} a.c.", show(value, "V")),
            )
            .proposes(propose::contact_volts(part, value))
    })
}

fn carries(case: &Case, check: CheckId, k: usize, part: &Part, limit: &Limit) -> Option<Draft> {
    let s = at_nominal(case, k, Quantity::CurrentRms).filter(|s| s.value > limit.value * (1.0 + 1e-3))?;
    let remedy = match part.kind {
        PartKind::Wire(_) => {
            area_for(s.value).map_or("use a thicker wire".into(), |a| format!("use at least {}", show(a, "m²")))
        }
        _ => format!("use one rated for at least {}", show(s.value, "A")),
    };
    Some(
        case.about_part(check, Signal::Warning, part, "current")
            .over("current r.m.s.", &s, limit)
            .says(
                format!(
                    "{} carries {} in normal use, made for {}: it overheats",
                    item_name(case, k),
                    show(s.value, "A"),
                    show(limit.value, "A")
                ),
                remedy,
            )
            .proposes(match part.kind {
                PartKind::Wire(Wire { area, .. }) => propose::thicker(part, area.unwrap_or(0.0), s.value),
                _ => propose::current_rating(part, s.value),
            }),
    )
}

/// The smallest area of the cord table that carries a current.
pub(super) fn area_for(amperes: f64) -> Option<f64> {
    let rows = standard::cord::uk_cord().iter().filter(|r| r.current_a >= amperes && !r.id.ends_with("old"));
    rows.map(|r| r.area_mm2 * 1e-6).min_by(f64::total_cmp)
}
