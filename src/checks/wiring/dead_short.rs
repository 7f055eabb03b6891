//! L joined to N, or either to earth, by the net list itself.

use super::graph::{Edge, Link, Wiring, once};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{Jig, NET_L, NET_N, NET_PE, PartKind};
use crate::part::Switch;
use crate::standard::rules;
use crate::survey::settings::{settings, switch_parts};
use crate::wording::join::list;

pub(super) const CHECK: Check = Check {
    id: CheckId::DeadShort,
    about: About {
        looks_at: "L joined to N, or either to earth, through wires, fuses and contacts alone.",
        limit: "None: the net list itself shows it.",
        rows: &["rules.rule.net_list"],
        how: "Walks from each pin in every combination of switch positions.",
        mend: "Take out the wire or the contact that joins them.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let w = Wiring::new(case.jig);
    if case.jig.supply.mains.is_none() {
        return;
    }
    let switches = switch_parts(case.jig);
    let mut told = vec![];
    for (at, _) in settings(case.jig).0 {
        let closed = |e: &Edge| {
            let position = e.part.and_then(|p| switches.iter().position(|s| *s == p)).map_or(0, |k| at[k]);
            e.is_hard() && (e.link != Link::Contact || e.closed.get(position).copied().unwrap_or(false))
        };
        for (a, b) in [(NET_L, NET_N), (NET_L, NET_PE), (NET_N, NET_PE)] {
            let from = w.flood(&[a], &w.none(), &closed);
            if !from[b] || told.contains(&(a, b)) {
                continue;
            }
            told.push((a, b));
            // What lies between: reached from one pin and from the other without passing through the first.
            let between = w.edges.iter().filter(|e| closed(e) && from[e.ends[0]]);
            let names = once(between.map(|e| e.name.clone()));
            let live = w.live_pins();
            let metal = b == NET_PE && (live.contains(&a) || w.line_to_line());
            let signal = if metal { Signal::Danger } else { Signal::Warning };
            let part = case.jig.parts.iter().find(|p| names.contains(&p.name));
            let d = match part {
                Some(p) => case.about_part(CheckId::DeadShort, signal, p, "across"),
                None => case.about_key(CheckId::DeadShort, signal, "supply"),
            };
            let d = names.iter().fold(d, |d, n| d.part(n)).net(case.net(a)).net(case.net(b));
            let words = position_words(case.jig, &switches, &at);
            let message = if b == NET_PE {
                format!(
                    "{} is joined to the protective earth through {}: a live pin there puts the mains on the earthed metal",
                    case.net(a),
                    list(&names)
                )
            } else {
                format!("{} joins L to N with nothing between to limit the current", list(&names))
            };
            out.push(
                d.condition(&words)
                    .source(&rules::net_list())
                    .says(message, format!("look for the wrong net among {}", list(&names))),
            );
        }
    }
}

fn position_words(jig: &Jig, switches: &[usize], at: &[usize]) -> String {
    let one = |(k, position): (&usize, &usize)| match &jig.parts[*k].kind {
        PartKind::Switch(Switch { contacts: crate::jig::SwitchContacts::Poles(_), .. }) => {
            format!("{} {}", jig.parts[*k].name, if *position == 0 { "on" } else { "off" })
        }
        PartKind::Switch(Switch { contacts: crate::jig::SwitchContacts::Positions(p), .. }) => {
            format!("{} at {}", jig.parts[*k].name, p.get(*position).map_or("?", |x| x.0.as_str()))
        }
        _ => String::new(),
    };
    switches.iter().zip(at).map(one).collect::<Vec<_>>().join(", ")
}
