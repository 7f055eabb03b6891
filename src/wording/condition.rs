//! A condition in words: what has failed, the supply, the plug, switches, outlets, tolerances, what is special in time.
//! Phrases stay apart until they are joined for good, so that a name may hold commas of its own.

use std::collections::BTreeMap;

use super::device;
use crate::circuit::Unsolved;
use crate::jig::{Jig, LoadKind, OutletLoad, PartKind, SwitchContacts};
use crate::part::Switch;
use crate::survey::Survey;
use crate::survey::condition::{
    Condition, Conductor, END, Fault, Moment, Orientation, Polarity, SwitchedFrom, WindingEnd,
};
use crate::survey::gravest::Ordinal;
use crate::survey::model::Model;
use crate::survey::settings::switch_parts;
use crate::survey::unsolved::NotSolved;

/// A condition that was tried, in words; nothing where none of that number was.
pub(crate) fn at(jig: &Jig, survey: &Survey, at: Ordinal) -> String {
    survey.ledger.tried_at(at).map_or_else(String::new, |t| words(jig, &survey.model, &t.condition))
}

/// The first thing to say of a condition that was tried: its fault, where it has one.
pub(crate) fn first(jig: &Jig, survey: &Survey, at: Ordinal) -> String {
    let tried = survey.ledger.tried_at(at);
    tried.and_then(|t| phrases(jig, &survey.model, &t.condition).into_iter().next()).unwrap_or_default()
}

/// A condition in words.
pub(crate) fn words(jig: &Jig, model: &Model, c: &Condition) -> String {
    phrases(jig, model, c).join(", ")
}

/// A condition in words, with each value that is not as stated.
pub(crate) fn in_full(jig: &Jig, model: &Model, c: &Condition) -> String {
    let ends = model.toleranced.iter().zip(&c.corner).filter(|(_, at)| **at != 0);
    let ends: BTreeMap<&str, i8> = ends.map(|(v, at)| (jig.parts[v.part].name.as_str(), *at)).collect();
    let ends = ends.into_iter().map(|(part, at)| match at {
        END => format!("{part} at its upper end"),
        at if at == -END => format!("{part} at its lower end"),
        at => format!("{part} at {:+.0} % of its tolerance", 100.0 * f64::from(at) / f64::from(END)),
    });
    with_tolerances(jig, model, c, ends.collect()).join(", ")
}

/// What there is to say of a condition: only what is not a matter of course.
fn phrases(jig: &Jig, model: &Model, c: &Condition) -> Vec<String> {
    let worst = c.corner.iter().any(|x| *x != 0).then(|| "tolerances at their worst".to_string());
    with_tolerances(jig, model, c, worst.into_iter().collect())
}

fn with_tolerances(jig: &Jig, model: &Model, c: &Condition, tolerances: Vec<String>) -> Vec<String> {
    let mut out: Vec<String> = c.faults.iter().map(|f| fault(jig, model, f)).collect();
    if jig.supply.mains.is_some() {
        out.push(format!("mains {}", c.level.word()));
    }
    if c.orientation == Orientation::Reversed {
        out.push("plug reversed".into());
    }
    out.extend(switch_parts(jig).into_iter().zip(&c.switches).filter_map(|(part, at)| switch(jig, part, *at)));
    for (outlet, &at) in jig.outlets.iter().zip(&c.loads) {
        if let Some(l) = outlet.loads.get(at) {
            out.push(format!("{} {}", outlet.name, load(l)));
        }
    }
    out.extend(tolerances);
    if !c.is_steady() {
        out.push(moment(jig, model, &c.moment));
    }
    out
}

/// What hangs on an outlet.
pub(crate) fn load(load: &OutletLoad) -> &str {
    match load.kind {
        LoadKind::Open => "open",
        LoadKind::Short => "shorted",
        LoadKind::Power(_) | LoadKind::Resistance(_) | LoadKind::Charged(..) => &load.label,
    }
}

/// The orientation of the plug, in a list of conditions.
pub(crate) fn orientation(orientation: Orientation) -> &'static str {
    match orientation {
        Orientation::AsWired => "as wired",
        Orientation::Reversed => "reversed",
        Orientation::BothLive => "both live",
    }
}

/// The position of a switch, in a list of conditions; nothing where it has none of that number.
pub(crate) fn position(contacts: &SwitchContacts, position: usize) -> Option<&str> {
    match contacts {
        SwitchContacts::Poles(_) => Some(if position == 0 { "on" } else { "off" }),
        SwitchContacts::Positions(p) => p.get(position).map(|p| p.0.as_str()),
    }
}

/// Faults that are there together.
pub(crate) fn faults(jig: &Jig, model: &Model, faults: &[Fault]) -> String {
    let each: Vec<String> = faults.iter().map(|f| fault(jig, model, f)).collect();
    each.join(" and ")
}

/// What hangs on the outlets (outlet, load), where nothing has failed.
pub(crate) fn loads(jig: &Jig, loads: &[(usize, usize)]) -> String {
    let each = loads.iter().filter_map(|(o, l)| {
        let outlet = jig.outlets.get(*o)?;
        Some((outlet.name.as_str(), load(outlet.loads.get(*l)?)))
    });
    let mut each: Vec<(&str, &str)> = each.collect();
    each.sort_unstable();
    let each: Vec<String> = each.into_iter().map(|(outlet, load)| format!("{outlet} {load}")).collect();
    if each.is_empty() { "no fault".into() } else { each.join(", ") }
}

/// When a state stands: until a device opens, after others have, or for good.
pub(crate) fn stands(jig: &Jig, model: &Model, before: &Moment, opens: Option<usize>) -> String {
    match (before, opens) {
        (Moment::Steady, None) => "lasting".into(),
        (Moment::Steady, Some(device)) => format!("until {} opens", device::in_a_sentence(model, device)),
        (before, _) => moment(jig, model, before),
    }
}

/// The position of every switch, in the order of the file.
pub(crate) fn positions(jig: &Jig, positions: &[usize]) -> String {
    let one = |(part, at): (usize, &usize)| match switch(jig, part, *at) {
        Some(words) => words,
        None => format!("{} on", jig.parts[part].name),
    };
    switch_parts(jig).into_iter().zip(positions).map(one).collect::<Vec<_>>().join(", ")
}

/// The position of a switch; nothing where it is on.
fn switch(jig: &Jig, part: usize, position: usize) -> Option<String> {
    let part = &jig.parts[part];
    let PartKind::Switch(Switch { contacts, .. }) = &part.kind else { return None };
    match contacts {
        SwitchContacts::Poles(_) if position == 0 => None,
        SwitchContacts::Poles(_) => Some(format!("{} off", part.name)),
        SwitchContacts::Positions(p) => {
            let word = p.get(position).map_or("?", |x| x.0.as_str());
            Some(format!("{} at {word}", part.name))
        }
    }
}

/// When in the cycle of the mains, degrees after its rising zero.
fn phase(degrees: f64) -> String {
    // Half a cycle later the same happens with its signs changed.
    match degrees.rem_euclid(180.0) {
        0.0 => "as the mains crosses zero".into(),
        90.0 => "at the crest of the mains".into(),
        after => format!("{after}° past the mains' zero"),
    }
}

/// What is special in time; nothing for the steady state.
pub(crate) fn moment(jig: &Jig, model: &Model, moment: &Moment) -> String {
    match moment {
        Moment::Steady => String::new(),
        Moment::SwitchedOn { degrees, from } => match from {
            SwitchedFrom::Rest => format!("switched on {}", phase(*degrees)),
            SwitchedFrom::Magnetised => format!("switched on {}, with iron still magnetised", phase(*degrees)),
            SwitchedFrom::Hot => format!("switched on again {}, while still hot", phase(*degrees)),
            SwitchedFrom::Charged => format!("switched on again {}, while still charged", phase(*degrees)),
        },
        Moment::Unplugged { degrees, moved } => {
            let angle = degrees.map_or_else(String::new, |degrees| format!(" {}", phase(degrees)));
            let part = moved.and_then(|m| Some((*switch_parts(jig).get(m.switch)?, m.to)));
            let then = part.map(|(part, to)| match switch(jig, part, to) {
                Some(words) => format!(", then {words}"),
                None => format!(", then {} on", jig.parts[part].name),
            });
            format!("unplugged{angle}{}", then.unwrap_or_default())
        }
        Moment::PutOn { volts, polarity: Polarity::Stated } => format!("{volts} V put on"),
        Moment::PutOn { volts, polarity: Polarity::Reversed } => format!("{volts} V put on, the other polarity"),
        Moment::BeforeStrikes(item) => format!("before {} strikes", item_name(model, *item)),
        Moment::Touched(k) => format!("{} touched", jig.touchables.get(*k).map_or("?", |t| t.name.as_str())),
        Moment::OutletTouched(k) => {
            format!("a terminal of {} touched", jig.outlets.get(*k).map_or("?", |o| o.name.as_str()))
        }
        Moment::After(opened) => {
            let names: Vec<String> = opened.iter().map(|k| device::in_a_sentence(model, *k)).collect();
            names.split_first().map_or_else(String::new, |(first, rest)| {
                let more: String = rest.iter().map(|name| format!(" and then {name}")).collect();
                format!("after {first} has opened{more}")
            })
        }
    }
}

/// One fault in words.
pub(crate) fn fault(jig: &Jig, model: &Model, f: &Fault) -> String {
    let name = |k: usize| item_name(model, k);
    let net = |k: usize| jig.nets.get(k).map_or("?", |n| n.name.as_str());
    match f {
        Fault::Open(k) => format!("{} open", name(*k)),
        Fault::Short(k) => match model.items.get(*k).map(|i| &jig.parts[i.part].kind) {
            Some(PartKind::Fuse(_)) => format!("{} bridged", name(*k)),
            _ => format!("{} shorted", name(*k)),
        },
        Fault::ConductorOpen(Conductor::L) => "L conductor open".into(),
        Fault::ConductorOpen(Conductor::N) => "N conductor open".into(),
        Fault::ConductorOpen(Conductor::Pe) => "earth conductor open".into(),
        Fault::Breakdown(a, b) => format!("insulation from {} to {} broken down", net(*a), net(*b)),
        Fault::WindingsJoined(a, b) => {
            let end = |(item, end): WindingEnd| model.items.get(item).map_or("?", |i| net(i.ends[end]));
            let names = [name(a.0), name(b.0)];
            format!("insulation between {} and {} broken down, {} on {}", names[0], names[1], end(*a), end(*b))
        }
        Fault::Welded(k) => format!("{} welded shut", name(*k)),
    }
}

/// Why a condition was not solved, and at which part, where one is to blame.
pub(crate) fn why(model: &Model, reason: &NotSolved) -> String {
    let part = |branch: usize| model.item_with(branch).map(|item| item_name(model, item));
    match reason {
        NotSolved::Circuit(Unsolved::Unsettled { branch }) => {
            let lamp = part(*branch).unwrap_or("a filament lamp");
            format!("the resistance of {lamp} does not settle: at each its power asks for another")
        }
        NotSolved::Circuit(why @ Unsolved::BadValue { branch, .. }) => match part(*branch) {
            Some(part) => format!("{why}, which is {part}"),
            None => why.to_string(),
        },
        NotSolved::Circuit(why) => why.to_string(),
        NotSolved::Inconsistent { branch } => {
            let none = "no consistent set of device states at one instant";
            branch.and_then(part).map_or(none.to_string(), |part| format!("{none}: {part} has no state that holds"))
        }
        NotSolved::OutOfTime => "the time allowed was used up".to_string(),
        NotSolved::TooManyConditions { most, of } => format!("of {of} conditions {most} are tried at most"),
        NotSolved::Unbalanced { residual } => format!("the energies do not balance (residual {residual:.1e})"),
        NotSolved::CornersLeftOut { solved, left_out } => {
            format!("of the worst corners of its tolerances {solved} were solved and {left_out} left out")
        }
    }
}

fn item_name(model: &Model, item: usize) -> &str {
    model.items.get(item).map_or("?", |i| i.name.as_str())
}
