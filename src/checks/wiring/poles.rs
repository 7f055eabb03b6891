//! What every pole of the mains meets on its way: paths without a fuse, fuses that come late, fuses that come last.

use super::names::once;
use crate::checks::{Case, Draft};
use crate::finding::said::OnePoleFuse;
use crate::finding::{CheckId, Signal, When};
use crate::jig::{Class, NET_L, NET_N, NetId};
use crate::nets::{Edge, Live};
use crate::part::Link;
use crate::standard::plug::plug_rows;
use crate::standard::{Level, rules};

/// What a pole meets.
pub(crate) struct Pole {
    /// The pin it starts at.
    pub pin: NetId,
    /// First parts of the ways that no fuse is in.
    pub unfused: Vec<String>,
    /// Fuses that do not come first, each with the part before it.
    pub late: Vec<(String, String)>,
    /// Fuses that come last.
    pub end: Vec<String>,
}

/// Every pin that can be live and has no fuse in the plug, with what it meets.
pub(crate) fn poles(case: &Case) -> Vec<Pole> {
    case.nets().live_pins().iter().filter(|p| !plug_fused(case, **p)).map(|p| walk(case, *p)).collect()
}

/// Whether a plug of that row may hold a fuse.
pub(crate) fn may_hold_fuse(row: &str) -> bool {
    plug_rows().iter().any(|r| r.id == row && r.plug_fuse != "no")
}

/// Whether the plug's own fuse stands behind this pin.
fn plug_fused(case: &Case, pin: NetId) -> bool {
    let s = &case.jig.supply;
    let holds = s.plug.as_ref().is_some_and(|p| p.fused || (s.plug_fuse.is_some() && may_hold_fuse(&p.row)));
    pin == NET_L && (holds || (s.fixed && s.plug_fuse.is_some()))
}

fn walk(case: &Case, pin: NetId) -> Pole {
    let nets = case.nets();
    let mut pole = Pole { pin, unfused: vec![], late: vec![], end: vec![] };
    let start = nets.wired(pin);
    let starts: Vec<NetId> = start.iter().collect();
    let back = nets.wired(if pin == NET_L { NET_N } else { NET_L }).or(nets.earth());
    let stop = start.or(&back);
    let volts = case.jig.supply.mains.as_ref().map_or(0.0, |m| m.at(Level::High));
    let name = |e: &Edge| e.name(case.jig).to_string();
    let conducts = |e: &Edge| !matches!(e.link, Link::Fuse(_)) && !e.link.is_safety_capacitor();
    let leaves = |e: &Edge| start.has(e.ends[0]) != start.has(e.ends[1]);
    for exit in nets.edges().iter().filter(|e| conducts(e) && leaves(e) && e.link != Link::Wire) {
        let far = if start.has(exit.ends[0]) { exit.ends[1] } else { exit.ends[0] };
        let onward = |from: NetId, pass: &dyn Fn(&Edge) -> bool| nets.walk(&[from], pass).ending_at(&stop).reached();
        let reached = onward(far, &|e| conducts(e) && !leaves(e));
        if reached.meets(&back) {
            let alone = |e: &Edge| conducts(e) && (!leaves(e) || std::ptr::eq(e, exit));
            if !nets.walk(&starts, &alone).is_harmless(&back, volts) {
                pole.unfused.push(name(exit));
            }
            continue;
        }
        let is_contact = |e: &Edge| matches!(e.link, Link::Contact(_) | Link::Wire | Link::ThermalFuse);
        let switched = onward(far, &|e| is_contact(e) && !leaves(e));
        let is_fuse = |e: &&Edge| matches!(e.link, Link::Fuse(_));
        for fuse in nets.edges().iter().filter(is_fuse).filter(|e| reached.has(e.ends[0]) != reached.has(e.ends[1])) {
            let [near, beyond] = if reached.has(fuse.ends[0]) { fuse.ends } else { [fuse.ends[1], fuse.ends[0]] };
            if start.has(beyond) {
                continue;
            }
            let through_contacts = matches!(exit.link, Link::Contact(_)) && switched.has(near);
            let ends_there = || onward(beyond, &|e| e.is_hard() && !reached.has_any(&e.ends)).meets(&back);
            if !through_contacts && ends_there() {
                pole.end.push(name(fuse));
            } else if onward(beyond, &|e| !e.link.is_safety_capacitor()).meets(&back) {
                pole.late.push((name(fuse), name(exit)));
            }
        }
    }
    pole
}

/// Fuses that are met last, seen from a pin that can be live.
pub(crate) fn one_pole_fuses(case: &Case, check: CheckId) -> Vec<(Draft, OnePoleFuse)> {
    let Some(live) = case.nets().live() else { return vec![] };
    let found = poles(case).into_iter().filter(|pole| !pole.end.is_empty());
    found.map(|pole| one_pole_fuse(case, check, &pole, live)).collect()
}

fn one_pole_fuse(case: &Case, check: CheckId, pole: &Pole, live: Live) -> (Draft, OnePoleFuse) {
    let fuses = once(pole.end.clone());
    let mild = live == Live::Either && case.jig.enclosure.class == Some(Class::II);
    let signal = if mild { Signal::Caution } else { Signal::Warning };
    let draft = match case.jig.parts.iter().find(|p| fuses.contains(&p.name)) {
        Some(part) => case.about_part(check, signal, part, "across"),
        None => case.about_key(check, signal, "supply.plug"),
    };
    let pin = case.net(pole.pin);
    let draft = fuses.iter().fold(draft, |d, f| d.part(f)).net(pin);
    let draft = match live {
        Live::Either if pole.pin == NET_N => draft.source(&rules::fuse_each_pole()).when(When::PlugReversed),
        Live::Line | Live::Either | Live::Both => draft.source(&rules::fuse_each_pole()),
    };
    let turns = case.jig.supply.plug.as_ref().is_some_and(|p| p.reversible);
    (draft, OnePoleFuse { fuses, pin: pin.to_string(), live, turns })
}
