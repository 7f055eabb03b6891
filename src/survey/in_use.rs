//! Protective devices that open in normal use: which conditions are use, and what draws the current. Judges nothing.

use crate::circuit::Quantities;
use crate::finding::Quantity;
use crate::jig::{LoadKind, PartKind};
use crate::part::Item;

use super::clearing::{self, Clearing};
use super::condition::Condition;
use super::context::SurveyContext;
use super::gravest::{Graded, Ordinal};
use super::measured::measured;
use super::model::{Protector, ProtectorKind};
use crate::standard::Level;

/// What draws a current.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Drawer {
    /// An item of the jig.
    Item(usize),
    /// What hangs on an outlet.
    Outlet(usize),
}

/// A protective device that opens in normal use.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Opened {
    /// Amperes r.m.s. through it.
    pub amperes: f64,
    /// What draws them, the most first.
    pub drawn_by: Vec<Drawer>,
    /// Condition.
    pub at: Ordinal,
}

impl Graded for Opened {
    fn grade(&self) -> [f64; 2] {
        [self.amperes, 0.0]
    }

    fn at(&self) -> Ordinal {
        self.at
    }
}

/// Whether a condition is one that the jig is used in. What the file lists for an outlet is use; a short there is the fault
/// of the thing under test, which the devices are there for, unless a part of the jig is there to bear it: a lamp or heater
/// that takes the mains itself, or a resistor inside its rating.
pub(super) fn is_use(context: &SurveyContext, condition: &Condition, first: &Clearing, q: &[Quantities]) -> bool {
    if !condition.faults.is_empty() || !condition.is_steady() {
        return false;
    }
    !shorts_an_outlet(context, condition)
        || context.model.items.iter().any(|item| bears_a_short(context, item, first, q))
}

/// Whether an outlet is shorted.
pub(super) fn shorts_an_outlet(context: &SurveyContext, condition: &Condition) -> bool {
    let loads = context.jig.outlets.iter().zip(&condition.loads);
    loads.filter_map(|(o, l)| o.loads.get(*l)).any(|l| l.kind == LoadKind::Short)
}

/// Whether a condition has two faults: the device that ends the short of an outlet is bridged.
pub(super) fn is_double(context: &SurveyContext, condition: &Condition) -> bool {
    let bridges = |p: &Protector| clearing::bridged(condition, &p.kind);
    let Some(bridged) = context.model.protectors.iter().position(bridges) else { return false };
    if !shorts_an_outlet(context, condition) {
        return false;
    }
    let sound = Condition { faults: vec![], level: Level::High, ..condition.clone() };
    let Ok(s) = context.solve(&context.circuit(&sound), sound.level) else { return false };
    let first = clearing::first(clearing::opens(context.jig, context.model, &sound, &s.branches));
    // Another part that is there to bear the short makes it use.
    first.is_some_and(|first| first.protector == bridged && !is_use(context, &sound, &first, &s.branches))
}

fn bears_a_short(context: &SurveyContext, item: &Item, first: &Clearing, q: &[Quantities]) -> bool {
    let values = measured(item, q);
    // What takes less than half of the mains, or lies beside the way of the current, is not what limits.
    if values[Quantity::VoltageRms] < 0.5 * context.model.nominal || values[Quantity::CurrentRms] < 0.5 * first.amperes
    {
        return false;
    }
    match &context.jig.parts[item.part].kind {
        PartKind::Filament(_) | PartKind::Load(_) => true,
        PartKind::Resistor(r) => r.power.is_some_and(|rated| values[Quantity::Power] <= rated),
        PartKind::Capacitor(_)
        | PartKind::Inductor(_)
        | PartKind::Winding(_)
        | PartKind::Diode(_)
        | PartKind::Led(_)
        | PartKind::Suppressor(_)
        | PartKind::Bridge(_)
        | PartKind::Neon(_)
        | PartKind::Fuse(_)
        | PartKind::ThermalFuse(_)
        | PartKind::Switch(_)
        | PartKind::Varistor(_)
        | PartKind::Thermistor(_)
        | PartKind::Transformer(_)
        | PartKind::Psu(_)
        | PartKind::Wire(_)
        | PartKind::Socket(_) => false,
    }
}

/// Whether the mains is as good as shorted: the breaker of the circuit opens as well, or what draws most is a part that is
/// there to limit volts or to rectify, not to take power. Otherwise a larger fuse, which someone will fit, has it all go
/// on for ever.
pub(super) fn is_short(context: &SurveyContext, opens: &[Clearing], drawn_by: &[Drawer]) -> bool {
    let breaker = |c: &Clearing| matches!(context.model.protectors[c.protector].kind, ProtectorKind::Breaker(..));
    let takes_none = |d: &Drawer| {
        let Drawer::Item(k) = d else { return false };
        let kind = &context.jig.parts[context.model.items[*k].part].kind;
        matches!(
            kind,
            PartKind::Varistor(_)
                | PartKind::Suppressor(_)
                | PartKind::Diode(_)
                | PartKind::Bridge(_)
                | PartKind::Led(_)
        )
    };
    opens.iter().any(breaker) || drawn_by.first().is_some_and(takes_none)
}

/// What draws the current that opens a device: of what takes volt-amperes (of a residual-current device: of what passes
/// amperes to earth) whatever takes at least half of the most, the most first.
pub(super) fn drawn_by(context: &SurveyContext, opened: &Clearing, q: &[Quantities]) -> Vec<Drawer> {
    let (jig, model) = (context.jig, context.model);
    let earth = model.nets.earth();
    let residual = matches!(model.protectors[opened.protector].kind, ProtectorKind::Rcd(..));
    let takes = |item: &Item| {
        let values = measured(item, q);
        let [a, b] = item.ends.map(|n| earth.has(n));
        // The volts that a diode holds back and the current it lets through never stand together.
        let kind = &jig.parts[item.part].kind;
        let one_way = matches!(kind, PartKind::Diode(_) | PartKind::Led(_) | PartKind::Bridge(_));
        match residual {
            true if a == b => 0.0,
            true => values[Quantity::CurrentRms],
            false if one_way => values[Quantity::Power],
            false => values[Quantity::VoltageRms] * values[Quantity::CurrentRms],
        }
    };
    let joins = |item: &Item| {
        let edges = model.nets.edges().iter().filter(|e| e.part() == Some(item.part));
        edges.clone().next().is_some() && edges.into_iter().all(|e| e.is_hard())
    };
    let items = model.items.iter().enumerate().filter(|(_, item)| residual || !joins(item));
    let items = items.map(|(k, item)| (Drawer::Item(k), takes(item)));
    let outlets = model.outlet_branches.iter().enumerate().filter(|_| !residual);
    let outlets = outlets.map(|(k, b)| (Drawer::Outlet(k), q[*b].v_rms * q[*b].i_rms));
    let mut all: Vec<(Drawer, f64)> = items.chain(outlets).collect();
    let most = all.iter().map(|x| x.1).fold(0.0, f64::max);
    all.retain(|x| x.1 > 0.0 && x.1 >= 0.5 * most);
    // Of two that take the same the one that the file names first stands first, whatever the rounding says.
    let rank = |x: &(Drawer, f64)| (-(x.1 / most * 1e6).round()) as i64;
    all.sort_by_key(rank);
    let named = |d: &Drawer| match d {
        Drawer::Item(k) => jig.parts[model.items[*k].part].name.as_str(),
        Drawer::Outlet(k) => jig.outlets[*k].name.as_str(),
    };
    let mut out: Vec<Drawer> = vec![];
    for (drawer, _) in all {
        if !out.iter().any(|d| named(d) == named(&drawer)) {
            out.push(drawer);
        }
    }
    out
}
