//! Switches and wires, and the current of thermal fuses: the volts they stand, the current they carry in normal use and
//! that of d.c. which contacts break. A part
//! is told once, by its first contact.

use crate::checks::{Case, Draft, OWN_RATING, Seen};
use crate::finding::said::{Amount, Contact, ContactCure};
use crate::finding::{CheckId, Compared, Quantity, Signal, Situation, When};
use crate::jig::{Ends, Part, PartKind};
use crate::part::{Switch, Wire};
use crate::standard::{self, Level, Limit};

use super::lookup::{alternating, at_nominal, direct, item_name, lasting, nominal_volts, to_nominal, unbroken};
use super::propose;

/// What a contact is rated for.
pub(super) struct ContactRating {
    /// Volts.
    pub(super) volts: Option<f64>,
    /// Amperes.
    pub(super) amperes: Option<Limit>,
}

/// What is found of every part that `rating` knows: volts first, then current, then the current that it breaks.
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
            breaks(case, check, k, part),
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
    let mains = ends.iter().all(|n| case.is_mains(*n)) && nominal_volts(case) > 0.0;
    let nominal = (nominal_volts(case), When::NominalSupply);
    let over = |value: f64| value > v * (1.0 + 1e-3);
    let solved = if wire { insulated(case, ends, v) } else { open(case, k) };
    let solved = solved.map(|s| (s.value * to_nominal(case), When::Tried(s.at)));
    let (value, when) = match solved.filter(|s| over(s.0) && (!mains || s.0 > nominal.0)) {
        Some(solved) => solved,
        None => Some(nominal).filter(|n| mains && over(n.0))?,
    };
    let tried = !matches!(when, When::NominalSupply);
    let wire_doubt = wire && value <= standard::bench::wire_between().value * v;
    // A run capacitor lifts a motor's volts above the mains: a gap for the mains stands that, though not as rated.
    let on_dc = direct(case, k, Situation::Normal).is_some_and(|s| over(s.value * to_nominal(case)));
    let doubt = tried && (wire_doubt || !wire && mains && !on_dc);
    let signal = if doubt { Signal::Caution } else { Signal::Warning };
    let d = case.about_part(check, signal, part, "voltage").value(Compared::VoltsRms, value, "V");
    let d = d.when(when).limit(v, OWN_RATING).proposes(propose::contact_volts(part, value));
    let said = Contact::Volts {
        part: part.name.clone(),
        volts: Amount::new(value, "V"),
        limit: Amount::new(v, "V"),
        insulation: wire,
    };
    Some((d, said))
}

/// The volts across an open contact.
fn open(case: &Case, k: usize) -> Option<Seen> {
    lasting(case, k, Quantity::VoltageRms, Situation::Normal)
}

/// The volts that the insulation of a wire keeps off, where they are more than it is made for: those of whatever hangs on
/// it. Of d.c. it stands more, and behind a transformer they may rise without load as a fuse's may.
fn insulated(case: &Case, ends: Ends, v: f64) -> Option<Seen> {
    let joined = ends.map(|n| case.nets().hard_joined(n));
    let items = case.survey.model.items.iter().enumerate();
    let hangs = items.filter(|(_, i)| i.ends.iter().any(|n| joined.iter().any(|j| j.has(*n))));
    let rise = if ends.iter().all(|n| case.is_mains(*n)) { 1.0 } else { rise(case) };
    let most = v * rise;
    let on_dc = standard::bench::wire_on_dc().value;
    let over = |s: &Seen, limit: f64| s.value * to_nominal(case) > limit * (1.0 + 1e-3);
    let volts = hangs.filter_map(|(k, _)| {
        let ac = alternating(case, k, Situation::Normal).filter(|s| over(s, most));
        ac.or_else(|| direct(case, k, Situation::Normal).filter(|s| over(s, on_dc * most)))
    });
    volts.reduce(|most, next| if next.value > most.value * (1.0 + 1e-9) { next } else { most })
}

/// How much the volts behind a transformer may rise at high mains and without load.
pub(super) fn rise(case: &Case) -> f64 {
    case.jig.supply.mains.as_ref().map_or(1.0, |m| m.scale(Level::High))
}

/// A steady direct current that a contact made for a.c. does not break: the amperes at the volts that stand across it
/// then.
fn breaks(case: &Case, check: CheckId, k: usize, part: &Part) -> Option<(Draft, Contact)> {
    let PartKind::Switch(Switch { dc_voltage, .. }) = part.kind else { return None };
    let volts = direct(case, k, Situation::Normal)?;
    let volts = volts.value * to_nominal(case);
    if dc_voltage.is_some_and(|stands| volts <= stands * rise(case)) {
        return None;
    }
    let s = unbroken(case, k, Situation::Normal)?;
    let s = Seen { value: s.value * to_nominal(case), ..s };
    let limit = standard::bench::dc_break(volts).filter(|l| s.value > l.value)?;
    let sure = s.value > standard::bench::dc_break_doubt().value * limit.value;
    let signal = if sure { Signal::Warning } else { Signal::Caution };
    let d = case.about_part(check, signal, part, "current").over(Compared::CurrentMean, &s, &limit);
    let said = Contact::Arc {
        item: item_name(case, k).to_string(),
        current: s.amount(),
        volts: Amount::new(volts, "V"),
        limit: (&limit).into(),
    };
    Some((d, said))
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
