//! Resistors: a stronger size, several in series.

use super::{MOST, free_name, free_net, nets, ohms, one, rating, text, volts, watts};
use crate::checks::solved::lookup::{KINDS, lasting};
use crate::checks::{Case, Change, Proposal, Table};
use crate::finding::way::{Fitted, ResistorString};
use crate::finding::{Quantity, Situation, Way};
use crate::jig::{Ends, Part, PartKind};
use crate::part::Resistor;
use crate::standard::{self, preferred, resistor};

/// What a resistor is and has to stand.
#[derive(Debug, Clone, Copy)]
struct Load {
    ohms: f64,
    /// Watts in normal use, and with any one fault.
    normal: f64,
    fault: f64,
    /// Volts r.m.s.
    volts: f64,
    celsius: f64,
    fusible: bool,
    flameproof: bool,
}

fn load(case: &Case, k: usize, part: &Part) -> Option<(Load, Ends)> {
    let PartKind::Resistor(Resistor { across, resistance, flameproof, fusible, .. }) = part.kind else { return None };
    let most = |quantity: Quantity, kind: Situation| {
        // What a slow fuse ends still heats the part through.
        let all = [lasting(case, k, quantity, kind), case.worst(k, quantity, kind)];
        all.into_iter().flatten().map(|s| s.value).fold(0.0, f64::max)
    };
    let volts = KINDS.into_iter().map(|kind| most(Quantity::VoltageRms, kind)).fold(0.0, f64::max);
    let load = Load {
        ohms: resistance,
        normal: most(Quantity::Power, Situation::Normal),
        fault: most(Quantity::Power, Situation::SingleFault),
        volts,
        celsius: case.inside_temperature(),
        fusible,
        flameproof,
    };
    Some((load, across))
}

/// Sizes that at least two makers print, watts and volts, smallest first, that stand the load: half their watts in normal
/// use, all of them with a fault (a part that opens or does not flame need only stand normal use).
fn sizes(l: Load) -> Vec<(f64, f64)> {
    let sold: Vec<(f64, f64)> = resistor::resistor()
        .iter()
        .filter(|s| !s.technology.contains("chip"))
        .filter(|s| s.max_ohms().is_none_or(|most| l.ohms <= most))
        .filter(|s| !l.fusible || s.fusible == Some(true))
        .filter(|s| !l.flameproof || l.fusible || s.will_not_flame())
        .filter_map(|s| Some((s.rated_w, s.limiting_rms()?)))
        .collect();
    let half = standard::bench::half_power().value;
    let special = l.fusible || l.flameproof;
    let fits = |w: f64, v: f64| {
        let hot = resistor::derated_power(w, l.celsius).value;
        hot * half >= l.normal && (special || hot >= l.fault) && v >= l.volts
    };
    let makes = |p: &(f64, f64)| sold.iter().filter(|s| *s == p).count();
    let mut out: Vec<(f64, f64)> =
        sold.iter().copied().filter(|p| fits(p.0, p.1) && (special || makes(p) >= 2)).collect();
    out.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    out.dedup();
    out
}

fn ratings(part: &Part, (w, v): (f64, f64)) -> Vec<Change> {
    let PartKind::Resistor(Resistor { power, voltage, .. }) = part.kind else { return vec![] };
    let mut out = vec![];
    if power.is_some_and(|p| p < w) {
        out.push(rating(part, "power", watts(w)));
    }
    if voltage.is_some_and(|x| x < v) {
        out.push(rating(part, "voltage", volts(v)));
    }
    out
}

/// The next sizes that stand what the survey found, then two and three in series.
pub(crate) fn stronger(case: &Case, k: usize, part: &Part) -> Vec<Proposal> {
    let Some((l, _)) = load(case, k, part) else { return vec![] };
    let PartKind::Resistor(Resistor { power, voltage, .. }) = part.kind else { return vec![] };
    let not_below = |p: &(f64, f64)| power.is_none_or(|w| p.0 >= w) && voltage.is_none_or(|v| p.1 >= v);
    let mut out: Vec<Proposal> = sizes(l)
        .into_iter()
        .filter(not_below)
        .map(|p| {
            let (watts, volts) = (p.0, voltage.map(|_| p.1));
            one(ratings(part, p), Way::Resistor { watts, volts, part: part.name.clone() })
        })
        .filter(|p| !p.changes.is_empty())
        .take(MOST)
        .collect();
    out.extend(split(case, k, part));
    out
}

/// A size with more watts for a pulse.
pub(crate) fn wattage(part: &Part, least: f64) -> Vec<Proposal> {
    let mut all: Vec<f64> = resistor::resistor().iter().map(|s| s.rated_w).filter(|w| *w >= least).collect();
    all.sort_by(f64::total_cmp);
    all.dedup();
    let way =
        |w: f64| one(vec![rating(part, "power", watts(w))], Way::PulseResistor { watts: w, part: part.name.clone() });
    all.into_iter().take(MOST).map(way).collect()
}

/// Two, or three, in series in its place, each of a value and size that stands one of them shorted.
pub(crate) fn split(case: &Case, k: usize, part: &Part) -> Vec<Proposal> {
    let Some((whole, across)) = load(case, k, part) else { return vec![] };
    [2_usize, 3].into_iter().filter_map(|n| string(case, part, whole, across, n)).collect()
}

fn string(case: &Case, part: &Part, whole: Load, across: Ends, n: usize) -> Option<Proposal> {
    let PartKind::Resistor(Resistor { tolerance, power, voltage, flameproof, fusible, .. }) = part.kind else {
        return None;
    };
    let count = n as f64;
    let each = preferred::nearest_at_least(whole.ohms / count, 24)?;
    let most = whole.normal.max(whole.fault);
    let load = Load {
        ohms: each,
        normal: whole.normal / count,
        // With one shorted the others share all of the volts: (U / (n − 1))² / R of each.
        fault: most * count / (count - 1.0).powi(2),
        volts: whole.volts / (count - 1.0),
        ..whole
    };
    let (w, v) = *sizes(load).first()?;
    let mut changes = vec![Change::of_part(&part.name, "resistance", ohms(each))];
    if power != Some(w) {
        changes.push(rating(part, "power", watts(w)));
    }
    if voltage != Some(v) {
        changes.push(rating(part, "voltage", volts(v)));
    }
    let mut names: Vec<String> = vec![];
    for _ in 1..n {
        names.push(free_name(case, &part.name, &names));
    }
    let far = case.net(across[1]).to_string();
    let mut from = free_net(case, &part.name, &names[0]);
    let table = Table::Part(part.name.clone());
    changes.push(Change::Set { table, key: "across", value: nets(case.net(across[0]), &from) });
    let mut behind = part.name.clone();
    for (i, name) in names.iter().enumerate() {
        let to = names.get(i + 1).map_or(far.clone(), |next| free_net(case, name, next));
        let mut keys = vec![("kind", text("resistor")), ("across", nets(&from, &to)), ("resistance", text(ohms(each)))];
        if let Some(t) = tolerance {
            keys.push(("tolerance", text(format!("{} %", (t * 1e6).round() / 1e4))));
        }
        keys.push(("power", text(watts(w))));
        keys.push(("voltage", text(volts(v))));
        for (key, on) in [("flameproof", flameproof), ("fusible", fusible)] {
            if on {
                keys.push((key, crate::checks::Value::Flag(true)));
            }
        }
        changes.push(Change::Add { behind: behind.clone(), name: name.clone(), keys });
        behind.clone_from(name);
        from = to;
    }
    let fitted = Fitted { ohms: each, watts: Some(w), volts: Some(v) };
    Some(one(changes, Way::Resistors(vec![ResistorString { each: vec![fitted; n], part: part.name.clone() }])))
}

/// Ratings for a new resistor of `each` ohms on `volts`: watts and volts.
pub(super) fn fitting(case: &Case, each: f64, normal: f64, fault: f64) -> Option<(f64, f64)> {
    let load = Load {
        ohms: each,
        normal: normal * normal / each,
        fault: fault * fault / each,
        volts: normal.max(fault),
        celsius: case.inside_temperature(),
        fusible: false,
        flameproof: false,
    };
    sizes(load).first().copied()
}

/// The size a resistor must have at least, for a rating that is not stated.
pub(super) fn required(case: &Case, k: usize, part: &Part) -> Option<(f64, f64)> {
    sizes(load(case, k, part)?.0).first().copied()
}
