//! Off must mean dead, either way round. Judges from the graph alone; must not know what flows.

use super::graph::{Edge, Link, Nets, Wiring, list, once};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::Signal;
use crate::jig::{NET_L, NET_N, NET_PE, PartKind, SwitchContacts};
use crate::part::Switch;
use crate::standard::rules;

/// The check.
pub const CHECK: Check = Check {
    names: &["switch-in-neutral", "single-pole-switch"],
    about: &[
        About {
            looks_at: "A switch that opens the neutral and leaves the tool live.",
            limit: "A switch in one pole stands in the line conductor.",
            rows: &["rules.rule.switch_means_dead"],
            how: "With the switch off, walks from the live pin through everything that conducts: no part the switch turns off may be reached.",
            mend: "Move the contact into the line conductor, or use a switch that opens both poles.",
        },
        About {
            looks_at: "A switch in one pole where either pin can be live.",
            limit: "Every live pole is opened: both on reversible plugs and on line-to-line supplies.",
            rows: &["rules.rule.switch_means_dead"],
            how: "With the switch off, walks from each pin that can be live: no part the switch turns off may be reached.",
            mend: "Use a switch that opens both poles.",
        },
    ],
    run,
};

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

fn run(case: &Case, out: &mut Vec<Draft>) {
    let w = Wiring::new(case.jig);
    let pins = w.live_pins();
    if pins.is_empty() {
        return;
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
                if !energised(&w, load, &all) || energised(&w, load, &pass) {
                    continue;
                }
                match pins.iter().find(|pin| live_from(&w, **pin, &pass, load)) {
                    Some(pin) => kept.push((k, n, *pin)),
                    None => dead.push(n),
                }
            }
        }
    }
    kept.retain(|(_, load, _)| !dead.contains(load));
    for k in once_numbers(kept.iter().map(|x| x.0)) {
        let mine: Vec<_> = kept.iter().filter(|x| x.0 == k).collect();
        let loads = once(mine.iter().map(|x| w.edges[x.1].name.clone()));
        out.push(finding(case, &w, k, &loads, mine[0].2, pins.len() == 1));
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

fn finding(case: &Case, w: &Wiring, k: usize, loads: &[String], pin: usize, assured: bool) -> Draft {
    let part = &case.jig.parts[k];
    let name = if assured { "switch-in-neutral" } else { "single-pole-switch" };
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
