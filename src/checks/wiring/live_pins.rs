//! Live metal within reach: exposed pins, open posts, metal wired to the mains, no box at all.

use super::barrier::hazardous_nets;
use super::graph::Wiring;
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{Material, NET_L, NET_N, NET_PE, PartKind};
use crate::part::Socket;
use crate::standard::rules;
use crate::wording::join::list;

pub(super) const CHECK: Check = Check {
    id: CheckId::LivePins,
    about: About {
        looks_at: "Pins, posts and metal that can be live and that a finger reaches.",
        limit: "No hazardous live part within reach.",
        rows: &["rules.rule.live_parts_out_of_reach"],
        how: "Nets joined to the mains from either side in any switch position, and circuits above the touch limits, against exposed pins, unshrouded posts, touchables and a missing box.",
        mend: "Use a socket instead of a plug with pins, a shrouded post, a box.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let w = Wiring::new(case.jig);
    let hazard = hazardous_nets(case, &w);
    for p in &case.jig.parts {
        let PartKind::Socket(Socket { nets, socket_type, shrouded, exposed_pins }) = &p.kind else { continue };
        let live: Vec<usize> = nets.iter().copied().filter(|n| hazard[*n]).collect();
        let inlet = socket_type.as_ref().is_some_and(|t| t.to_lowercase().contains("inlet"));
        // The pins of an inlet get their mains from the connector that covers them.
        if live.is_empty() || (inlet && nets.iter().all(|n| [NET_L, NET_N, NET_PE].contains(n))) {
            continue;
        }
        let names: Vec<String> = live.iter().map(|n| case.net(*n).to_string()).collect();
        let draft = |signal, key: &str| {
            let d = case.about_part(CheckId::LivePins, signal, p, key).source(&rules::live_parts_out_of_reach());
            names.iter().fold(d, |d, n| d.net(n))
        };
        if *exposed_pins == Some(true) {
            out.push(draft(Signal::Danger, "exposed-pins").says(
                format!("{} has exposed pins that can be live ({})", p.name, list(&names)),
                "turn the joint round: the side that can be live is a socket, the pins are on the side that is fed",
            ));
        } else if *shrouded == Some(false) {
            out.push(draft(Signal::Danger, "shrouded").says(
                format!("{} is open to a finger and can be live ({})", p.name, list(&names)),
                "use a shrouded safety socket, or put it behind a cover that takes a tool",
            ));
        } else if shrouded.is_none() && exposed_pins.is_none() {
            out.push(draft(Signal::Caution, "type").says(
                format!(
                    "{} can be live ({}), and the file does not say whether a finger reaches it",
                    p.name,
                    list(&names)
                ),
                "write shrouded = true or false, as it is built",
            ));
        }
    }
    if case.jig.supply.mains.is_none() {
        return;
    }
    for t in &case.jig.touchables {
        let joined = w.flood(&[t.net], &w.none(), &|e| e.is_hard());
        let pins: Vec<String> =
            [NET_L, NET_N].into_iter().filter(|n| joined[*n]).map(|n| case.net(n).to_string()).collect();
        if !pins.is_empty() {
            let d = case.at(CheckId::LivePins, Signal::Danger, t.place).touchable(&t.name).net(case.net(t.net));
            out.push(pins.iter().fold(d, |d, n| d.net(n)).source(&rules::live_parts_out_of_reach()).says(
                format!(
                    "{} is joined to {} of the mains with nothing but wires, fuses or contacts between",
                    t.name,
                    list(&pins)
                ),
                format!("take {} off the mains; earth it or insulate it", t.name),
            ));
        }
    }
    let hot = w.hot();
    let bare: Vec<&str> =
        case.jig.parts.iter().filter(|p| p.kind.terminals().iter().any(|n| hot[*n])).map(|p| p.name.as_str()).collect();
    if case.jig.enclosure.material == Some(Material::Open) && !bare.is_empty() {
        let names: Vec<String> = bare.iter().map(|n| n.to_string()).collect();
        let d = case
            .about_key(CheckId::LivePins, Signal::Danger, "enclosure.material")
            .source(&rules::live_parts_out_of_reach());
        out.push(bare.iter().fold(d, |d, n| d.part(n)).says(
            format!("there is no box, so {} and their joints are live within reach", list(&names)),
            "build the mains side into a box that takes a tool to open",
        ));
    }
}
