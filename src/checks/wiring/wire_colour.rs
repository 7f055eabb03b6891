//! Colours of wires against what they carry.

use super::graph::{Link, Nets, Wiring};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::{CheckId, Signal};
use crate::jig::{NET_L, NET_N, NET_PE, PartKind};
use crate::part::Wire;
use crate::standard::bench::nec_hertz;
use crate::standard::cord::{Core, core_of_colour};

pub(super) const CHECK: Check = Check {
    id: CheckId::WireColour,
    about: About {
        looks_at: "The colour of every wire against the conductor it is.",
        limit: "IEC core colours; on 100 to 120 V plugs and 60 Hz line-to-line supplies those of the NEC. Earth colours are for the protective conductor alone.",
        rows: &["cords.colour.iec_single_phase", "cords.colour.nec"],
        how: "A wire on PE is earth; one joined to L or N by wires, fuses and contacts alone is that pole.",
        mend: "Use a wire of the right colour; a sleeve of another colour over green-and-yellow is no cure.",
    },
    run,
};

fn run(case: &Case, out: &mut Vec<Draft>) {
    let Some(mains) = &case.jig.supply.mains else { return };
    let american = case.jig.supply.plug.as_ref().is_some_and(|p| ["a_", "b_"].iter().any(|s| p.row.starts_with(s)))
        || (case.jig.supply.plug.is_none() && mains.hertz == nec_hertz().value);
    let system = if american { "nec" } else { "iec_single_phase" };
    let w = Wiring::new(case.jig);
    let earth = w.wired(NET_PE);
    let pole = |pin: usize| -> Nets { w.flood(&[pin], &w.none(), &|e| e.is_hard() && e.link != Link::Body) };
    let (line, neutral) = (pole(NET_L), pole(NET_N));
    // Where either pin can be live the colours of the two poles say nothing certain.
    let assured = w.live_pins().len() == 1;
    for p in &case.jig.parts {
        let PartKind::Wire(Wire { across, colour: Some(colour), .. }) = &p.kind else { continue };
        let on = |nets: &Nets| across.iter().all(|n| nets[*n]);
        let found = core_of_colour(colour, system).or_else(|| core_of_colour(colour, "iec_single_phase"));
        let draft = |signal, source: &str| case.about_part(CheckId::WireColour, signal, p, "colour").source(source);
        match found {
            Some((Core::Earth, source)) if !on(&earth) && !colour.eq_ignore_ascii_case("bare") => {
                out.push(draft(Signal::Warning, &source).says(
                    format!("{} is {colour}, the colour of the protective earth, but is not on PE", p.name),
                    format!("use a wire of another colour for {}, such as brown or black", p.name),
                ));
            }
            Some((Core::Line | Core::Neutral, source)) if on(&earth) => {
                out.push(draft(Signal::Warning, &source).says(
                    format!(
                        "{} is on the protective earth but {colour}, the colour of a live or neutral conductor",
                        p.name
                    ),
                    format!("use a green-and-yellow wire for {}", p.name),
                ));
            }
            None if on(&earth) && core_of_colour("green-and-yellow", system).is_some() => {
                let source = core_of_colour("green-and-yellow", "iec_single_phase").map(|x| x.1).unwrap_or_default();
                if !colour.eq_ignore_ascii_case("bare") {
                    out.push(draft(Signal::Warning, &source).says(
                        format!("{} is on the protective earth but {colour}", p.name),
                        format!("use a green-and-yellow wire for {}", p.name),
                    ));
                }
            }
            Some((core @ (Core::Line | Core::Neutral), source)) => {
                let crossed = match core {
                    Core::Line => on(&neutral) && !on(&line),
                    _ => on(&line) && !on(&neutral),
                };
                if crossed && !w.line_to_line() {
                    let (is, looks) = if core == Core::Line { ("neutral", "line") } else { ("line", "neutral") };
                    let signal = if assured { Signal::Warning } else { Signal::Caution };
                    out.push(draft(signal, &source).says(
                        format!("{} is in the {is} conductor but has the colour of {looks} ({colour})", p.name),
                        format!("swap the colours: {} in the colour of {is}", p.name),
                    ));
                }
            }
            _ => {}
        }
    }
}
