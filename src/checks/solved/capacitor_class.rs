//! The interference-suppression class that the place of a capacitor asks for.

use super::lookup::{lasting, nominal_volts, swing};
use super::propose;
use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::{CapacitorClass, CapacitorPlace};
use crate::finding::{CheckId, Quantity, Said, Signal, Situation};
use crate::jig::{CapClass, Ends, Material, NET_L, NET_N, NET_PE, NetId, Part, PartKind};
use crate::nets::{Edge, Groups};
use crate::part::{Capacitor, Link};
use crate::standard::capacitor::{Bridges, bridges, rule};
use crate::standard::{self, Row};

pub(super) const CHECK: Check = Check {
    id: CheckId::CapacitorClass,
    judges: &[of("capacitor", &["class"], &[At::Use, At::Fault])],
    about: About {
        looks_at: "every capacitor that lies on the mains, or from the mains to anything else",
        limit: "class X or Y across the line and as a dropper; class P in series with a motor (one of class P0 in a metal box); class Y from the mains to earth; Y1, or two Y2 in series, from the mains to anything that is not earthed",
        rows: &["capacitors.use_rules"],
        how: "the ends are followed through wires, contacts and fuses",
        mend: "take the class asked for, marked on the part with its approval: an ordinary film capacitor fails short and burns",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        if let PartKind::Capacitor(Capacitor { across, class, .. }) = part.kind {
            out.extend(class_of(case, k, part, across, class));
        }
    }
}

/// What the place of a capacitor asks for.
enum Position {
    /// Between the conductors of the supply, straight or in series with something.
    Line,
    /// In series with the winding of a motor.
    Motor,
    /// From the mains to the protective earth.
    Earth,
    /// From the mains to anything else.
    Beyond(NetId),
}

fn class_of(case: &Case, k: usize, part: &Part, across: Ends, class: Option<CapClass>) -> Option<Draft> {
    let place = place(case, k, across)?;
    let y = class.is_some_and(|c| bridges(c) >= Bridges::Basic);
    let suppression = class.is_some_and(CapClass::is_suppression);
    let (fits, asked) = match place {
        Position::Line => (suppression, CapacitorPlace::Line),
        // One that fails without protection of its own wants a box that holds fire.
        Position::Motor => {
            let holds_fire = case.jig.enclosure.material == Some(Material::Metal);
            (class.is_some_and(|c| c != CapClass::P0 || holds_fire), CapacitorPlace::Motor)
        }
        Position::Earth => (y, CapacitorPlace::Earth),
        Position::Beyond(net) => {
            let second = y && in_series_with_y(case, part, net);
            let y1 = class.is_some_and(|c| bridges(c) == Bridges::Reinforced);
            (y1 || second, CapacitorPlace::Beyond)
        }
    };
    if fits {
        return None;
    }
    let (row, proposals) = match place {
        Position::Line => ("dropper", propose::capacitor_class(case, part, nominal_volts(case))),
        Position::Motor => ("motor_run", vec![]),
        Position::Earth | Position::Beyond(_) => ("x_not_to_touchable", vec![]),
    };
    let signal = if matches!(place, Position::Motor) { Signal::Caution } else { Signal::Warning };
    let source = rule(row).map_or(String::new(), |r| r.cite());
    let said = CapacitorClass { part: part.name.clone(), stated: class, cure: asked };
    let draft = case.about_part(CheckId::CapacitorClass, signal, part, "class").source(&source);
    Some(draft.states(Said::CapacitorClass(said)).proposes(proposals))
}

fn place(case: &Case, k: usize, [a, b]: Ends) -> Option<Position> {
    case.jig.supply.mains.as_ref()?;
    let (ma, mb) = (case.is_mains(a), case.is_mains(b));
    let wired = case.nets().groups(&Edge::is_unfused);
    if ma
        && mb
        && nominal_volts(case) > standard::touch::extra_low_voltage().0.value
        && bridges_contact(case, k, [a, b])
    {
        return Some(Position::Line);
    }
    match (ma, mb) {
        (true, true) => {
            let lies_across = |g: &Groups| g.same(a, NET_L) && g.same(b, NET_N) || g.same(a, NET_N) && g.same(b, NET_L);
            let line = case.nets().hard_groups().iter().any(lies_across);
            // In series with a lamp: an a.c. voltage that is no longer extra-low stands across it.
            let (elv, _) = standard::touch::extra_low_voltage();
            let both =
                swing(case, k, Situation::Normal).zip(lasting(case, k, Quantity::VoltagePeak, Situation::Normal));
            let ac = both.is_some_and(|(s, p)| s.value > 0.5 * p.value);
            let high = lasting(case, k, Quantity::VoltageRms, Situation::Normal).is_some_and(|s| s.value > elv.value);
            if !line && in_series_with_motor(case, item_part(case, k), [a, b]) {
                return Some(Position::Motor);
            }
            (line || ac && high && nominal_volts(case) > elv.value).then_some(Position::Line)
        }
        (true, false) | (false, true) => {
            let other = if ma { b } else { a };
            Some(if wired.same(other, NET_PE) { Position::Earth } else { Position::Beyond(other) })
        }
        _ => None,
    }
}

/// Whether it lies across an open contact in a pole of the mains, straight or with a resistor of its own in series: the
/// whole mains stands there when the contact opens on a load.
fn bridges_contact(case: &Case, k: usize, ends: Ends) -> bool {
    let nets = case.nets();
    let own = |e: &Edge| e.part() == Some(item_part(case, k));
    let closed = |e: &Edge| e.is_hard() && !matches!(e.link, Link::Contact(_));
    let poles = nets.hard_joined(NET_L).or(&nets.hard_joined(NET_N));
    let joined = |net: NetId| nets.walk(&[net], &closed).reached();
    // Behind a resistor that nothing else hangs on.
    let behind = |net: NetId| {
        let mut others = nets.edges_at(net).filter(|e| !own(e));
        let only = others.next().filter(|e| matches!(e.link, Link::Resistor(_)) && others.next().is_none());
        only.and_then(|e| e.other(net))
    };
    let sides = ends.map(|end| [Some(joined(end)), behind(end).map(joined)]);
    let reaches = |side: usize, net: NetId| sides[side].iter().flatten().any(|nets| nets.has(net));
    let contacts = nets.edges().iter().filter(|e| matches!(e.link, Link::Contact(_)) && poles.has_any(&e.ends));
    contacts.map(|e| e.ends).any(|[p, q]| reaches(0, p) && reaches(1, q) || reaches(0, q) && reaches(1, p))
}

fn item_part(case: &Case, k: usize) -> usize {
    case.survey.model.items[k].part
}

/// Whether one end goes on through the winding of a motor and through nothing else that does not lie beside the capacitor,
/// whatever the contacts between them choose.
fn in_series_with_motor(case: &Case, capacitor: usize, ends: Ends) -> bool {
    let nets = case.nets();
    let fixed = |e: &Edge| e.is_hard() && !matches!(e.link, Link::Contact(_));
    let pins = nets.walk(&[NET_L, NET_N], &fixed).reached();
    let is_motor = |e: &Edge| e.part().is_some_and(|p| matches!(case.jig.parts[p].kind, PartKind::Winding(_)));
    let is_contact = |e: &Edge| matches!(e.link, Link::Contact(_));
    let goes_on = |end: NetId, other: NetId| {
        let here = nets.walk(&[end], &fixed).reached();
        if here.meets(&pins) {
            return false;
        }
        // What a contact chooses counts as joined, one choice at a time, unless it is a pole.
        let chosen = nets.edges().iter().filter(|e| is_contact(e)).filter_map(|e| {
            let [a, b] = e.ends;
            let far = if here.has(a) { b } else { a };
            (here.has(a) != here.has(b)).then(|| nets.walk(&[far], &fixed).reached())
        });
        let mut ways: Vec<_> = chosen.filter(|far| !far.meets(&pins)).map(|far| here.or(&far)).collect();
        if ways.is_empty() {
            ways.push(here);
        }
        // What leads to the far end without the motor lies beside it, as its bleeder does.
        let own = |e: &Edge| e.part() == Some(capacitor);
        ways.iter().all(|way| {
            let beside = nets.walk(&[other], &|e| !own(e) && !is_motor(e) && !is_contact(e)).round(way).reached();
            let leaving = |e: &&Edge| !own(e) && !is_contact(e) && way.has(e.ends[0]) != way.has(e.ends[1]);
            let mut on = nets.edges().iter().filter(leaving).filter(|e| !beside.has_any(&e.ends)).peekable();
            on.peek().is_some() && on.all(is_motor)
        })
    };
    goes_on(ends[0], ends[1]) || goes_on(ends[1], ends[0])
}

/// Whether the only way on from the far end is another capacitor of class Y.
fn in_series_with_y(case: &Case, part: &Part, net: NetId) -> bool {
    let touched = case.jig.touchables.iter().any(|t| t.net == net);
    let mut others =
        case.jig.parts.iter().filter(|p| p.name != part.name && p.kind.terminals().contains(&net)).peekable();
    !touched
        && others.peek().is_some()
        && others.all(
            |p| matches!(p.kind, PartKind::Capacitor(Capacitor { class: Some(c), .. }) if bridges(c) >= Bridges::Basic),
        )
}
