//! Capacitors: working volts, polarity, interference-suppression class.

use crate::checks::{About, Case, Check, Draft};
use crate::finding::{Kind, Quantity, Signal};
use crate::jig::{CapClass, Ends, NET_L, NET_N, NET_PE, NetId, Part, PartKind};
use crate::part::Capacitor;
use crate::standard::capacitor::{Bridges, bridges, rule};
use crate::standard::{self, Row};

use super::paths::by_wire;
use super::propose;
use super::words::{KINDS, graded, lasting, next_of, nominal_volts, rated, reverse, show, to_nominal, when};

pub(super) const CHECK: Check = Check {
    names: &["capacitor-voltage", "capacitor-class"],
    about: &[
        About {
            looks_at: "the volts across every capacitor, and which way round they stand on a polarised one",
            limit: "its own rating: a.c. r.m.s. for X and Y types (compared with the nominal supply: their standard allows for its tolerance), d.c. or peak for the others at the highest supply; an electrolytic stands {bench.rule.electrolytic_reverse.reverse_v} the wrong way round",
            rows: &["jig"],
            how: "r.m.s., peak and most negative volts over a mains cycle, normal and with any one fault",
            mend: "take the next rating of the row; X2 275 V or 310 V across 230 V mains; turn an electrolytic round or put it behind the rectifier",
        },
        About {
            looks_at: "every capacitor that lies on the mains, or from the mains to anything else",
            limit: "class X or Y across the line and as a dropper; class Y from the mains to earth; Y1, or two Y2 in series, from the mains to anything that is not earthed",
            rows: &["capacitors.use_rules"],
            how: "the ends are followed through wires, contacts and fuses",
            mend: "take the class asked for, marked on the part with its approval: an ordinary film capacitor fails short and burns",
        },
    ],
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    for (k, item) in case.survey.model.items.iter().enumerate() {
        let part = &case.jig.parts[item.part];
        if let PartKind::Capacitor(Capacitor { across, class, .. }) = part.kind {
            if let Some(d) = volts(case, k, part) {
                out.push(d);
            }
            if let Some(d) = class_of(case, k, part, across, class) {
                out.push(d);
            }
        }
    }
}

fn volts(case: &Case, k: usize, part: &Part) -> Option<Draft> {
    let PartKind::Capacitor(Capacitor { voltage, class, polarised, dc_voltage, .. }) = part.kind else { return None };
    for kind in KINDS {
        if polarised {
            let limit = standard::bench::electrolytic_reverse();
            if let Some(s) = reverse(case, k, kind).filter(|s| s.value > limit.value) {
                return Some(
                    case.about_part("capacitor-voltage", graded(Signal::Warning, kind), part, "polarised")
                        .over("reverse volts", &s, &limit)
                        .says(
                            format!(
                                "{} {} stand the wrong way round on {}, a polarised capacitor: it heats up and bursts",
                                when(kind, &s),
                                show(s.value, "V"),
                                part.name
                            ),
                            "turn it round, put it behind the rectifier, or use a film capacitor made for a.c.",
                        ),
                );
            }
        }
        let ac = class.is_some() || !polarised && dc_voltage.is_none();
        let (quantity, words, limit) = match (ac, dc_voltage, voltage) {
            (true, _, Some(v)) => (Quantity::VoltageRms, "volts r.m.s.", v),
            (false, Some(v), _) => (Quantity::VoltagePeak, "volts peak", v),
            (false, None, Some(v)) => (Quantity::VoltagePeak, "volts peak", v),
            _ => return None,
        };
        // X and Y types stand surges of kilovolts: what counts is the supply they lie on.
        if class.is_some() && kind != Kind::Normal {
            continue;
        }
        let Some(mut s) = lasting(case, k, quantity, kind) else { continue };
        if class.is_some() {
            s.value *= to_nominal(case);
        }
        if s.value > limit * (1.0 + 1e-3) {
            let key = if !ac && dc_voltage.is_some() { "dc-voltage" } else { "voltage" };
            let remedy = match class {
                Some(c) => {
                    let rows = standard::parts::x2_capacitor().iter().filter_map(|r| r.number("rated_ac_v"));
                    next_of(rows, s.value).map_or("use a higher rating".into(), |v| {
                        format!("use class {c:?} rated {} a.c.", show(v, "V"))
                    })
                }
                None => format!(
                    "use at least {}",
                    show(standard::preferred::nearest_at_least(s.value, 6).unwrap_or(s.value), "V")
                ),
            };
            return Some(
                case.about_part("capacitor-voltage", graded(Signal::Warning, kind), part, "voltage")
                    .over(words, &s, &rated(limit, "V"))
                    .says(
                        format!(
                            "{} {} ({words}) stand across {}, made for {}: it breaks down",
                            when(kind, &s),
                            show(s.value, "V"),
                            part.name,
                            show(limit, "V")
                        ),
                        remedy,
                    )
                    .proposes(propose::capacitor_class(case, part, nominal_volts(case).max(s.value)))
                    .proposes(propose::capacitor_volts(part, s.value, key)),
            );
        }
    }
    None
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
    Some(case.about_part("capacitor-class", signal, part, "class").source(&source).says(
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
