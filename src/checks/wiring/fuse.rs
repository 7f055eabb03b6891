//! Every live path is fused at its start. Judges from the graph alone; must not know what flows.

use super::graph::{Edge, Link, Wiring, list, once};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::Signal;
use crate::jig::{Class, NET_L, NET_N, NET_PE, NetId};
use crate::standard::{Level, rules};

/// The check.
pub const CHECK: Check = Check {
    names: &["no-fuse", "single-pole-fuse", "fuse-in-neutral", "fuse-after-switch-or-part"],
    about: &[
        About {
            looks_at: "Whether every path from a pin that can be live to the other pin or to earth goes through a fuse.",
            limit: "None without a fuse, save through protective impedance: at the highest mains at most {touch.current_limit.iec61010_normal_ac.ac_rms_ma}, and {touch.current_limit.iec61010_fault.ac_rms_ma} with any one resistor shorted.",
            rows: &["rules.rule.every_path_fused"],
            how: "Walks from each live pin through everything that is no fuse. Current of a path = highest volts to earth / sum of its resistors (the largest one left out for the fault).",
            mend: "Put a fuse directly behind the plug, before the first part; on a plug that goes in both ways one in each pole.",
        },
        About {
            looks_at: "A fuse in one pole where either pin can be live.",
            limit: "A fuse in each pole that can be live: both on reversible plugs and on line-to-line supplies.",
            rows: &["rules.rule.fuse_each_pole"],
            how: "Walks from each pin that can be live: the fuse must be the first thing it meets.",
            mend: "Add a second fuse of the same rating directly behind the other pin.",
        },
        About {
            looks_at: "A fuse that opens the neutral and leaves the tool live.",
            limit: "The fuse stands in the line conductor.",
            rows: &["rules.rule.fuse_in_line"],
            how: "With the live pin assured, walks from it: a fuse that is met only behind the load is in the neutral.",
            mend: "Move the fuse into the line conductor, directly behind the plug.",
        },
        About {
            looks_at: "A fuse that does not come first in the live conductor.",
            limit: "Protection against overcurrent stands at the start of what it protects.",
            rows: &["rules.rule.fuse_at_start"],
            how: "Walks from each live pin: what it meets before the fuse has no fuse of its own.",
            mend: "Move the fuse directly behind the plug, before switch and parts.",
        },
    ],
    run,
};

#[derive(Default)]
struct Pole {
    unfused: Vec<String>,
    late: Vec<(String, String)>,
    end: Vec<String>,
}

fn run(case: &Case, out: &mut Vec<Draft>) {
    let w = Wiring::new(case.jig);
    let pins = w.live_pins();
    let poles: Vec<(NetId, Pole)> =
        pins.iter().filter(|p| !plug_fused(case, **p)).map(|p| (*p, walk(&w, *p))).collect();
    let unfused = once(poles.iter().flat_map(|p| p.1.unfused.clone()));
    if !unfused.is_empty() {
        out.push(no_fuse(case, &w, &poles, &unfused));
    }
    let late: Vec<&(String, String)> = poles.iter().flat_map(|p| &p.1.late).collect();
    for fuse in once(late.iter().map(|l| l.0.clone())) {
        let before = once(late.iter().filter(|l| l.0 == fuse).map(|l| l.1.clone()));
        let pin = poles.iter().find(|p| p.1.late.iter().any(|l| l.0 == fuse)).map_or(NET_L, |p| p.0);
        if let Some(part) = case.jig.parts.iter().find(|p| p.name == fuse) {
            let mut d = case.about_part("fuse-after-switch-or-part", Signal::Warning, part, "across");
            d = before.iter().fold(d, |d, b| d.part(b)).net(case.net(pin));
            out.push(d.source(&rules::fuse_at_start()).says(
                format!(
                    "{fuse} comes after {}, so a fault there or in the wiring before it is not ended by the fuse",
                    list(&before)
                ),
                format!(
                    "move {fuse} to the start of the live conductor: one end on {}, all else behind it",
                    case.net(pin)
                ),
            ));
        }
    }
    for (pin, pole) in poles.iter().filter(|p| !p.1.end.is_empty()) {
        out.push(one_pole(case, &w, *pin, &pole.end, pins.len() == 1));
    }
}

/// Whether the plug's own fuse stands behind this pin.
fn plug_fused(case: &Case, pin: NetId) -> bool {
    let s = &case.jig.supply;
    let holds =
        s.plug.as_ref().is_some_and(|p| p.fused || (s.plug_fuse.is_some() && super::plug::may_hold_fuse(&p.row)));
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

fn no_fuse(case: &Case, w: &Wiring, poles: &[(NetId, Pole)], unfused: &[String]) -> Draft {
    let pins = once(poles.iter().filter(|p| !p.1.unfused.is_empty()).map(|p| case.net(p.0).to_string()));
    let first = case.jig.parts.iter().find(|p| unfused.contains(&p.name));
    let mut d = match first {
        Some(part) => case.about_part("no-fuse", Signal::Warning, part, "across"),
        None => case.about_key("no-fuse", Signal::Warning, "supply.plug"),
    };
    for name in unfused.iter().filter(|n| case.jig.parts.iter().any(|p| p.name == **n)) {
        d = d.part(name);
    }
    d = pins.iter().fold(d, |d, p| d.net(p));
    let where_ = match (w.live_pins().len(), w.line_to_line()) {
        (1, _) => format!("put a fuse directly behind {}, before {}", case.net(NET_L), list(unfused)),
        (_, true) => "put a fuse directly behind L and another behind N (both are live), before anything else".into(),
        _ => "put a fuse directly behind L and another behind N (the plug leaves open which is live), before anything else".into(),
    };
    d.source(&rules::every_path_fused()).says(
        format!(
            "the path from {} through {} has no fuse: a short there is left to the branch breaker",
            list(&pins),
            list(unfused)
        ),
        where_,
    )
}

/// A fuse that is met last, seen from `pin`.
fn one_pole(case: &Case, w: &Wiring, pin: NetId, fuses: &[String], assured: bool) -> Draft {
    let fuses = once(fuses.to_vec());
    let name = if assured { "fuse-in-neutral" } else { "single-pole-fuse" };
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
