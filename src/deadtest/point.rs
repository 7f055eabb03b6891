//! Where a meter can reach, and in which positions of the switches it is put on.

use super::Setting;
use crate::jig::{Jig, NET_L, NET_N, NET_PE, NetId, PartKind, SwitchContacts};
use crate::nets::has_earth;
use crate::survey::settings::{off_positions, switch_parts};

/// Most points that are tried: every two of them are a measurement.
const MOST_POINTS: usize = 24;
/// Most settings of the switches that are tried.
const MOST_SETTINGS: usize = 8;

/// What a point is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Place {
    /// A pin of the plug, or a tip of a probe that is held on the mains.
    Pin,
    /// A contact of an outlet.
    Contact,
    /// Something that fingers reach.
    Touchable,
    /// A net that the file opens up for a meter.
    Named,
}

/// Somewhere a lead can be put.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Point {
    /// Its name in readings.
    pub name: String,
    /// What it is.
    pub place: Place,
    /// The net it is joined to in the sound tool.
    pub net: NetId,
    /// The name of that net.
    pub net_name: String,
    /// Whether a joint lies between it and its net that may be missing.
    pub joined: bool,
}

impl Point {
    /// Whether a reading may mean it by this name: its own, or that of its net where it is a bare joint of it.
    pub(super) fn is_called(&self, name: &str) -> bool {
        self.name == name || (self.place == Place::Named && self.net_name == name)
    }
}

/// The points of a jig, and whether those are all.
pub(super) fn points(jig: &Jig) -> (Vec<Point>, bool) {
    let mut points: Vec<Point> = vec![];
    let mut add = |name: String, place: Place, net: NetId, joined: bool| {
        let twice = |p: &Point| p.name == name || (place == Place::Named && !p.joined && p.net == net);
        if !points.iter().any(twice) {
            points.push(Point { name, place, net, net_name: jig.nets[net].name.clone(), joined });
        }
    };
    if jig.supply.mains.is_some() {
        add("L".into(), Place::Pin, NET_L, true);
        add("N".into(), Place::Pin, NET_N, true);
        if has_earth(jig) {
            add("PE".into(), Place::Pin, NET_PE, true);
        }
    }
    let net = |n: NetId| jig.nets[n].name.clone();
    for o in &jig.outlets {
        for n in o.across.into_iter().chain(o.earth) {
            add(format!("{}.{}", o.name, net(n)), Place::Contact, n, true);
        }
    }
    for t in &jig.touchables {
        // Only metal that is meant to be joined to something has a joint to miss.
        let meant = jig.parts.iter().any(|p| p.kind.terminals().contains(&t.net)) || t.net <= NET_PE;
        add(t.name.clone(), Place::Touchable, t.net, meant);
    }
    for p in &jig.points {
        add(p.name.clone(), Place::Named, p.net, false);
    }
    let all = points.len() <= MOST_POINTS;
    points.truncate(MOST_POINTS);
    (points, all)
}

/// Positions of the switches to measure in, and whether those are all: everything on first. Contacts that a coil works stand
/// at rest.
pub(super) fn settings(jig: &Jig) -> (Vec<Vec<usize>>, bool) {
    let switches = switch_parts(jig);
    let mut out: Vec<Vec<usize>> = vec![vec![]];
    for k in switches {
        let PartKind::Switch(switch) = &jig.parts[k].kind else { continue };
        let count = switch.contacts.positions().len();
        let rest = off_positions(&switch.contacts).first().copied().unwrap_or(0);
        let tried: Vec<usize> = if switch.coil.is_some() { vec![rest] } else { (0..count).collect() };
        let with = |position: &usize| out.iter().map(|s| [s.as_slice(), &[*position]].concat()).collect::<Vec<_>>();
        out = tried.iter().flat_map(with).collect();
        if out.len() > MOST_SETTINGS * MOST_SETTINGS {
            break;
        }
    }
    let width = switch_parts(jig).len();
    let all = out.len() <= MOST_SETTINGS && out.iter().all(|s| s.len() == width);
    out.iter_mut().for_each(|s| s.resize(width, 0));
    if !all {
        out = few(jig, width);
    }
    (out, all)
}

/// Everything on, everything off, and each switch moved alone, as many as there is room for.
fn few(jig: &Jig, width: usize) -> Vec<Vec<usize>> {
    let off: Vec<usize> = switch_parts(jig)
        .into_iter()
        .map(|k| match &jig.parts[k].kind {
            PartKind::Switch(s) => off_positions(&s.contacts).first().copied().unwrap_or(0),
            PartKind::Resistor(_)
            | PartKind::Capacitor(_)
            | PartKind::Inductor(_)
            | PartKind::Winding(_)
            | PartKind::Diode(_)
            | PartKind::Led(_)
            | PartKind::Suppressor(_)
            | PartKind::Bridge(_)
            | PartKind::Neon(_)
            | PartKind::Filament(_)
            | PartKind::Fuse(_)
            | PartKind::ThermalFuse(_)
            | PartKind::Varistor(_)
            | PartKind::Thermistor(_)
            | PartKind::Transformer(_)
            | PartKind::Psu(_)
            | PartKind::Load(_)
            | PartKind::Wire(_)
            | PartKind::Socket(_) => 0,
        })
        .collect();
    let mut out = vec![vec![0; width], off.clone()];
    for k in 0..width {
        let mut one = vec![0; width];
        one[k] = off[k].max(1);
        if !out.contains(&one) {
            out.push(one);
        }
    }
    out.truncate(MOST_SETTINGS);
    out
}

/// The names of a setting.
pub(super) fn named(jig: &Jig, setting: &[usize]) -> Setting {
    let of = |(k, position): (usize, &usize)| {
        let part = &jig.parts[k];
        let PartKind::Switch(switch) = &part.kind else { return None };
        let word = match &switch.contacts {
            SwitchContacts::Poles(_) | SwitchContacts::Positions(_) => switch.contacts.positions(),
        };
        Some((part.name.clone(), word.get(*position)?.to_string()))
    };
    switch_parts(jig).into_iter().zip(setting).filter_map(of).collect()
}
