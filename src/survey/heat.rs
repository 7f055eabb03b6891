//! What turns to heat inside the box, in one solved condition. Judges nothing.

use std::sync::OnceLock;

use crate::circuit::{Device, Quantities};
use crate::jig::{Jig, PartKind};
use crate::nets::Edge;
use crate::part::{Filament, Load, Measure, Psu, Resistor, Role, Thermistor, Transformer, Winding};
use crate::standard;

use super::gravest::first_of_most;
use super::measured::measured;
use super::model::{Item, Model};
use crate::finding::Quantity;

/// The word for a place outside of the box.
pub(crate) const OUTSIDE: &str = "outside";

/// Part of the watts within which two temperatures are the same.
const ROUNDING: f64 = 1e-9;

/// Watts that stay in the box.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct BoxWatts {
    /// Of everything but filament lamps whose place is not stated.
    pub sure: f64,
    /// With those lamps.
    pub with_lamps: f64,
    /// The part that gives most of what is sure, where one gives half of it or more.
    pub hottest: Option<usize>,
}

/// Where a source of heat stands, as stated: inside the box or outside of it.
pub(crate) fn place(kind: &PartKind) -> Option<&str> {
    match kind {
        PartKind::Resistor(Resistor { place, .. })
        | PartKind::Winding(Winding { place, .. })
        | PartKind::Filament(Filament { place, .. })
        | PartKind::Thermistor(Thermistor { place, .. })
        | PartKind::Transformer(Transformer { place, .. })
        | PartKind::Psu(Psu { place, .. })
        | PartKind::Load(Load { place, .. }) => place.as_deref(),
        PartKind::Capacitor(_)
        | PartKind::Inductor(_)
        | PartKind::Diode(_)
        | PartKind::Led(_)
        | PartKind::Suppressor(_)
        | PartKind::Bridge(_)
        | PartKind::Neon(_)
        | PartKind::Fuse(_)
        | PartKind::ThermalFuse(_)
        | PartKind::Switch(_)
        | PartKind::Varistor(_)
        | PartKind::Wire(_)
        | PartKind::Socket(_) => None,
    }
}

/// Whether a part is a filament lamp whose place is not stated: mostly it stands on the box, in the open.
pub(crate) fn lamp_anywhere(kind: &PartKind) -> bool {
    matches!(kind, PartKind::Filament(Filament { place: None, .. }))
}

/// The watts of one condition that stay in the box: all of them at once, not each at its own worst.
pub(super) fn watts(jig: &Jig, model: &Model, q: &[Quantities]) -> BoxWatts {
    total(jig, model, q, &|_| true)
}

/// As [`watts`], after a fault: a thermal fuse in the box opens when the air round it is as hot as it is made for, and what
/// it feeds gets no warmer.
pub(super) fn watts_after_fault(jig: &Jig, model: &Model, q: &[Quantities]) -> BoxWatts {
    let all = watts(jig, model, q);
    let Some(shell) = jig.enclosure.shell(false) else { return all };
    let up_to = |celsius: f64| shell.watts_for(celsius - standard::bench::ambient().value);
    let links = jig.parts.iter().enumerate().filter_map(|(k, p)| {
        let PartKind::ThermalFuse(link) = &p.kind else { return None };
        Some((k, up_to(link.temperature)))
    });
    let cut = |(link, most): (usize, f64)| {
        // Its own watts bring the air no further than to where it opens; the rest goes on.
        let rest = total(jig, model, q, &|part| !fed_only_through(model, part, link));
        let most = most * (1.0 - ROUNDING);
        BoxWatts { sure: rest.sure.max(most), with_lamps: rest.with_lamps.max(most), hottest: all.hottest }
    };
    let open = links.filter(|(_, most)| all.sure > *most).map(cut);
    open.fold(all, |least, one| if one.sure < least.sure { one } else { least })
}

/// Whether every way for a current through a part leads through a thermal fuse.
fn fed_only_through(model: &Model, part: usize, link: usize) -> bool {
    let other = |e: &Edge| e.part() != Some(link);
    let mut own = model.nets.edges().iter().filter(|e| e.part() == Some(part)).peekable();
    own.peek().is_some() && own.all(|e| model.nets.is_fed(e, &|_| true) && !model.nets.is_fed(e, &other))
}

/// The watts of those parts that count.
fn total(jig: &Jig, model: &Model, q: &[Quantities], counts: &dyn Fn(usize) -> bool) -> BoxWatts {
    let mut out = BoxWatts::default();
    let mut each = vec![0.0; jig.parts.len()];
    for item in model.items.iter().filter(|item| counts(item.part)) {
        let kind = &jig.parts[item.part].kind;
        if place(kind) == Some(OUTSIDE) {
            continue;
        }
        let watts = of_item(kind, item, model, q);
        out.with_lamps += watts;
        if !lamp_anywhere(kind) {
            out.sure += watts;
            each[item.part] += watts;
        }
    }
    let hottest = first_of_most(each.into_iter().enumerate());
    out.hottest = hottest.filter(|(_, watts)| *watts > 0.5 * out.sure).map(|(part, _)| part);
    out
}

/// The watts one item turns to heat.
fn of_item(kind: &PartKind, item: &Item, model: &Model, q: &[Quantities]) -> f64 {
    match (kind, &item.measure) {
        // Its arms are items of their own.
        (_, Measure::Bridge(_)) => 0.0,
        // A winding passes power on; what stays in it is what its resistances take.
        (PartKind::Transformer(t), Measure::Series(branches, _)) => {
            // A link in its windings opens before they heat the box for long, and one that is made to be shorted limits itself.
            if t.bears_a_short() && over_its_link(t, item, model, q) {
                return 0.0;
            }
            // A winding's copper, and beside its inductor what its iron loses.
            let heats = |b: &&usize| ohms(&model.base.branches[**b].device) > 0.0;
            branches.iter().filter(heats).map(|b| q[*b].power).sum()
        }
        // What a module takes it mostly passes on: its loss goes with what it gives.
        (PartKind::Psu(Psu { volts, current, .. }), _) if item.role == Role::Output => {
            // In its own limit it gives no more power than it is made for: its volts fall.
            let amperes = measured(item, q)[Quantity::CurrentMean].min(current.unwrap_or(f64::INFINITY));
            amperes * volts.unwrap_or(0.0) * standard::bench::psu_loss().value
        }
        (PartKind::Psu(_), _) => 0.0,
        _ => {
            let watts = measured(item, q)[Quantity::Power].max(0.0);
            // A fusible resistor is built to have opened where another one glows.
            let fusible = matches!(kind, PartKind::Resistor(r) if r.fusible);
            let [burns_open, fires] = borne_for_long();
            let most = if fusible { fires } else { burns_open };
            let burns = |rated: f64| watts > rated * most;
            if rated_watts(kind).is_some_and(burns) { 0.0 } else { watts }
        }
    }
}

/// Multiples of its rated power from which a part has opened before it heats anything for long: an ordinary one, and one
/// that is built to open. Looked up once: they are asked for every part in every condition.
fn borne_for_long() -> [f64; 2] {
    static MULTIPLES: OnceLock<[f64; 2]> = OnceLock::new();
    *MULTIPLES.get_or_init(|| [standard::bench::burns_open(), standard::bench::sustained_fire()].map(|l| l.value))
}

/// Whether a winding carries more than it bears for ever after a fault.
fn over_its_link(t: &Transformer, item: &Item, model: &Model, q: &[Quantities]) -> bool {
    let winding = model.items.iter().filter(|i| i.part == item.part).position(|i| i.name == item.name);
    let rated = winding.and_then(|k| t.rated_amperes(k));
    let bears = standard::bench::winding_overload().value;
    rated.is_some_and(|amperes| measured(item, q)[Quantity::CurrentRms] > bears * amperes)
}

/// Watts that a part which burns open is made for, where the file says so.
fn rated_watts(kind: &PartKind) -> Option<f64> {
    match kind {
        PartKind::Resistor(r) => r.power,
        PartKind::Led(led) => led.current.map(|amperes| amperes * led.forward * f64::from(led.series.max(1))),
        PartKind::Suppressor(s) => s.power,
        // A glow lamp that carries far more than it is made for bursts.
        PartKind::Neon(n) => n.max_current.or(n.current).map(|amperes| amperes * n.maintain),
        PartKind::Capacitor(_)
        | PartKind::Inductor(_)
        | PartKind::Winding(_)
        | PartKind::Diode(_)
        | PartKind::Bridge(_)
        | PartKind::Filament(_)
        | PartKind::Fuse(_)
        | PartKind::ThermalFuse(_)
        | PartKind::Switch(_)
        | PartKind::Varistor(_)
        | PartKind::Thermistor(_)
        | PartKind::Transformer(_)
        | PartKind::Psu(_)
        | PartKind::Load(_)
        | PartKind::Wire(_)
        | PartKind::Socket(_) => None,
    }
}

fn ohms(device: &Device) -> f64 {
    match device {
        Device::Resistor { ohms } => *ohms,
        Device::Source { .. }
        | Device::Meter
        | Device::Filament { .. }
        | Device::Capacitor { .. }
        | Device::Inductor { .. }
        | Device::Diode { .. }
        | Device::Clamp { .. }
        | Device::Neon { .. } => 0.0,
    }
}
