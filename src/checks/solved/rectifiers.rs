//! Diodes and bridges, with what they are rated for.

use crate::checks::{Case, Draft};
use crate::jig::{Part, PartKind};
use crate::part::{Bridge, Diode};
use crate::survey::model::Measure;

/// A diode, a whole bridge or one arm of it.
pub(super) struct Rectifier<'a> {
    /// The item.
    pub(super) item: usize,
    /// Its part.
    pub(super) part: &'a Part,
    /// Whether it is the whole part, not an arm.
    pub(super) whole: bool,
    /// Peak reverse volts.
    pub(super) volts: Option<f64>,
    /// Mean amperes.
    pub(super) amperes: Option<f64>,
    /// Amperes of one half cycle.
    pub(super) surge: Option<f64>,
}

/// What is found of each part, told once: by the first of its items that has something to say.
pub(super) fn first_of_each(case: &Case, judge: impl Fn(&Rectifier) -> Option<Draft>, out: &mut Vec<Draft>) {
    let mut done: Vec<usize> = vec![];
    for (item, i) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[i.part];
        let (PartKind::Diode(Diode { voltage, current, surge, .. })
        | PartKind::Bridge(Bridge { voltage, current, surge, .. })) = part.kind
        else {
            continue;
        };
        let whole = matches!(i.measure, Measure::Bridge(_)) || matches!(part.kind, PartKind::Diode(_));
        let one = Rectifier { item, part, whole, volts: voltage, amperes: current, surge };
        if !done.contains(&i.part)
            && let Some(d) = judge(&one)
        {
            done.push(i.part);
            out.push(d);
        }
    }
}
