//! What a switch leaves live when it is off.

use super::names;
use crate::checks::{Case, Draft};
use crate::finding::said::KeptLive;
use crate::finding::{CheckId, Signal, When};
use crate::jig::{NET_L, NET_N, NetId, Part, PartKind};
use crate::nets::{Edge, Live, Nets, Pass};
use crate::part::{Link, Switch};
use crate::standard::rules;
use crate::survey::settings::off_positions;

/// A load that stays live while a switch is off.
struct Kept {
    /// The switch, by its index.
    switch: usize,
    /// The load, by its place among the edges.
    load: usize,
    /// A pin it stays live from.
    pin: NetId,
}

/// Every switch that is off and leaves loads live.
pub(crate) fn kept_live(case: &Case, check: CheckId) -> Vec<(Draft, KeptLive)> {
    let Some(live) = case.nets().live() else { return vec![] };
    let kept = kept(case);
    let mut switches: Vec<usize> = kept.iter().map(|k| k.switch).collect();
    switches.sort_unstable();
    switches.dedup();
    let of = |switch: usize| kept.iter().filter(|k| k.switch == switch).collect::<Vec<_>>();
    switches.into_iter().map(|switch| finding(case, check, &of(switch), live)).collect()
}

/// What stays live, by switch and position; a load that some switch turns off for good is not among it.
fn kept(case: &Case) -> Vec<Kept> {
    let nets = case.nets();
    let (mut kept, mut dead): (Vec<Kept>, Vec<usize>) = (vec![], vec![]);
    for (switch, part) in case.jig.parts.iter().enumerate() {
        let PartKind::Switch(Switch { contacts, .. }) = &part.kind else { continue };
        for off in off_positions(contacts) {
            let stands = |e: &Edge| match &e.link {
                Link::Contact(closed) if e.part() == Some(switch) => closed.get(off).copied().unwrap_or(false),
                Link::Wire
                | Link::Fuse(_)
                | Link::ThermalFuse
                | Link::Contact(_)
                | Link::Resistor(_)
                | Link::Capacitor { .. }
                | Link::Diode
                | Link::Threshold
                | Link::Arm { .. }
                | Link::Impedance { .. }
                | Link::Winding { .. }
                | Link::Module { .. } => true,
            };
            let all = |e: &Edge| !e.link.is_safety_capacitor();
            let pass = |e: &Edge| all(e) && stands(e);
            for (load, edge) in nets.edges().iter().enumerate().filter(|(_, e)| e.is_body()) {
                if !works(nets, edge, &all)
                    || works_a_coil(case, switch, edge)
                    || !nets.is_fed(edge, &all)
                    || nets.is_fed(edge, &pass)
                {
                    continue;
                }
                match nets.live_pins().iter().find(|pin| live_from(nets, **pin, &pass, edge)) {
                    Some(pin) => kept.push(Kept { switch, load, pin: *pin }),
                    None => dead.push(load),
                }
            }
        }
    }
    kept.retain(|k| !dead.contains(&k.load));
    kept
}

/// Whether the mains drives a current through a part while every contact is closed: from its ends the poles are met one
/// each, when they are gone no further. What lies beside a fuse or contact, as an indicator of a blown fuse, has none.
fn works(nets: &Nets, load: &Edge, all: Pass) -> bool {
    let (l, n) = (nets.hard_joined(NET_L), nets.hard_joined(NET_N));
    if l.meets(&n) {
        return true;
    }
    let poles = l.or(&n);
    let others = |e: &Edge| all(e) && !std::ptr::eq(e, load);
    let met = |end: NetId| nets.walk(&[end], &others).ending_at(&poles).reached();
    let [a, b] = load.ends.map(met);
    (a.meets(&l) && b.meets(&n)) || (a.meets(&n) && b.meets(&l))
}

/// Whether a load is the winding that works contacts of its own in both poles, or lies across it as what takes up its
/// surges: those contacts make dead, this switch only tells them to.
fn works_a_coil(case: &Case, switch: usize, load: &Edge) -> bool {
    let nets = case.nets();
    let windings = nets.edges().iter().filter_map(|e| {
        let part = e.part().map(|k| &case.jig.parts[k]).filter(|p| matches!(p.kind, PartKind::Winding(_)))?;
        is_coil_of_another(case, switch, part).then_some(e)
    });
    windings.into_iter().any(|coil| std::ptr::eq(coil, load) || lies_across(nets, load, coil))
}

/// Whether a part lies across another one, straight or with one more in series.
fn lies_across(nets: &Nets, part: &Edge, other: &Edge) -> bool {
    let ends =
        other.ends.map(|net| nets.walk(&[net], &|e| e.is_hard() && !matches!(e.link, Link::Contact(_))).reached());
    let leads_to = |net: NetId| {
        let at = |net: NetId| (0..2).find(|k| ends[*k].has(net));
        at(net).or_else(|| {
            let mut others = nets.edges_at(net).filter(|e| !std::ptr::eq(*e, part));
            let only = others.next().filter(|_| others.next().is_none())?;
            only.other(net).and_then(at)
        })
    };
    let [a, b] = part.ends.map(leads_to);
    a.is_some() && b.is_some() && a != b
}

/// Whether a winding works contacts in both poles that are not those of a switch.
fn is_coil_of_another(case: &Case, switch: usize, coil: &Part) -> bool {
    let worked = |(k, p): (usize, &Part)| {
        let PartKind::Switch(Switch { contacts, coil: named, .. }) = &p.kind else { return false };
        let mine = match named {
            Some(name) => *name == coil.name,
            // K1 and its coil K1C, K1.A1, K1-coil.
            None => coil.name.to_lowercase().starts_with(&p.name.to_lowercase()),
        };
        k != switch && mine && contacts.each().len() > 1
    };
    case.jig.parts.iter().enumerate().any(worked)
}

/// Whether an end of the load stays joined to a live pin.
fn live_from(nets: &Nets, pin: NetId, pass: Pass, load: &Edge) -> bool {
    // What hangs hard on an earthed pin is at earth, however many parts join it to the live one.
    let earthed = nets.walk(&nets.earthed_pins(pin), &|e| pass(e) && e.is_hard()).reached();
    let live = nets.walk(&[pin], pass).ending_at(&earthed).reached();
    load.ends.iter().any(|n| live.has(*n) && !earthed.has(*n))
}

/// The finding about one switch; `kept` is not empty.
fn finding(case: &Case, check: CheckId, kept: &[&Kept], live: Live) -> (Draft, KeptLive) {
    let (part, pin) = (&case.jig.parts[kept[0].switch], kept[0].pin);
    let edges = case.nets().edges();
    let loads = names::of_edges(case, kept.iter().map(|k| &edges[k.load]));
    let draft = case.about_part(check, Signal::Warning, part, "poles").net(case.net(pin));
    let parts = loads.iter().filter(|name| case.jig.parts.iter().any(|p| p.name == **name));
    let reversed = live == Live::Either && pin == NET_N;
    let draft = parts
        .fold(draft, |d, load| d.part(load))
        .when(When::SwitchOff { switch: part.name.clone(), reversed })
        .source(&rules::switch_means_dead());
    let behind = case.net(case.nets().pole_end(pin)).to_string();
    (draft, KeptLive { switch: part.name.clone(), loads, pin: case.net(pin).to_string(), behind, live })
}
