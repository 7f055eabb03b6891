//! How hard a part is loaded against its own rating, and whether a thermal fuse on it opens. Judges nothing.

use crate::circuit::Quantities;
use crate::finding::{Quantity, Situation};
use crate::jig::{Jig, PartKind};
use crate::part::{Inductor, Role, ThermalFuse, Winding};
use crate::standard::link::{self, SelfHeated};

use super::ledger::{Ledger, Outcome};
use super::measured::measured;
use super::model::{Item, Model, ProtectorKind};

/// What a part heats itself by, where that is known.
pub(crate) fn self_heated(kind: &PartKind) -> Option<SelfHeated> {
    match kind {
        PartKind::Resistor(_) => Some(SelfHeated::Resistor),
        PartKind::Transformer(_) | PartKind::Winding(_) | PartKind::Inductor(_) => Some(SelfHeated::Winding),
        PartKind::Capacitor(_)
        | PartKind::Diode(_)
        | PartKind::Led(_)
        | PartKind::Suppressor(_)
        | PartKind::Bridge(_)
        | PartKind::Neon(_)
        | PartKind::Filament(_)
        | PartKind::Fuse(_)
        | PartKind::ThermalFuse(_)
        | PartKind::Switch(_)
        | PartKind::Varistor(_)
        | PartKind::Thermistor(_)
        | PartKind::Psu(_)
        | PartKind::Load(_)
        | PartKind::Wire(_)
        | PartKind::Socket(_) => None,
    }
}

/// What an item is heated by and its rating; `None` where the file states none.
fn rating(jig: &Jig, model: &Model, k: usize) -> Option<(Quantity, f64)> {
    let item = &model.items[k];
    let kind = &jig.parts[item.part].kind;
    let quantity = kind.overheats_by(item.role)?;
    if let PartKind::Transformer(t) = kind {
        let first = model.items.iter().position(|i| i.part == item.part)?;
        return Some((quantity, t.rated_amperes(k - first)?));
    }
    if let PartKind::Winding(Winding { current, .. }) | PartKind::Inductor(Inductor { current, .. }) = kind {
        return Some((quantity, (*current)?));
    }
    let rated = kind.ratings(item.role).into_iter().find(|r| r.quantity == quantity);
    Some((quantity, rated?.value?))
}

/// How many times its rating a part carries, by the hardest loaded of its items; 0 where it has no rating.
fn times_rated(jig: &Jig, model: &Model, part: usize, value: impl Fn(usize, &Item, Quantity) -> Option<f64>) -> f64 {
    let of_part = model.items.iter().enumerate().filter(|(_, i)| i.part == part);
    let times = of_part.filter_map(|(k, item)| {
        let (quantity, rated) = rating(jig, model, k)?;
        Some(value(k, item, quantity)? / rated)
    });
    times.fold(0.0, f64::max)
}

/// Seconds within which a thermal fuse is sure to open that sits on a part, with these currents.
pub(super) fn opens_within(jig: &Jig, model: &Model, fuse: usize, on: usize, q: &[Quantities]) -> Option<f64> {
    let PartKind::ThermalFuse(ThermalFuse { temperature, .. }) = &jig.parts[model.items[fuse].part].kind else {
        return None;
    };
    let times = times_rated(jig, model, on, |_, item, quantity| Some(measured(item, q)[quantity]));
    link::opens(*temperature, self_heated(&jig.parts[on].kind), times).then(|| link::opens_within().value)
}

/// Whether a thermal fuse, by its item, is made to break so many amperes; one that states none is taken to.
pub(super) fn breaks(jig: &Jig, model: &Model, fuse: usize, amperes: f64) -> bool {
    let PartKind::ThermalFuse(ThermalFuse { current, .. }) = &jig.parts[model.items[fuse].part].kind else {
        return false;
    };
    current.is_none_or(|rated| amperes <= link::breaks().value * rated)
}

/// Whether a thermal fuse, by its part, opens in a condition without a fault.
pub(crate) fn opens_in_normal_use(model: &Model, ledger: &Ledger, fuse: usize) -> bool {
    let its_own = |by: usize| match model.protectors[by].kind {
        ProtectorKind::Thermal(item, _) => model.items[item].part == fuse,
        ProtectorKind::Fuse(_)
        | ProtectorKind::Fusible(_)
        | ProtectorKind::PlugFuse(_)
        | ProtectorKind::Breaker(..)
        | ProtectorKind::Rcd(..) => false,
    };
    ledger.tried.iter().filter(|t| t.condition.faults.is_empty()).any(|t| match &t.outcome {
        Outcome::Cleared { by, also, .. } => its_own(*by) || also.iter().any(|(k, _)| its_own(*k)),
        Outcome::Solved | Outcome::Unsolved(_) => false,
    })
}

/// Kelvins that a part makes itself warmer than the air in normal use: as it goes on, or, where something opens, as it was
/// before.
pub(crate) fn rise_in_normal_use(jig: &Jig, model: &Model, ledger: &Ledger, part: usize, opens: bool) -> f64 {
    let Some(heated) = self_heated(&jig.parts[part].kind) else { return 0.0 };
    let lasting = &ledger.lasting;
    let worst = |k: usize, item: &Item, quantity: Quantity| {
        if opens {
            return ledger.get(k, quantity, Situation::Normal).map(|w| w.value);
        }
        match item.role {
            // The mains may be high for an hour, but a winding's rating allows for it.
            Role::Primary | Role::Secondary => lasting.at_nominal[k][quantity].copied().map(|w| w.value),
            Role::Whole | Role::Contact | Role::Arm | Role::Input | Role::Output => {
                lasting.worst[k][quantity][Situation::Normal].copied().map(|w| w.value)
            }
        }
    };
    heated.rise(times_rated(jig, model, part, worst))
}
