//! What is above its rating in a part and is not ended: in normal use, or by a fault. A part is told once,
//! by its first branch.

use crate::checks::{Case, Draft, Seen, rating};
use crate::finding::said::Overcurrent;
use crate::finding::{CheckId, Compared, Quantity, Signal, Situation};
use crate::jig::{Part, PartKind};
use crate::nets::Edge;
use crate::part::{
    Inductor, Link, Psu, Resistor, Role, Suppressor, Thermistor, Transformer, Varistor, Winding, Wire,
    full_load_primary,
};
use crate::standard::{self, Level, Limit};

use super::lookup::{at_nominal, item_name, lasting, rated, strained, unended};
use super::slowly;

/// What was found of a part.
pub(super) enum Overload {
    /// In normal use.
    Normal(Normal),
    /// With one fault.
    Fault(AfterFault),
}

/// What is above a rating in normal use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Stressed {
    /// The volts of a varistor.
    Volts,
    /// The watts of a suppressor or varistor.
    Watts,
    /// The volts of a winding of a transformer.
    Winding,
    /// The current of a winding, coil, inrush limiter or module.
    Current,
}

/// An overload in normal use.
pub(super) struct Normal {
    /// The item.
    pub(super) item: usize,
    /// What of it.
    pub(super) what: Stressed,
    /// Its worst value.
    pub(super) seen: Seen,
    /// What it is made for.
    pub(super) limit: Limit,
}

/// An overload by a fault that nothing is sure to end.
pub(super) struct AfterFault {
    /// The item.
    pub(super) item: usize,
    /// What is compared.
    pub(super) quantity: Compared,
    /// Its worst value.
    pub(super) seen: Seen,
    /// What it is made for.
    pub(super) limit: Limit,
    /// The fuse that is strained and yet not sure to open, with its amperes.
    pub(super) fuse: Option<(String, f64)>,
    /// How grave.
    pub(super) signal: Signal,
    /// Whether the fuse opens some time: it carries more than it is sure to carry for an hour.
    pub(super) opens_late: bool,
    /// The device that ends it after a time long enough to heat the part, by its index, and within how many seconds.
    pub(super) ends: Option<(usize, f64)>,
}

/// The first overload of a part, by its index.
pub(super) fn of_part(case: &Case, index: usize) -> Option<Overload> {
    let part = &case.jig.parts[index];
    let normal = case.items_of(index).find_map(|k| normal(case, k, part)).map(Overload::Normal);
    normal.or_else(|| case.items_of(index).find_map(|k| fault(case, k, part)).map(Overload::Fault))
}

/// The overloads in normal use of the parts of some kinds, with their parts.
pub(super) fn in_normal_use<'a>(case: &Case<'a>, kinds: impl Fn(&PartKind) -> bool) -> Vec<(&'a Part, Normal)> {
    let parts = case.jig.parts.iter().enumerate().filter(|(_, p)| kinds(&p.kind));
    let found = parts.filter_map(|(k, p)| match of_part(case, k)? {
        Overload::Normal(n) => Some((p, n)),
        Overload::Fault(_) => None,
    });
    found.collect()
}

/// The finding about what a winding, coil or module carries in normal use, and nothing ends; its facts are the same for all.
pub(super) fn carries(case: &Case, check: CheckId, part: &Part, n: &Normal) -> (Draft, Overcurrent) {
    let draft = case.about_part(check, Signal::Warning, part, "power").over(Compared::CurrentRms, &n.seen, &n.limit);
    let item = item_name(case, n.item).to_string();
    (draft, Overcurrent { item, current: n.seen.amount(), limit: (&n.limit).into() })
}

fn normal(case: &Case, item: usize, part: &Part) -> Option<Normal> {
    let role = case.survey.model.items[item].role;
    let found = |what, seen, limit| Some(Normal { item, what, seen, limit });
    if let PartKind::Varistor(Varistor { voltage, .. }) = &part.kind {
        let s = lasting(case, item, Quantity::VoltageRms, Situation::Normal).filter(|s| s.value > *voltage);
        if let Some(s) = s {
            return found(Stressed::Volts, s, rated(*voltage, "V"));
        }
        // Crests above its knee heat it, whatever their r.m.s. volts.
        let most = standard::bench::varistor_power();
        let s = lasting(case, item, Quantity::Power, Situation::Normal).filter(|s| s.value > most.value)?;
        return found(Stressed::Watts, s, most);
    }
    if let PartKind::Suppressor(Suppressor { power: Some(watts), .. }) = &part.kind {
        let s = lasting(case, item, Quantity::Power, Situation::Normal).filter(|s| s.value > *watts)?;
        return found(Stressed::Watts, s, rated(*watts, "W"));
    }
    if let PartKind::Transformer(Transformer { primary, .. }) = &part.kind {
        let mains = primary.across.iter().all(|n| case.is_mains(*n));
        let band = case.jig.supply.mains.as_ref().map_or(0.0, |m| m.scale(Level::High));
        let volts = at_nominal(case, item, Quantity::VoltageRms);
        let over = |s: &Seen| mains && role == Role::Primary && s.value > primary.volts * band;
        if let Some(s) = volts.filter(over) {
            return found(Stressed::Winding, s, rated(primary.volts, "V"));
        }
        if let Some((s, volts)) = fed_above_its_volts(case, item) {
            return found(Stressed::Winding, s, rated(volts, "V"));
        }
    }
    let limit = current_limit(case, item, part)?;
    let s = at_nominal(case, item, Quantity::CurrentRms)?;
    // The magnetising current comes on top in the primary; the secondaries are what tells the load.
    let allowance =
        if role == Role::Primary { case.jig.supply.mains.as_ref().map_or(1.0, |m| m.scale(Level::High)) } else { 1.0 };
    if s.value > limit.value * allowance * (1.0 + 1e-2) { found(Stressed::Current, s, limit) } else { None }
}

/// The volts of the winding that a transformer is fed from, and what they may be, where its iron has too many of them.
/// That shows on every winding: one alone may read high because it is rated under load.
fn fed_above_its_volts(case: &Case, item: usize) -> Option<(Seen, f64)> {
    let items = &case.survey.model.items;
    let part = items[item].part;
    let PartKind::Transformer(transformer) = &case.jig.parts[part].kind else { return None };
    let windings: Vec<(usize, Seen, f64)> = case
        .items_of(part)
        .zip(transformer.windings())
        .filter_map(|(k, w)| Some((k, at_nominal(case, k, Quantity::VoltageRms)?, w.volts)))
        .collect();
    let share = |(_, seen, volts): &(usize, Seen, f64)| seen.value / volts;
    let least = windings.iter().map(share).fold(f64::INFINITY, f64::min);
    // What is fed has its volts from elsewhere: the winding with the largest share of its own.
    let fed = windings.iter().max_by(|a, b| share(a).total_cmp(&share(b)))?;
    let over = least > standard::bench::winding_over_volts().value && least.is_finite();
    (over && fed.0 == item).then(|| (fed.1.clone(), fed.2))
}

/// The current a winding or coil is made for.
pub(super) fn current_limit(case: &Case, k: usize, part: &Part) -> Option<Limit> {
    let item = &case.survey.model.items[k];
    match (&part.kind, item.role) {
        (PartKind::Transformer(t @ Transformer { primary, power: Some(va), .. }), Role::Primary) => {
            let hertz = case.survey.model.base.hertz;
            Some(rated(full_load_primary(t, hertz).unwrap_or(va / primary.volts), "A"))
        }
        (PartKind::Transformer(Transformer { secondaries, power: Some(va), .. }), Role::Secondary) => {
            let secondary = |i: &usize| case.survey.model.items[*i].role == Role::Secondary;
            let number = case.items_of(item.part).filter(secondary).position(|i| i == k)?;
            Some(rated(va / secondaries.get(number)?.volts / secondaries.len() as f64, "A"))
        }
        (PartKind::Psu(psu), Role::Output) => psu.rated_amperes().map(|a| rated(a, "A")),
        (
            PartKind::Inductor(Inductor { current, .. })
            | PartKind::Winding(Winding { current, .. })
            | PartKind::Thermistor(Thermistor { current, .. }),
            _,
        ) => current.map(|a| rated(a, "A")),
        _ => None,
    }
}

/// How the worst value with one fault is looked up.
pub(super) type FaultSeen = fn(&Case, usize, Quantity) -> Option<Seen>;

/// An overload by a fault: first where every fuse carries on for sure, else where one opens some time.
fn fault(case: &Case, item: usize, part: &Part) -> Option<AfterFault> {
    let whatever: FaultSeen = |case, k, quantity| lasting(case, k, quantity, Situation::SingleFault);
    let found = after_fault(case, item, part, unended).or_else(|| {
        let late = after_fault(case, item, part, whatever)?;
        let signal = if late.signal == Signal::Notice { Signal::Notice } else { Signal::Caution };
        Some(AfterFault { signal, opens_late: true, ..late })
    });
    found.or_else(|| slowly::ended(case, item, part))
}

/// The rating that an overload by a fault breaks, where the part has one.
fn over_rating(case: &Case, k: usize, part: &Part, seen: FaultSeen) -> Option<(Compared, Seen, Limit)> {
    let item = &case.survey.model.items[k];
    let quantity = part.kind.overheats_by(item.role)?;
    let s = seen(case, k, quantity)?;
    let limit = if matches!(part.kind, PartKind::Varistor(_)) {
        standard::bench::varistor_power()
    } else if let PartKind::Resistor(Resistor { power, .. }) = &part.kind {
        standard::resistor::derated_power((*power)?, case.inside_temperature())
    } else if let PartKind::Wire(Wire { area, .. }) = &part.kind {
        standard::cord::wire_rating((*area)?)
    } else {
        current_limit(case, k, part).or_else(|| Some(rated(rating(case, item, quantity)?, s.unit)))?
    };
    Some((quantity.into(), s, limit))
}

/// An overload by a fault, by a value that was looked up so.
pub(super) fn after_fault(case: &Case, item: usize, part: &Part, seen: FaultSeen) -> Option<AfterFault> {
    // A module limits its own output.
    if matches!(part.kind, PartKind::Psu(_)) && case.survey.model.items[item].role == Role::Output {
        return None;
    }
    let (quantity, seen, limit) = over_rating(case, item, part, seen)?;
    let band = case.jig.supply.mains.as_ref().map_or(1.0, |m| m.scale(Level::High));
    // Ratings in amperes allow for the supply's tolerance.
    let allowance = if quantity == Compared::Power { 1.0 } else { band * (1.0 + 1e-2) };
    let ends = module_limit(case, item).filter(|_| quantity != Compared::Power).unwrap_or(f64::INFINITY);
    if seen.value.min(ends) <= limit.value * allowance || matches!(part.kind, PartKind::Psu(_)) && ends.is_finite() {
        return None;
    }
    let fuse = strained(case, seen.at);
    let PartKind::Resistor(Resistor { flameproof, fusible, .. }) = part.kind else {
        // A winding takes some overload for ever: it runs hot and ages.
        let winding = current_limit(case, item, part).is_some();
        let borne = winding && seen.value <= standard::bench::winding_overload().value * limit.value;
        let borne = borne || winding && cut_by_heat(case, item);
        // A semiconductor that takes too much fails short, and that is a fault of its own: far over it, it burns.
        let fails = matches!(
            part.kind,
            PartKind::Suppressor(_) | PartKind::Varistor(_) | PartKind::Diode(_) | PartKind::Bridge(_)
        );
        let short = fails && seen.value < standard::bench::sustained_fire().value * limit.value;
        let signal = if borne || short { Signal::Caution } else { Signal::Warning };
        return Some(AfterFault { item, quantity, seen, limit, fuse, signal, opens_late: false, ends: None });
    };
    // A resistor whose fuse sees nothing unusual is told by resistor-power, and so is what is over in normal use.
    let before = lasting(case, item, Quantity::Power, Situation::Normal).is_some_and(|n| n.value > limit.value);
    if fuse.is_none() || before {
        return None;
    }
    let far = seen.value >= standard::bench::sustained_fire().value * limit.value;
    let signal = match (far, flameproof || fusible) {
        // Far over its rating a fusible type opens: what it was put there for.
        (true, true) if fusible => Signal::Notice,
        (true, true) => Signal::Caution,
        (true, false) => Signal::Danger,
        // Too little to make any type fail.
        (false, _) => Signal::Warning,
    };
    Some(AfterFault { item, quantity, seen, limit, fuse, signal, opens_late: false, ends: None })
}

/// The most that a module which alone feeds an item gives when it is overloaded, amperes: it limits or shuts down by
/// itself. `None` where something else feeds it too.
fn module_limit(case: &Case, item: usize) -> Option<f64> {
    let nets = case.nets();
    let ends = case.survey.model.items[item].ends;
    let circuit = nets.circuit(ends[0]);
    if circuit.meets(nets.on_mains()) || circuit.meets(nets.hazardous_live()) {
        return None;
    }
    let inside = nets.edges().iter().filter(|e| circuit.has_any(&e.ends));
    if inside.clone().any(|e| matches!(e.link, Link::Winding { secondary: true, .. })) {
        return None;
    }
    let modules: Vec<usize> =
        inside.filter(|e| matches!(e.link, Link::Module { output: true, .. })).filter_map(Edge::part).collect();
    let gives = |k: &usize| {
        let PartKind::Psu(Psu { current, .. }) = &case.jig.parts[*k].kind else { return None };
        current.map(|a| a * standard::bench::psu_limit().value)
    };
    let given: Option<Vec<f64>> = modules.iter().map(gives).collect();
    given.filter(|g| !g.is_empty()).map(|g| g.iter().sum())
}

/// Whether every way for a current through an item leads through a thermal fuse, which its heat opens.
fn cut_by_heat(case: &Case, item: usize) -> bool {
    let nets = case.nets();
    let part = case.survey.model.items[item].part;
    let mut own = nets.edges().iter().filter(|e| e.part() == Some(part)).peekable();
    let cold = |e: &Edge| e.link != Link::ThermalFuse;
    own.peek().is_some() && own.all(|e| nets.is_fed(e, &|_| true) && !nets.is_fed(e, &cold))
}
