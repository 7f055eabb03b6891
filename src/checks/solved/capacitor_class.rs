//! The interference-suppression class that the place of a capacitor asks for.

use super::paths::by_wire;
use super::propose;
use super::words::{lasting, nominal_volts, reverse};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::Quantity;
use crate::finding::{CheckId, Kind, Signal};
use crate::jig::{CapClass, Ends, NET_L, NET_N, NET_PE, NetId, Part, PartKind};
use crate::part::Capacitor;
use crate::standard::capacitor::{Bridges, bridges, rule};
use crate::standard::{self, Row};

pub(super) const CHECK: Check = Check {
    id: CheckId::CapacitorClass,
    about: About {
        looks_at: "every capacitor that lies on the mains, or from the mains to anything else",
        limit: "class X or Y across the line and as a dropper; class Y from the mains to earth; Y1, or two Y2 in series, from the mains to anything that is not earthed",
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
enum Place {
    /// Between the conductors of the supply, straight or in series with something.
    Line,
    /// From the mains to the protective earth.
    Earth,
    /// From the mains to anything else.
    Beyond(NetId),
}

fn class_of(case: &Case, k: usize, part: &Part, across: Ends, class: Option<CapClass>) -> Option<Draft> {
    let (place, pair) = (place(case, k, across)?, class);
    let y = class.is_some_and(|c| bridges(c) >= Bridges::Basic);
    let (wanted, fits, what, signal) = match place {
        Place::Line => ("X1, X2 or Y", class.is_some(), "lies on the mains", Signal::Warning),
        Place::Earth => ("Y2 or Y1", y, "lies from the mains to the protective earth", Signal::Warning),
        Place::Beyond(net) => {
            let second = pair.is_some_and(|c| bridges(c) >= Bridges::Basic) && in_series_with_y(case, part, net);
            let y1 = class.is_some_and(|c| bridges(c) == Bridges::Reinforced);
            let fits = y1 || second;
            (
                "Y1, or two Y2 in series",
                fits,
                "lies from the mains to something that is not on the mains and not earthed",
                Signal::Warning,
            )
        }
    };
    if fits {
        return None;
    }
    let has = class.map_or("no class".to_string(), |c| format!("class {c:?}"));
    let source = match place {
        Place::Line => rule("dropper").map_or(String::new(), |r| r.cite()),
        _ => rule("x_not_to_touchable").map_or(String::new(), |r| r.cite()),
    };
    Some(case.about_part(CheckId::CapacitorClass, signal, part, "class").source(&source).says(
        format!("{} {what} and is stated with {has}: when it breaks down it shorts, burns, or puts the mains where it must not be", part.name),
        format!("use a part of class {wanted}"),
    ).proposes(match place {
        Place::Line => propose::capacitor_class(case, part, nominal_volts(case)),
        _ => vec![],
    }))
}

fn place(case: &Case, k: usize, [a, b]: Ends) -> Option<Place> {
    case.jig.supply.mains.as_ref()?;
    let (ma, mb) = (case.is_mains(a), case.is_mains(b));
    let wired = by_wire(case, false);
    match (ma, mb) {
        (true, true) => {
            let g = by_wire(case, true);
            let line = g.same(a, NET_L) && g.same(b, NET_N) || g.same(a, NET_N) && g.same(b, NET_L);
            // In series with a lamp: an a.c. voltage that is no longer extra-low stands across it.
            let (elv, _) = standard::touch::extra_low_voltage();
            let ac = reverse(case, k, Kind::Normal).zip(lasting(case, k, Quantity::VoltagePeak, Kind::Normal));
            let ac = ac.is_some_and(|(r, p)| r.value > 0.5 * p.value);
            let high = lasting(case, k, Quantity::VoltageRms, Kind::Normal).is_some_and(|s| s.value > elv.value);
            (line || ac && high && nominal_volts(case) > elv.value).then_some(Place::Line)
        }
        (true, false) | (false, true) => {
            let other = if ma { b } else { a };
            Some(if wired.same(other, NET_PE) { Place::Earth } else { Place::Beyond(other) })
        }
        _ => None,
    }
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
