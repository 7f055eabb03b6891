//! What leads past an open contact: a lamp, an LED or a capacitor across it.

use crate::checks::Case;
use crate::jig::{NetId, PartKind};
use crate::nets::{Edge, NetSet, Pass};
use crate::part::{Link, Switch};
use crate::survey::settings::off_positions;

/// A way past a switch that is off.
pub(crate) struct Past {
    /// The switch, by its index.
    pub switch: usize,
    /// Its position, off.
    pub off: usize,
    /// The live pin.
    pub pin: NetId,
    /// The net that should be dead.
    pub net: NetId,
    /// The outlet it is a terminal of.
    pub outlet: Option<usize>,
    /// Parts of the way, in its order.
    pub parts: Vec<usize>,
}

/// Every switch that is off and past which something leads: of each the outlet it leaves live, else whatever lies behind
/// it when it stands at the pin with nothing but wires and fuses between.
pub(crate) fn past_switches(case: &Case) -> Vec<Past> {
    let mut out = vec![];
    for (switch, part) in case.jig.parts.iter().enumerate() {
        let PartKind::Switch(Switch { contacts, .. }) = &part.kind else { continue };
        let ways = off_positions(contacts).into_iter().flat_map(|off| {
            let pins = case.nets().live_pins().iter();
            pins.filter_map(move |pin| past(case, switch, off, *pin)).collect::<Vec<_>>()
        });
        out.extend(ways.min_by_key(|w| w.outlet.is_none()));
    }
    out
}

fn past(case: &Case, switch: usize, off: usize, pin: NetId) -> Option<Past> {
    let nets = case.nets();
    let stands = |e: &Edge| {
        let Link::Contact(closed) = &e.link else { return true };
        e.part() != Some(switch) || closed.get(off).copied().unwrap_or(false)
    };
    let on = nets.walk(&[pin], &Edge::is_hard).reached();
    let hard_off = |e: &Edge| e.is_hard() && stands(e);
    let earthed = nets.walk(&nets.earthed_pins(pin), &hard_off).reached();
    let still = nets.walk(&[pin], &hard_off).reached();
    let dead = NetSet::of(nets.count(), |n| on.has(n) && !still.has(n) && !earthed.has(n));
    let leads =
        |e: &Edge| stands(e) && e.part().is_some() && !matches!(e.link, Link::Winding { .. } | Link::Module { .. });
    let round = NetSet::of(nets.count(), |n| earthed.has(n) && n != pin);
    let way = |net: NetId| parts_of(case, pin, &leads, &round, net);
    let outlets = case.jig.outlets.iter().enumerate();
    let terminals = outlets.flat_map(|(k, o)| o.across.map(|net| (net, Some(k)))).filter(|(net, _)| dead.has(*net));
    let main = at_the_pin(case, switch, pin);
    let behind = dead.iter().map(|net| (net, None)).filter(|_| main);
    terminals.chain(behind).find_map(|(net, outlet)| Some(Past { switch, off, pin, net, outlet, parts: way(net)? }))
}

/// The parts of the way from a pin to a net, where a glow lamp, an LED or a capacitor is among them: what merely limits,
/// such as the resistor of a soft start or the lamp of a limiter, is there to feed what lies behind.
fn parts_of(case: &Case, pin: NetId, leads: Pass, round: &NetSet, net: NetId) -> Option<Vec<usize>> {
    let from = [pin];
    let way = case.nets().walk(&from, leads).round(round).way(net)?;
    let mut parts: Vec<usize> = way.iter().rev().filter(|e| !e.is_hard()).filter_map(|e| e.part()).collect();
    parts.dedup();
    let pilot =
        |p: &usize| matches!(case.jig.parts[*p].kind, PartKind::Neon(_) | PartKind::Led(_) | PartKind::Capacitor(_));
    parts.iter().any(pilot).then_some(parts)
}

/// Whether a contact of a switch is the first thing behind a pin but wires and fuses.
fn at_the_pin(case: &Case, switch: usize, pin: NetId) -> bool {
    let plain = |e: &Edge| matches!(e.link, Link::Wire | Link::Fuse(_) | Link::ThermalFuse);
    let near = case.nets().walk(&[pin], &plain).reached();
    let contact = |e: &&Edge| e.part() == Some(switch) && near.has_any(&e.ends);
    case.nets().edges().iter().any(|e| contact(&e))
}
