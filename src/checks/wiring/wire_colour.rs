//! Colours of wires against what they carry.

use crate::checks::matrix::{At, of};
use crate::checks::{About, Case, Check, Draft};
use crate::finding::said::WireColour;
use crate::finding::{CheckId, Said, Signal};
use crate::jig::{NET_L, NET_N, NET_PE, PartKind};
use crate::nets::{Edge, Live, NetSet};
use crate::part::{Link, Wire};
use crate::standard::bench::nec_hertz;
use crate::standard::cord::{Core, barred_from_live, core_of_colour, is_earth_of};

pub(super) const CHECK: Check = Check {
    id: CheckId::WireColour,
    judges: &[of("wire", &["colour"], &[At::Use])],
    about: About {
        looks_at: "The colour of every wire against the conductor it is.",
        limit: "IEC core colours; on 100 to 120 V plugs and 60 Hz line-to-line supplies those of the NEC. Earth colours are for the protective conductor alone; green or yellow alone is no live conductor but where a country has it so.",
        rows: &["cords.colour.iec_single_phase", "cords.colour.nec", "cords.barred_colours"],
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
    // Plugs of the American and of the Indian pattern bring its colours with them.
    let indian = case.jig.supply.plug.as_ref().is_some_and(|p| p.row.starts_with("d_"));
    let country = match (american, indian) {
        (true, _) => "us_",
        (false, true) => "in_",
        (false, false) => mains.row.as_str(),
    };
    let nets = case.nets();
    let pole = |pin: usize| nets.hard_joined(pin);
    let conductors = Conductors { earth: nets.earth(), line: &pole(NET_L), neutral: &pole(NET_N) };
    for p in &case.jig.parts {
        let PartKind::Wire(wire @ Wire { colour: Some(colour), .. }) = &p.kind else { continue };
        // What only sets a circuit's own zero protects nobody: its colour is free.
        if nets.earth().has_all(&wire.across) && !protects(case, wire) {
            continue;
        }
        let Some((said, source)) = conductors.judge(wire, colour, [system, country], &p.name) else { continue };
        let crossed = matches!(said, WireColour::Crossed { .. });
        if crossed && nets.line_to_line() {
            continue;
        }
        // Where either pin can be live the colours of the two poles say nothing certain.
        let mild = crossed && nets.live() != Some(Live::Line);
        let signal = if mild { Signal::Caution } else { Signal::Warning };
        let draft = case.about_part(CheckId::WireColour, signal, p, "colour").source(&source);
        out.push(draft.states(Said::WireColour(said)));
    }
}

/// The nets of each conductor.
struct Conductors<'n> {
    earth: &'n NetSet,
    line: &'n NetSet,
    neutral: &'n NetSet,
}

impl Conductors<'_> {
    /// What is wrong with the colour of a wire, and where that is published.
    fn judge(
        &self,
        wire: &Wire,
        colour: &str,
        [system, country]: [&str; 2],
        name: &str,
    ) -> Option<(WireColour, String)> {
        let on = |nets: &NetSet| nets.has_all(&wire.across);
        let bare = colour.eq_ignore_ascii_case("bare");
        let (part, text) = (name.to_string(), colour.to_string());
        match core_of_colour(colour, system).or_else(|| core_of_colour(colour, "iec_single_phase")) {
            Some((Core::Earth, source)) if !on(self.earth) && !bare => {
                Some((WireColour::NotEarth { part, colour: text }, source))
            }
            Some((Core::Earth, _)) => None,
            Some((Core::Line | Core::Neutral, source)) if on(self.earth) => {
                Some((WireColour::PoleOnEarth { part, colour: text }, source))
            }
            None if on(self.earth) && is_earth_of(colour, country) => None,
            None if on(self.earth) && !bare && core_of_colour("green-and-yellow", system).is_some() => {
                let source = core_of_colour("green-and-yellow", "iec_single_phase").map(|x| x.1).unwrap_or_default();
                Some((WireColour::OtherOnEarth { part, colour: text }, source))
            }
            None if on(self.earth) => None,
            None => {
                barred_from_live(colour, country).map(|source| (WireColour::NotEarth { part, colour: text }, source))
            }
            Some((looks, source)) => {
                let (own, other) =
                    if looks == Core::Line { (self.line, self.neutral) } else { (self.neutral, self.line) };
                let crossed = on(other) && !on(own);
                crossed.then_some((WireColour::Crossed { part, colour: text, looks }, source))
            }
        }
    }
}

/// Whether a wire on the earth conductor earths anything that is touched, or an outlet: without it some would have none.
fn protects(case: &Case, wire: &Wire) -> bool {
    let own = |e: &Edge| e.link == Link::Wire && e.ends == wire.across;
    let left = case.nets().groups(&|e: &Edge| e.link == Link::Wire && !own(e));
    let far = wire.across.into_iter().find(|n| !left.same(*n, NET_PE));
    // A second wire beside it does the same.
    let Some(far) = far else { return true };
    // What a winding, a module or a rectifier gives is a circuit of its own.
    let gives = |e: &Edge| match &e.link {
        Link::Winding { secondary, .. } => *secondary,
        Link::Module { output, .. } => *output,
        Link::Diode | Link::Arm { .. } => true,
        Link::Wire
        | Link::Fuse(_)
        | Link::ThermalFuse
        | Link::Contact(_)
        | Link::Resistor(_)
        | Link::Capacitor { .. }
        | Link::Threshold
        | Link::Impedance { .. } => false,
    };
    if case.nets().edges().iter().any(|e| gives(e) && e.ends.iter().any(|n| left.same(*n, far))) {
        return false;
    }
    // Of a mains socket whose contacts are not told apart any may be the one for earth.
    let contacts = case.jig.parts.iter().filter_map(|p| {
        let PartKind::Socket(socket) = &p.kind else { return None };
        let on_mains = case.nets().on_mains().has_any(&socket.nets);
        socket.earth.map(|net| vec![net]).or_else(|| on_mains.then(|| socket.nets.clone()))
    });
    let contacts = contacts.flatten();
    let touched = case.jig.touchables.iter().map(|t| t.net);
    let outlets = case.jig.outlets.iter().filter_map(|o| o.earth);
    contacts.chain(touched).chain(outlets).any(|n| left.same(n, far))
}
