//! A tool that nothing joins to earth is the same with its plug the other way round, half a cycle later: only what a hand gets
//! differs. Judges nothing.

use crate::circuit::{Circuit, Device, Steady};
use crate::part::assembly::open;

use super::condition::{Condition, Orientation};
use super::context::SurveyContext;
use super::touch::{Hand, contacts};

/// Part of the way to a limit from which on tolerances could take a touch over it.
const NEAR: f64 = 0.5;

/// Whether a condition is that of the plug the other way round but for half a cycle: nothing joins the tool to earth.
pub(super) fn is_mirrored(context: &SurveyContext, condition: &Condition, circuit: &Circuit) -> bool {
    if condition.orientation != Orientation::Reversed {
        return false;
    }
    let Device::Resistor { ohms: nothing } = open() else { return false };
    let supply: Vec<usize> = context.model.conductors[..2].iter().flatten().copied().collect();
    let mut joined = vec![false; circuit.nodes];
    joined[0] = true;
    let joins = |k: usize, device: &Device| match device {
        Device::Source { .. } | Device::Meter => false,
        Device::Resistor { ohms } => *ohms < nothing && !supply.contains(&k),
        Device::Filament { .. }
        | Device::Capacitor { .. }
        | Device::Inductor { .. }
        | Device::Diode { .. }
        | Device::Clamp { .. }
        | Device::Neon { .. } => true,
    };
    // Sources of parts stand between nodes of the tool: they join like any other way.
    let ways: Vec<(usize, usize)> = circuit
        .branches
        .iter()
        .enumerate()
        .filter(|(k, b)| {
            joins(*k, &b.device) || matches!(b.device, Device::Source { .. }) && !context.model.sources.contains(k)
        })
        .map(|(_, b)| (b.a, b.b))
        .collect();
    loop {
        let mut more = false;
        for &(a, b) in &ways {
            if joined[a] != joined[b] {
                (joined[a], joined[b], more) = (true, true, true);
            }
        }
        if !more {
            break;
        }
    }
    supply.iter().all(|k| !joined[circuit.branches[*k].b])
}

/// Whether a hand is so near to a limit that tolerances count.
pub(super) fn touch_is_near(context: &SurveyContext, condition: &Condition, circuit: &Circuit, s: &Steady) -> bool {
    let hand = Hand { context, circuit, condition, kind: condition.kind() };
    contacts(context).any(|c| match hand.draws(s, c.probe, c.nets, (0, 0)) {
        Ok(touch) => touch.is_some_and(|t| t.hazard > NEAR),
        Err(_) => true,
    })
}
