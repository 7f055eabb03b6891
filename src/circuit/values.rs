//! Whether the caller's values make a circuit at all: what passes here needs no further questions on the way.

use super::netlist::{Circuit, Device};
use super::unsolved::Unsolved;

/// Looks at every branch's nodes and values, then at the circuit's frequency.
///
/// # Errors
/// [`Unsolved::BadValue`] for the first branch that names a node that is not there or has a value outside the range of
/// its model; [`Unsolved::Lost`] for a circuit without frequency or reference node.
pub(super) fn check(c: &Circuit) -> Result<(), Unsolved> {
    for (branch, b) in c.branches.iter().enumerate() {
        if b.a >= c.nodes || b.b >= c.nodes {
            return Err(Unsolved::BadValue { branch, what: "names a node the circuit does not have" });
        }
        if !in_range(&b.device) {
            return Err(Unsolved::BadValue { branch, what: "has a value outside the range of its model" });
        }
    }
    for core in &c.cores {
        let (branch, _) = core.windings.first().copied().unwrap_or((0, 1.0));
        if core.windings.iter().any(|(b, turns)| *b >= c.branches.len() || !positive(*turns)) {
            return Err(Unsolved::BadValue {
                branch,
                what: "is on a core with a winding that the circuit does not have",
            });
        }
        if !positive(core.knee) || !positive(core.saturated) || core.henries < core.saturated {
            return Err(Unsolved::BadValue { branch, what: "is on a core outside the range of its model" });
        }
    }
    let node = |n: usize| n < c.nodes;
    if c.strays.iter().any(|s| !node(s.a) || !node(s.b) || !positive(s.farads)) {
        return Err(Unsolved::Lost {
            what: "a stray capacitance stands where the circuit has no node, or has no value",
        });
    }
    if !positive(c.hertz) || c.nodes == 0 {
        return Err(Unsolved::Lost { what: "the circuit has no frequency or no reference node" });
    }
    Ok(())
}

fn positive(x: f64) -> bool {
    x > 0.0 && x.is_finite()
}

/// The ranges are those in which a device's characteristic rises and is continuous, so that the solution is unique but
/// for a lamp's hysteresis.
fn in_range(device: &Device) -> bool {
    match *device {
        Device::Source { dc, sine, phase } => dc.is_finite() && sine.is_finite() && phase.is_finite(),
        Device::Meter => true,
        Device::Resistor { ohms } => positive(ohms),
        Device::Filament { volts, watts, cold_ratio, exponent } => {
            positive(volts) && positive(watts) && positive(cold_ratio) && cold_ratio <= 1.0 && positive(exponent)
        }
        Device::Capacitor { farads } => positive(farads),
        Device::Inductor { henries } => positive(henries),
        Device::Diode { forward, on_ohms, off_ohms, breakdown } => {
            forward >= 0.0 && forward.is_finite() && rising(on_ohms, off_ohms) && breakdown.is_none_or(positive)
        }
        Device::Clamp { up, down, on_ohms, off_ohms } => positive(up) && positive(down) && rising(on_ohms, off_ohms),
        Device::Neon { strike, maintain, lit_ohms, off_ohms, extinction } => {
            positive(maintain)
                && strike > maintain
                && strike.is_finite()
                && rising(lit_ohms, off_ohms)
                && extinction >= 0.0
        }
    }
}

/// Whether the slope beyond a knee is steeper than the one before it.
fn rising(on_ohms: f64, off_ohms: f64) -> bool {
    positive(on_ohms) && positive(off_ohms) && on_ohms < off_ohms
}
