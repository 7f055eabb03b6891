//! What the net list itself gives away: shorts, parts that are bridged, ends that hang in the air.

use super::graph::{Edge, Link, Wiring, list, once};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::Signal;
use crate::jig::{Grade, Jig, LoadKind, NET_L, NET_N, NET_PE, PartKind, Side, suggest_net};
use crate::part::{Capacitor, Socket, Switch, Transformer};
use crate::standard::rules;
use crate::survey::condition::{settings, switch_parts};

/// The check.
pub const CHECK: Check = Check {
    names: &["dead-short", "bypassed", "loose-end", "unused-part"],
    about: &[
        About {
            looks_at: "L joined to N, or either to earth, through wires, fuses and contacts alone.",
            limit: "None: the net list itself shows it.",
            rows: &["rules.rule.net_list"],
            how: "Walks from each pin in every combination of switch positions.",
            mend: "Take out the wire or the contact that joins them.",
        },
        About {
            looks_at: "A part whose two ends are joined by wire.",
            limit: "None: the net list itself shows it.",
            rows: &["rules.rule.net_list"],
            how: "Compares the nets of its ends, wires taken as one net.",
            mend: "Take out the wire, or correct the name of the net.",
        },
        About {
            looks_at: "A net that only one end names.",
            limit: "Every net joins two ends at least.",
            rows: &["rules.rule.net_list"],
            how: "Counts the ends of each net.",
            mend: "Correct the name, or take the part out.",
        },
        About {
            looks_at: "A part that nothing powers.",
            limit: "None: the net list itself shows it.",
            rows: &["rules.rule.net_list"],
            how: "Walks from the plug's pins, the outlets and charged capacitors through everything.",
            mend: "Correct the names of its nets, or take the part out.",
        },
    ],
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let w = Wiring::new(case.jig);
    shorts(case, &w, out);
    bypassed(case, &w, out);
    joined_windings(case, out);
    let loose = loose_ends(case, out);
    unused(case, &w, &loose, out);
}

fn shorts(case: &Case, w: &Wiring, out: &mut Vec<Draft>) {
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
                Some(p) => case.about_part("dead-short", signal, p, "across"),
                None => case.about_key("dead-short", signal, "supply"),
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

fn bypassed(case: &Case, w: &Wiring, out: &mut Vec<Draft>) {
    for (k, p) in case.jig.parts.iter().enumerate() {
        let mine: Vec<&Edge> = w.edges.iter().filter(|e| e.part == Some(k)).collect();
        let joined = |e: &&Edge| {
            let without = |x: &Edge| x.link == Link::Wire && x.part != Some(k);
            w.flood(&[e.ends[0]], &w.none(), &without)[e.ends[1]]
        };
        let Some(short) = mine.iter().copied().find(|e| joined(e)) else { continue };
        if matches!(p.kind, PartKind::Wire(_)) {
            // A second wire in parallel is no slip; one from a net to itself is.
            if short.ends[0] != short.ends[1] {
                continue;
            }
        }
        let signal = match &p.kind {
            PartKind::Fuse(_) | PartKind::ThermalFuse(_) | PartKind::Switch(_) => Signal::Warning,
            PartKind::Resistor(_) => Signal::Warning,
            PartKind::Wire(_) => Signal::Notice,
            _ => Signal::Caution,
        };
        let by: Vec<String> = once(
            w.edges
                .iter()
                .filter(|e| e.link == Link::Wire && e.part != Some(k) && e.ends.iter().any(|n| short.ends.contains(n)))
                .map(|e| e.name.clone()),
        );
        let (message, remedy) = if short.ends[0] == short.ends[1] {
            let net = case.net(short.ends[0]);
            (
                format!("both ends of {} are on {net}, so it does nothing", p.name),
                "correct one of its two nets".to_string(),
            )
        } else {
            (
                format!("{} is bridged by wire ({}), so it does nothing", p.name, list(&by)),
                format!("take the wire past {} out", p.name),
            )
        };
        let d = case.about_part("bypassed", signal, p, "across").net(case.net(short.ends[0]));
        out.push(d.source(&rules::net_list()).says(message, remedy));
    }
}

/// A transformer whose other side hangs on the mains by a way round it separates nothing.
fn joined_windings(case: &Case, out: &mut Vec<Draft>) {
    for p in &case.jig.parts {
        let PartKind::Transformer(Transformer { primary, secondaries, insulation, .. }) = &p.kind else { continue };
        // A transformer stated with no more than functional insulation is not there to separate: an autotransformer.
        if *insulation == Some(Grade::Functional) {
            continue;
        }
        // Between mains and mains there was nothing to separate: a transformer of a circuit that is isolated already.
        if !primary.across.iter().any(|n| case.is_mains(*n)) {
            continue;
        }
        for s in secondaries.iter().filter(|s| s.across.iter().any(|n| case.is_mains(*n))) {
            let d = s
                .across
                .iter()
                .fold(case.about_part("bypassed", Signal::Warning, p, "insulation"), |d, n| d.net(case.net(*n)));
            out.push(d.source(&rules::net_list()).says(
                format!(
                    "the secondary {} is joined to the mains past {}, so {} isolates nothing: what it feeds is live to earth",
                    list(&s.across.iter().map(|n| case.net(*n).to_string()).collect::<Vec<_>>()),
                    p.name,
                    p.name
                ),
                format!("take out what joins the secondary of {} to the primary side", p.name),
            ));
        }
    }
}

fn loose_ends(case: &Case, out: &mut Vec<Draft>) -> Vec<usize> {
    // Metal inside the box that an insulation names has no second end to give.
    let stated = |n: &usize| case.jig.insulations.iter().any(|i| i.between.contains(&Side::Net(*n)));
    let loose: Vec<usize> = case.jig.loose_nets().into_iter().filter(|n| !stated(n)).collect();
    for n in &loose {
        let net = &case.jig.nets[*n];
        let owner = case.jig.parts.iter().find(|p| p.kind.terminals().contains(n));
        let place = owner.map_or(net.place, |_| net.place);
        let mut d = case.at("loose-end", Signal::Caution, place).net(&net.name).source(&rules::net_list());
        if let Some(p) = owner {
            d = d.part(&p.name);
        }
        let remedy = match suggest_net(case.jig, &net.name) {
            Some(near) => format!("did you mean {near}? Else join the end to something or take it out"),
            None => "join the end to something, or take it out".to_string(),
        };
        let whose = owner.map_or(String::new(), |p| format!(" (an end of {})", p.name));
        out.push(d.says(format!("{} is named once{whose}: that end hangs in the air", net.name), remedy));
    }
    loose
}

fn unused(case: &Case, w: &Wiring, loose: &[usize], out: &mut Vec<Draft>) {
    let jig = case.jig;
    let mut starts: Vec<usize> = if jig.supply.mains.is_some() { vec![NET_L, NET_N, NET_PE] } else { vec![] };
    // Without mains whatever is put on the outlets powers the tool.
    let charged = |k: &LoadKind| matches!(k, LoadKind::Charged(..));
    for o in &jig.outlets {
        if jig.supply.mains.is_none() || o.loads.iter().any(|l| charged(&l.kind)) {
            starts.extend(o.across);
        }
    }
    for p in &jig.parts {
        match &p.kind {
            PartKind::Capacitor(Capacitor { across, charged: Some(v), .. }) if *v > 0.0 => starts.extend(across),
            PartKind::Socket(Socket { nets, .. }) if jig.supply.mains.is_none() => starts.extend(nets),
            _ => {}
        }
    }
    // A transformer or module passes power on to its other side.
    loop {
        let seen = w.flood(&starts, &w.none(), &|_| true);
        let more: Vec<usize> = jig
            .parts
            .iter()
            .filter(|p| matches!(p.kind, PartKind::Transformer(_) | PartKind::Psu(_)))
            .map(|p| p.kind.terminals())
            .filter(|t| t.iter().any(|n| seen[*n]) && t.iter().any(|n| !seen[*n]))
            .flatten()
            .collect();
        if more.is_empty() {
            let dead = jig.parts.iter().filter(|p| !p.kind.terminals().iter().any(|n| seen[*n]));
            for p in dead {
                // A misspelt net is told once, as a loose end.
                let slip = p.kind.terminals().iter().any(|n| loose.contains(n));
                if !slip {
                    out.push(
                        case.about_part("unused-part", Signal::Caution, p, "across").source(&rules::net_list()).says(
                            format!("{} is joined to nothing that is powered, so it was not judged", p.name),
                            format!("correct the nets of {}, or take it out of the file", p.name),
                        ),
                    );
                }
            }
            return;
        }
        starts.extend(more);
    }
}
