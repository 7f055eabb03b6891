//! What a switch leaves live when it is off.

use super::names;
use crate::checks::{Case, Draft};
use crate::finding::said::KeptLive;
use crate::finding::{CheckId, Signal, When};
use crate::jig::{NET_N, NetId, PartKind};
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
                if !nets.is_fed(edge, &all) || nets.is_fed(edge, &pass) {
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
