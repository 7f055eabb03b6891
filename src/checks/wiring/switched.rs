//! What a switch leaves live when it is off.

use super::graph::{Edge, Link, Nets, Wiring, once};
use crate::checks::{Case, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{NET_L, NET_N, NET_PE, NetId, PartKind, SwitchContacts};
use crate::part::Switch;
use crate::standard::rules;
use crate::wording::join::list;

/// A switch that is off, and what stays joined to a live pin all the same.
pub struct Kept {
    /// The switch, by its index.
    pub switch: usize,
    /// Names of the loads that stay live.
    pub loads: Vec<String>,
    /// A pin they stay live from.
    pub pin: NetId,
}

/// Every switch that is off and leaves loads live.
pub fn kept_live(case: &Case, w: &Wiring) -> Vec<Kept> {
    let pins = w.live_pins();
    if pins.is_empty() {
        return vec![];
    }
    // (switch, load that stays live, pin it stays live from)
    let mut kept: Vec<(usize, usize, usize)> = vec![];
    let mut dead: Vec<usize> = vec![];
    for (k, part) in case.jig.parts.iter().enumerate() {
        let PartKind::Switch(Switch { contacts, .. }) = &part.kind else { continue };
        for off in off_positions(contacts) {
            let pass = |e: &Edge| {
                e.link != Link::YCapacitor
                    && (e.part != Some(k) || e.link != Link::Contact || e.closed.get(off).copied().unwrap_or(false))
            };
            let all = |e: &Edge| e.link != Link::YCapacitor;
            for (n, load) in w.edges.iter().enumerate().filter(|(_, e)| e.link == Link::Body) {
                if !energised(w, load, &all) || energised(w, load, &pass) {
                    continue;
                }
                match pins.iter().find(|pin| live_from(w, **pin, &pass, load)) {
                    Some(pin) => kept.push((k, n, *pin)),
                    None => dead.push(n),
                }
            }
        }
    }
    kept.retain(|(_, load, _)| !dead.contains(load));
    let one = |k: usize| {
        let mine: Vec<_> = kept.iter().filter(|x| x.0 == k).collect();
        let loads = once(mine.iter().map(|x| w.edges[x.1].name.clone()));
        Kept { switch: k, loads, pin: mine[0].2 }
    };
    once_numbers(kept.iter().map(|x| x.0)).into_iter().map(one).collect()
}

/// Off positions of a switch: all contacts of a plain switch open, or a position that says so or closes nothing.
fn off_positions(contacts: &SwitchContacts) -> Vec<usize> {
    match contacts {
        SwitchContacts::Poles(_) => vec![1],
        SwitchContacts::Positions(p) => {
            let off = |(name, closed): &(String, Vec<_>)| closed.is_empty() || name.eq_ignore_ascii_case("off");
            (0..p.len()).filter(|k| off(&p[*k])).collect()
        }
    }
}

fn once_numbers(of: impl Iterator<Item = usize>) -> Vec<usize> {
    let mut out: Vec<usize> = of.collect();
    out.sort_unstable();
    out.dedup();
    out
}

/// Whether current can flow through the load: its two ends hang on different pins when it is taken out.
fn energised(w: &Wiring, load: &Edge, pass: &dyn Fn(&Edge) -> bool) -> bool {
    let earth = w.wired(NET_PE);
    let without = |e: &Edge| pass(e) && !std::ptr::eq(e, load);
    let from = |pin: usize| w.flood(&[pin], &earth, &without);
    let (l, n) = (from(NET_L), from(NET_N));
    let [a, b] = load.ends;
    (l[a] && n[b]) || (l[b] && n[a])
}

/// Whether an end of the load stays joined to a live pin.
fn live_from(w: &Wiring, pin: usize, pass: &dyn Fn(&Edge) -> bool, load: &Edge) -> bool {
    // What hangs hard on an earthed pin is at earth, however many parts join it to the live one.
    let earthed: Nets = w.flood(&w.earthed_pins(pin), &w.none(), &|e| pass(e) && e.is_hard());
    let live = w.flood(&[pin], &earthed, pass);
    load.ends.iter().any(|n| live[*n] && !earthed[*n])
}

/// `assured`: whether the live pin is.
pub fn finding(case: &Case, w: &Wiring, kept: &Kept, assured: bool) -> Draft {
    let Kept { switch: k, loads, pin } = kept;
    let (k, pin) = (*k, *pin);
    let part = &case.jig.parts[k];
    let name = if assured { CheckId::SwitchInNeutral } else { CheckId::SinglePoleSwitch };
    let mut d = case.about_part(name, Signal::Warning, part, "poles").net(case.net(pin));
    for load in loads.iter().filter(|n| case.jig.parts.iter().any(|p| p.name == **n)) {
        d = d.part(load);
    }
    let s = &part.name;
    let at = case.net(w.pole_end(pin));
    let when = match (assured, w.line_to_line(), pin) {
        (true, ..) | (_, true, _) => format!("{s} off"),
        (_, _, NET_N) => format!("plug reversed, {s} off"),
        _ => format!("{s} off"),
    };
    let remedy = if assured {
        format!("open the live conductor too or instead: put the contact of {s} directly behind {at}")
    } else {
        format!("use a two-pole switch for {s}, its second contact directly behind {at}")
    };
    d.condition(&when).source(&rules::switch_means_dead()).says(
        format!(
            "{s} off does not mean dead: {} {} joined to {}, which can be live",
            list(loads),
            if loads.len() > 1 { "stay" } else { "stays" },
            case.net(pin)
        ),
        remedy,
    )
}
