//! Contacts that a coil works: whether a setting in which they are dropped can last. Judges nothing.

use crate::finding::Quantity;
use crate::jig::{PartKind, SwitchContacts};
use crate::part::Switch;
use crate::standard;

use super::condition::Condition;
use super::context::SurveyContext;
use super::measured::measured;
use super::settings::switch_parts;

/// Positions of a switch with poles.
const ON: usize = 0;
const OFF: usize = 1;

/// Whether a relay that the condition has dropped gets what pulls it in: then that lasts for its pull-in time only. A relay that
/// fails to pull in is tried as a contact that stays open.
pub(super) fn pull_in(context: &SurveyContext, condition: &Condition) -> bool {
    switch_parts(context.jig).into_iter().enumerate().any(|(k, part)| {
        let PartKind::Switch(Switch { contacts: SwitchContacts::Poles(_), coil: Some(coil), .. }) =
            &context.jig.parts[part].kind
        else {
            return false;
        };
        condition.switches.get(k) == Some(&OFF) && pulls_in(context, condition, k, coil).unwrap_or(false)
    })
}

/// Whether the coil of one switch carries enough; `None` where that could not be solved.
fn pulls_in(context: &SurveyContext, condition: &Condition, switch: usize, coil: &str) -> Option<bool> {
    let item = context.model.items.iter().find(|item| context.jig.parts[item.part].name == coil)?;
    let amperes = |c: &Condition| {
        let solved = context.solve(&context.circuit(c), c.level).ok()?;
        Some(measured(item, &solved.branches)[Quantity::CurrentRms])
    };
    let dropped = amperes(condition)?;
    let mut pulled = Condition { faults: vec![], ..condition.clone() };
    pulled.switches[switch] = ON;
    let pulled = amperes(&pulled)?;
    Some(pulled > 0.0 && dropped >= standard::bench::relay_pulls_in().value * pulled)
}
