//! Small helpers of the checks of this room: looking values up in the survey. Judges nothing.

use crate::checks::{Case, OWN_RATING, Seen};
use crate::finding::{Quantity, Signal, Situation};
use crate::standard::{Limit, Mains};
use crate::survey::gravest::Ordinal;
use crate::survey::ledger::Outcome;
use crate::survey::records::Worst;

/// The kinds that last, normal first.
pub(super) const KINDS: [Situation; 2] = [Situation::Normal, Situation::SingleFault];

/// One step down for what takes a fault to happen.
pub(super) fn graded(normal: Signal, kind: Situation) -> Signal {
    match (kind, normal) {
        (Situation::Normal, s) => s,
        (_, Signal::Danger) => Signal::Warning,
        (_, Signal::Warning) => Signal::Caution,
        (_, _) => Signal::Notice,
    }
}

/// A worst value with its unit and kind.
pub(super) fn seen(w: Worst, unit: &'static str, kind: Situation) -> Seen {
    Seen { value: w.value, unit, at: w.at, kind }
}

/// Worst value of a quantity in conditions that nothing ends.
pub(super) fn lasting(case: &Case, item: usize, quantity: Quantity, kind: Situation) -> Option<Seen> {
    let w = case.survey.ledger.lasting.worst.get(item)?[quantity][kind].copied()?;
    Some(seen(w, quantity.unit(), kind))
}

/// Worst value with one fault, where every fuse is sure to carry on.
pub(super) fn unended(case: &Case, item: usize, quantity: Quantity) -> Option<Seen> {
    let w = case.survey.ledger.lasting.unended.get(item)?[quantity].copied()?;
    Some(seen(w, quantity.unit(), Situation::SingleFault))
}

/// What heats an item most until a device opens that takes its time: the value, and what heats it as much for ever.
pub(super) fn slow(case: &Case, item: usize, quantity: Quantity) -> Option<(Seen, f64)> {
    let heating = case.survey.ledger.lasting.slow.heating.get(item)?.copied()?;
    Some((seen(heating.worst, quantity.unit(), Situation::SingleFault), heating.as_lasting))
}

/// Worst value at nominal supply without a fault.
pub(super) fn at_nominal(case: &Case, item: usize, quantity: Quantity) -> Option<Seen> {
    let w = case.survey.ledger.lasting.at_nominal.get(item)?[quantity].copied()?;
    Some(seen(w, quantity.unit(), Situation::Normal))
}

/// Worst volts by which the first end of an item gets below the second, in conditions that nothing ends.
pub(super) fn reverse(case: &Case, item: usize, kind: Situation) -> Option<Seen> {
    let w = case.survey.ledger.lasting.reverse.get(item)?[kind].copied()?;
    Some(seen(w, "V", kind))
}

/// Worst volts by which the first end of an item gets below the second until a device opens that takes its time.
pub(super) fn slow_reverse(case: &Case, item: usize) -> Option<Seen> {
    let w = case.survey.ledger.lasting.slow.reverse.get(item)?.copied()?;
    Some(seen(w, "V", Situation::SingleFault))
}

/// Worst volts across an item until a device opens that takes its time.
pub(super) fn slow_volts(case: &Case, item: usize) -> Option<Seen> {
    let w = case.survey.ledger.lasting.slow.volts.get(item)?.copied()?;
    Some(seen(w, "V", Situation::SingleFault))
}

/// Worst volts that an item swings to both sides of zero, in conditions that nothing ends.
pub(super) fn swing(case: &Case, item: usize, kind: Situation) -> Option<Seen> {
    let w = case.survey.ledger.lasting.swing.get(item)?[kind].copied()?;
    Some(seen(w, "V", kind))
}

/// Worst alternating part of an item's volts, r.m.s., in conditions that nothing ends.
pub(super) fn alternating(case: &Case, item: usize, kind: Situation) -> Option<Seen> {
    let w = case.survey.ledger.lasting.alternating.get(item)?[kind].copied()?;
    Some(seen(w, "V", kind))
}

/// Most mean amperes into the output of a module, in conditions that nothing ends.
pub(super) fn taken_back(case: &Case, item: usize, kind: Situation) -> Option<Seen> {
    let w = case.survey.ledger.lasting.taken_back.get(item)?[kind].copied()?;
    Some(seen(w, "A", kind))
}

/// Worst mean of an item's volts, in conditions that nothing ends.
pub(super) fn direct(case: &Case, item: usize, kind: Situation) -> Option<Seen> {
    let w = case.survey.ledger.lasting.direct.get(item)?[kind].copied()?;
    Some(seen(w, "V", kind))
}

/// Most amperes through an item of a current that never comes to zero, in conditions that nothing ends.
pub(super) fn unbroken(case: &Case, item: usize, kind: Situation) -> Option<Seen> {
    let w = case.survey.ledger.lasting.unbroken.get(item)?[kind].copied()?;
    Some(seen(w, "A", kind))
}

/// Highest volts across an item when it is switched on, without a fault.
pub(super) fn inrush_volts(case: &Case, item: usize) -> Option<Seen> {
    let w = case.survey.ledger.lasting.inrush_volts.get(item)?.copied()?;
    Some(seen(w, "V", Situation::Normal))
}

/// The larger of what lasts and what is met while a charged thing empties.
pub(super) fn larger(lasting: Option<Seen>, emptying: Option<Seen>) -> Option<Seen> {
    [lasting, emptying].into_iter().flatten().max_by(|a, b| a.value.total_cmp(&b.value))
}

/// Highest volts across an item while a charged thing empties.
pub(super) fn emptying_volts(case: &Case, item: usize, kind: Situation) -> Option<Seen> {
    let w = case.survey.ledger.lasting.put_on.get(item)?[kind].volts.copied()?;
    Some(seen(w, "V", kind))
}

/// Highest volts by which the first end of an item gets below the second while a charged thing empties.
pub(super) fn emptying_reverse(case: &Case, item: usize, kind: Situation) -> Option<Seen> {
    let w = case.survey.ledger.lasting.put_on.get(item)?[kind].reverse.copied()?;
    Some(seen(w, "V", kind))
}

/// Nominal over high supply: brings a value of the high corner to the nominal supply.
pub(super) fn to_nominal(case: &Case) -> f64 {
    case.jig.supply.mains.as_ref().map_or(1.0, |m| m.nominal / m.high)
}

/// Nominal volts between the pins, 0 without mains.
pub(super) fn nominal_volts(case: &Case) -> f64 {
    case.jig.supply.mains.as_ref().map_or(0.0, |m| m.nominal)
}

/// Nominal volts of a live pin to earth, 0 without mains.
pub(super) fn volts_to_earth(case: &Case) -> f64 {
    case.jig.supply.mains.as_ref().map_or(0.0, Mains::to_earth)
}

/// The name of the fuse that is strained and yet not sure to open in the condition of a value, with its amperes.
pub(super) fn strained(case: &Case, at: Ordinal) -> Option<(String, f64)> {
    let (k, amperes) = case.survey.ledger.tried_at(at)?.strained?;
    Some((crate::wording::device::name(&case.survey.model, k).to_string(), amperes))
}

/// The protective device that ends the condition, where one does, and within how many seconds. None where all is judged
/// as if it went on.
pub(super) fn ends_within(case: &Case, at: Ordinal) -> Option<(usize, f64)> {
    match case.outcome(at)? {
        Outcome::Cleared { by, within, judged_whole: false, .. } => Some((*by, *within)),
        Outcome::Cleared { judged_whole: true, .. } | Outcome::Solved | Outcome::Unsolved(_) => None,
    }
}

/// Whether a part was written with a name of its own for the item (`SW1.2`, `T1.primary`): the words for it.
pub(super) fn item_name<'a>(case: &Case<'a>, item: usize) -> &'a str {
    &case.survey.model.items[item].name
}

/// A limit that stands in the jig file itself: what the part is rated for.
pub(super) fn rated(value: f64, unit: &'static str) -> Limit {
    Limit { value, unit, source: OWN_RATING.into(), id: "jig".into() }
}

/// The next rated value of a row of ratings, at least `least`.
pub(super) fn next_of(ratings: impl Iterator<Item = f64>, least: f64) -> Option<f64> {
    ratings.filter(|r| *r >= least * (1.0 - 1e-9)).min_by(f64::total_cmp)
}
