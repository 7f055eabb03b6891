//! What every pole of the mains meets on its way: paths without a fuse, fuses that come late, fuses that come last.

use super::graph::{Edge, Link, Wiring, once};
use crate::checks::{Case, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{Class, NET_L, NET_N, NET_PE, NetId};
use crate::standard::plug::plug_rows;
use crate::standard::{Level, rules};
use crate::wording::join::list;

/// What a pole meets.
#[derive(Default)]
pub struct Pole {
    /// First parts of the ways that no fuse is in.
    pub unfused: Vec<String>,
    /// Fuses that do not come first, each with the part before it.
    pub late: Vec<(String, String)>,
    /// Fuses that come last.
    pub end: Vec<String>,
}

/// Every pin that can be live and has no fuse in the plug, with what it meets.
pub fn poles(case: &Case, w: &Wiring) -> Vec<(NetId, Pole)> {
    w.live_pins().into_iter().filter(|p| !plug_fused(case, *p)).map(|p| (p, walk(w, p))).collect()
}

/// Whether a plug of that row may hold a fuse.
pub fn may_hold_fuse(row: &str) -> bool {
    plug_rows().iter().any(|r| r.id == row && r.plug_fuse != "no")
}

/// Whether the plug's own fuse stands behind this pin.
fn plug_fused(case: &Case, pin: NetId) -> bool {
    let s = &case.jig.supply;
    let holds = s.plug.as_ref().is_some_and(|p| p.fused || (s.plug_fuse.is_some() && may_hold_fuse(&p.row)));
    pin == NET_L && (holds || (s.fixed && s.plug_fuse.is_some()))
}

fn walk(w: &Wiring, pin: NetId) -> Pole {
    let mut pole = Pole::default();
    let start = w.wired(pin);
    let starts: Vec<NetId> = (0..start.len()).filter(|n| start[*n]).collect();
    let other = if pin == NET_L { NET_N } else { NET_L };
    let (a, b) = (w.wired(other), w.wired(NET_PE));
    let back: Vec<bool> = a.iter().zip(&b).map(|(x, y)| *x || *y).collect();
    let stop: Vec<bool> = start.iter().zip(&back).map(|(x, y)| *x || *y).collect();
    let volts = w.jig.supply.mains.as_ref().map_or(0.0, |m| m.at(Level::High));
    let conducts = |e: &Edge| !matches!(e.link, Link::Fuse | Link::YCapacitor);
    let leaves = |e: &Edge| start[e.ends[0]] != start[e.ends[1]];
    for exit in w.edges.iter().filter(|e| conducts(e) && leaves(e) && e.link != Link::Wire) {
        let far = if start[exit.ends[0]] { exit.ends[1] } else { exit.ends[0] };
        let reached = w.flood(&[far], &stop, &|e| conducts(e) && !leaves(e));
        if back[far] || (0..back.len()).any(|n| reached[n] && back[n]) {
            let same = |e: &Edge| std::ptr::eq(e, exit);
            if !w.harmless(&starts, &back, volts, &|e| conducts(e) && (!leaves(e) || same(e))) {
                pole.unfused.push(exit.name.clone());
            }
            continue;
        }
        let contacts = |e: &Edge| matches!(e.link, Link::Contact | Link::Wire | Link::Thermal) && !leaves(e);
        let switched = w.flood(&[far], &stop, &contacts);
        for fuse in w.edges.iter().filter(|e| e.link == Link::Fuse && reached[e.ends[0]] != reached[e.ends[1]]) {
            let (near, beyond) =
                if reached[fuse.ends[0]] { (fuse.ends[0], fuse.ends[1]) } else { (fuse.ends[1], fuse.ends[0]) };
            if start[beyond] {
                continue;
            }
            let through_contacts = exit.link == Link::Contact && switched[near];
            let ends_there = w.flood(&[beyond], &stop, &|e| e.is_hard() && !reached[e.ends[0]] && !reached[e.ends[1]]);
            if !through_contacts && (0..back.len()).any(|n| ends_there[n] && back[n]) {
                pole.end.push(fuse.name.clone());
            } else if (0..back.len()).any(|n| back[n] && w.flood(&[beyond], &stop, &|e| e.link != Link::YCapacitor)[n])
            {
                pole.late.push((fuse.name.clone(), exit.name.clone()));
            }
        }
    }
    pole
}

/// A fuse that is met last, seen from `pin`.
pub fn one_pole(case: &Case, w: &Wiring, pin: NetId, fuses: &[String], assured: bool) -> Draft {
    let fuses = once(fuses.to_vec());
    let name = if assured { CheckId::FuseInNeutral } else { CheckId::SinglePoleFuse };
    let mild = !assured && !w.line_to_line() && case.jig.enclosure.class == Some(Class::II);
    let signal = if mild { Signal::Caution } else { Signal::Warning };
    let part = case.jig.parts.iter().find(|p| fuses.contains(&p.name));
    let d = match part {
        Some(p) => case.about_part(name, signal, p, "across"),
        None => case.about_key(name, signal, "supply.plug"),
    };
    let d = fuses.iter().fold(d, |d, f| d.part(f)).net(case.net(pin));
    let live = case.net(pin);
    if assured {
        return d.source(&rules::fuse_in_line()).says(
            format!("{} opens the neutral: when it blows, everything before it stays live", list(&fuses)),
            format!("move {} into the live conductor, one end on {live}", list(&fuses)),
        );
    }
    let why = if w.line_to_line() {
        format!("both pins are live and {} guards one: after it blows the tool stays live through {live}", list(&fuses))
    } else {
        format!(
            "with the plug the other way round {live} is live and has no fuse; {} then sits in the neutral",
            list(&fuses)
        )
    };
    d.source(&rules::fuse_each_pole())
        .condition(if w.line_to_line() {
            ""
        } else if pin == NET_N {
            "plug reversed"
        } else {
            ""
        })
        .says(why, format!("add a second fuse of the same rating directly behind {live}"))
}
