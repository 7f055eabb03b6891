//! Switches, wires and thermal fuses: the volts they stand and the current they carry in normal use. A part
//! is told once, by its first contact.

use crate::checks::{Case, Draft, OWN_RATING};
use crate::finding::said::{Amount, Contact, ContactCure};
use crate::finding::{CheckId, Compared, Quantity, Signal, Situation, When};
use crate::jig::{Part, PartKind};
use crate::part::Wire;
use crate::standard::{self, Limit};

use super::lookup::{at_nominal, item_name, lasting, nominal_volts, to_nominal};
use super::propose;

/// What a contact is rated for.
pub(super) struct ContactRating {
    /// Volts.
    pub(super) volts: Option<f64>,
    /// Amperes.
    pub(super) amperes: Option<Limit>,
}

/// What is found of every part that `rating` knows: volts first, then current.
pub(super) fn judge(
    case: &Case,
    check: CheckId,
    rating: impl Fn(&PartKind) -> Option<ContactRating>,
) -> Vec<(Draft, Contact)> {
    let mut done: Vec<usize> = vec![];
    let mut out = vec![];
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        let Some(contact) = rating(&part.kind).filter(|_| !done.contains(&item.part)) else { continue };
        let found = [
            contact.volts.and_then(|v| stands(case, check, k, part, v)),
            contact.amperes.and_then(|a| carries(case, check, k, part, &a)),
        ];
        if found.iter().any(Option::is_some) {
            done.push(item.part);
        }
        out.extend(found.into_iter().flatten());
    }
    out
}

/// Volts: a mains net may stand at the whole nominal supply whatever the other end does.
fn stands(case: &Case, check: CheckId, k: usize, part: &Part, v: f64) -> Option<(Draft, Contact)> {
    let wire = matches!(part.kind, PartKind::Wire(_));
    let ends = case.survey.model.items[k].ends;
    let mains = ends.iter().all(|n| case.is_mains(*n));
    let (value, when) = if mains && nominal_volts(case) > 0.0 {
        (nominal_volts(case), When::NominalSupply)
    } else if wire {
        return None;
    } else {
        let s = lasting(case, k, Quantity::VoltageRms, Situation::Normal)?;
        (s.value * to_nominal(case), When::Tried(s.at))
    };
    (value > v * (1.0 + 1e-3)).then(|| {
        let d = case.about_part(check, Signal::Warning, part, "voltage").value(Compared::VoltsRms, value, "V");
        let d = d.when(when).limit(v, OWN_RATING).proposes(propose::contact_volts(part, value));
        let said = Contact::Volts {
            part: part.name.clone(),
            volts: Amount::new(value, "V"),
            limit: Amount::new(v, "V"),
            insulation: wire,
        };
        (d, said)
    })
}

fn carries(case: &Case, check: CheckId, k: usize, part: &Part, limit: &Limit) -> Option<(Draft, Contact)> {
    let s = at_nominal(case, k, Quantity::CurrentRms).filter(|s| s.value > limit.value * (1.0 + 1e-3))?;
    let (cure, proposals) = if let PartKind::Wire(Wire { area, .. }) = part.kind {
        let cure = area_for(s.value).map_or(ContactCure::Thicker, |a| ContactCure::Area(Amount::new(a, "m²")));
        (cure, propose::thicker(part, area.unwrap_or(0.0), s.value))
    } else {
        (ContactCure::AtLeast(s.amount()), propose::current_rating(part, s.value))
    };
    let d = case.about_part(check, Signal::Warning, part, "current").over(Compared::CurrentRms, &s, limit);
    let item = item_name(case, k).to_string();
    Some((d.proposes(proposals), Contact::Current { item, current: s.amount(), limit: limit.into(), cure }))
}

/// The smallest area of the cord table that carries a current.
pub(super) fn area_for(amperes: f64) -> Option<f64> {
    let rows = standard::cord::uk_cord().iter().filter(|r| r.current_a >= amperes && !r.id.ends_with("old"));
    rows.map(|r| r.area_mm2 * 1e-6).min_by(f64::total_cmp)
}
