//! What a protective device ends only after a time that is long enough to heat something: it is no lasting condition, and
//! yet a small part comes to its final temperature in it, a box to a part of it. Judges nothing.

use crate::circuit::Quantities;
use crate::finding::Quantity;
use crate::jig::PartKind;
use crate::standard::bench::{Warms, electrolytic_vents};

use super::clearing::Clearing;
use super::condition::Condition;
use super::context::SurveyContext;
use super::gravest::{Graded, Gravest, Ordinal};
use super::heat;
use super::measured::{backwards, measured};
use super::model::ProtectorKind;
use super::records::{Hot, Worst};
use super::settle::broken;

/// What heats an item until a device opens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Heating {
    /// What it takes or carries, and where.
    pub worst: Worst,
    /// The same, lessened to what would heat it as much if it went on for ever.
    pub as_lasting: f64,
}

impl Graded for Heating {
    fn grade(&self) -> [f64; 2] {
        [self.as_lasting, self.worst.value]
    }

    fn at(&self) -> Ordinal {
        self.worst.at
    }
}

/// Worst values of what is ended slowly.
#[derive(Debug, Clone, Default)]
pub(crate) struct Slow {
    /// [item]: the quantity that heats it.
    pub heating: Vec<Gravest<Heating>>,
    /// [item]: volts either way where a capacitor has the time to vent.
    pub volts: Vec<Gravest<Worst>>,
    /// [item]: volts by which the first end gets below the second, likewise.
    pub reverse: Vec<Gravest<Worst>>,
    /// The heat of the box.
    pub heat: Gravest<Hot>,
}

impl Slow {
    /// Empty, for so many items.
    pub(super) fn new(items: usize) -> Slow {
        Slow {
            heating: vec![Gravest::default(); items],
            volts: vec![Gravest::default(); items],
            reverse: vec![Gravest::default(); items],
            heat: Gravest::default(),
        }
    }

    /// Takes a state that a device ends. A thermal fuse is no such device: it opens the sooner the more heat there is.
    pub(super) fn take(
        &mut self,
        context: &SurveyContext,
        condition: &Condition,
        ends: &Clearing,
        q: &[Quantities],
        at: Ordinal,
    ) {
        let (jig, model) = (context.jig, context.model);
        if matches!(model.protectors[ends.protector].kind, ProtectorKind::Thermal(..)) {
            return;
        }
        let broken = broken(context, condition);
        let vents = ends.within >= electrolytic_vents().value;
        for (k, item) in model.items.iter().enumerate().filter(|(k, _)| !broken[*k]) {
            let kind = &jig.parts[item.part].kind;
            let values = measured(item, q);
            if let Some((quantity, warms)) = kind.overheats_by(item.role).zip(warms(kind)) {
                let (value, share) = (values[quantity], warms.share(ends.within));
                // The heat of amperes r.m.s. grows with their square.
                let share = if quantity == Quantity::CurrentRms { share.sqrt() } else { share };
                self.heating[k].take(Heating { worst: Worst { value, at }, as_lasting: value * share });
            }
            if vents && matches!(kind, PartKind::Capacitor(_)) {
                self.volts[k].take(Worst { value: values[Quantity::VoltagePeak], at });
                self.reverse[k].take(Worst { value: backwards(item, q), at });
            }
        }
        let watts = heat::watts_after_fault(jig, model, q);
        let worst = Worst { value: watts.sure, at };
        self.heat.take(Hot { worst, part: watts.hottest, share: Warms::Box.share(ends.within) });
    }

    /// Joins another one of the same jig.
    pub(super) fn merge(&mut self, other: Slow) {
        fn each<T: Graded>(mine: &mut [Gravest<T>], theirs: Vec<Gravest<T>>) {
            mine.iter_mut().zip(theirs).for_each(|(m, t)| m.merge(t));
        }
        each(&mut self.heating, other.heating);
        each(&mut self.volts, other.volts);
        each(&mut self.reverse, other.reverse);
        self.heat.merge(other.heat);
    }
}

/// How soon what overheats warms up.
fn warms(kind: &PartKind) -> Option<Warms> {
    match kind {
        PartKind::Resistor(_)
        | PartKind::Diode(_)
        | PartKind::Bridge(_)
        | PartKind::Led(_)
        | PartKind::Suppressor(_)
        | PartKind::Varistor(_)
        | PartKind::Neon(_) => Some(Warms::Small),
        PartKind::Switch(_) | PartKind::Wire(_) | PartKind::ThermalFuse(_) | PartKind::Socket(_) => {
            Some(Warms::Contact)
        }
        PartKind::Transformer(_) | PartKind::Winding(_) | PartKind::Inductor(_) | PartKind::Thermistor(_) => {
            Some(Warms::Winding)
        }
        // A module limits by itself; what a load or lamp bears is not stated, and a fuse opens.
        PartKind::Psu(_) | PartKind::Load(_) | PartKind::Filament(_) | PartKind::Fuse(_) | PartKind::Capacitor(_) => {
            None
        }
    }
}
