//! What a coil drives a capacitor across it to when both are cut off: the current it carries has nowhere else to go. Judges
//! nothing.

use crate::checks::Case;
use crate::finding::{Ordinal, Quantity, Situation};
use crate::jig::{Ends, PartKind};
use crate::nets::Edge;
use crate::part::{Capacitor, Inductor, Link, Resistor, Winding};

use super::lookup::lasting;

/// A coil that is switched off.
pub(super) struct Coil {
    /// Its part.
    pub(super) part: usize,
    /// The crest of the volts it drives the capacitor to.
    pub(super) volts: f64,
    /// Where its current is at its crest.
    pub(super) at: Ordinal,
}

/// The coil that drives a capacitor, by its item, highest when it is switched off at the crest of its current. `None` where
/// there is none, or where something else across the two takes the current: its volts are not known then.
pub(super) fn switched_off(case: &Case, capacitor: usize) -> Option<Coil> {
    let part = case.survey.model.items[capacitor].part;
    let coils = case.survey.model.items.iter().enumerate().filter_map(|(k, item)| {
        let (PartKind::Winding(Winding { across, resistance, inductance, .. })
        | PartKind::Inductor(Inductor { across, resistance, inductance, .. })) = &case.jig.parts[item.part].kind
        else {
            return None;
        };
        let (farads, ohms) = across_it(case, *across, part)?;
        let s = lasting(case, k, Quantity::CurrentPeak, Situation::Normal)?;
        let volts = s.value * ring(*inductance, farads, resistance + ohms);
        Some(Coil { part: item.part, volts, at: s.at })
    });
    coils.reduce(|most, next| if next.volts > most.volts * (1.0 + 1e-9) { next } else { most })
}

/// Volts an ampere that coil, resistance and capacitor in series ring to at first, the capacitor being empty: the textbook
/// solution; where it does not ring the most it can be.
fn ring(henries: f64, farads: f64, ohms: f64) -> f64 {
    let (decay, own) = (ohms / (2.0 * henries), 1.0 / (henries * farads).sqrt());
    let impedance = (henries / farads).sqrt();
    if decay >= own {
        return impedance * (-1.0_f64).exp();
    }
    let omega = (own * own - decay * decay).sqrt();
    impedance * (-(decay / omega) * (omega / decay).atan()).exp()
}

/// Farads and ohms of a capacitor that lies across a coil by itself or with a resistor in series, where the two are alone
/// once they are cut off from the mains.
fn across_it(case: &Case, coil: Ends, capacitor: usize) -> Option<(f64, f64)> {
    let nets = case.nets();
    let PartKind::Capacitor(Capacitor { across, capacitance, .. }) = &case.jig.parts[capacitor].kind else {
        return None;
    };
    let groups = nets.groups(&|e: &Edge| matches!(e.link, Link::Wire | Link::Fuse(_) | Link::ThermalFuse));
    let on = |ends: &Ends| {
        let [a, b] = ends;
        groups.same(*a, coil[0]) && groups.same(*b, coil[1]) || groups.same(*a, coil[1]) && groups.same(*b, coil[0])
    };
    let mut ohms = None;
    if on(across) {
        ohms = Some(0.0);
    }
    for p in &case.jig.parts {
        let PartKind::Resistor(Resistor { across: ends, resistance, .. }) = &p.kind else { continue };
        for [near, far] in [*ends, [ends[1], ends[0]]] {
            let other = across.iter().position(|n| groups.same(*n, near)).map(|k| across[1 - k]);
            // The net between the two joins nothing else.
            if ohms.is_none() && other.is_some_and(|n| on(&[far, n])) && nets.edges_at(near).count() == 2 {
                ohms = Some(*resistance);
            }
        }
    }
    let ohms = ohms?;
    // Whatever else lies across the coil takes its current.
    let takes = |e: &&Edge| {
        let kind = e.part().map(|k| &case.jig.parts[k].kind);
        let takes = !matches!(e.link, Link::Contact(_))
            && !matches!(kind, None | Some(PartKind::Inductor(_) | PartKind::Winding(_)));
        takes && on(&e.ends) && e.part() != Some(capacitor)
    };
    nets.edges().iter().find(takes).is_none().then_some((*capacitance, ohms))
}
