//! A path to the reference for every island of supernodes: without one its voltage would be anything.

use super::forest::{Link, Role, Rows};
use super::netlist::Device;
use super::sets::Sets;

/// Resistance of the leak given to an island that nothing holds, ohms: far above any insulation that is part of a
/// circuit, so that it carries nothing that counts.
const ISLAND_LEAK: f64 = 1e10;
/// Loss resistor across an inductor that alone holds an island, as a multiple of its reactance: a millionth of its
/// current. (A leak to the reference would leave the inductor's voltage to rounding.)
const INDUCTOR_LOSS: f64 = 1e6;

/// Adds links (and their rows) until every one of the `supernodes` has a path to the reference, whose number is
/// `supernodes`. Returns how many were added.
pub(super) fn hold(links: &mut Vec<Link>, rows: &mut Rows, supernodes: usize, omega: f64) -> usize {
    let reference = supernodes;
    let mut sets = Sets::new(supernodes + 1);
    for l in links.iter() {
        if matches!(l.role, Role::Ohmic(_) | Role::Switching(_)) {
            sets.join(l.ua, l.ub);
        }
    }
    let mut added = vec![];
    // Islands held by inductors only: a loss resistor across the joining inductor, so that its voltage is defined.
    loop {
        let joining = links.iter().enumerate().find(|(_, l)| {
            let (a, b) = (sets.find(l.ua), sets.find(l.ub));
            matches!(l.role, Role::Coil(_)) && a != b && (a == sets.find(reference) || b == sets.find(reference))
        });
        let Some((k, l)) = joining else { break };
        let henries = if let Device::Inductor { henries } = l.device { henries } else { 1.0 };
        let ohms = INDUCTOR_LOSS * omega * henries;
        sets.join(l.ua, l.ub);
        added.push(Link { role: Role::Ohmic(1.0 / ohms), device: Device::Resistor { ohms }, ..*l });
        rows.push_copy(k);
        // Search again from the start: this island may now hold another.
    }
    for k in 0..supernodes {
        if sets.find(k) != sets.find(reference) {
            sets.join(k, reference);
            added.push(Link {
                ua: k,
                ub: reference,
                driven: false,
                role: Role::Ohmic(1.0 / ISLAND_LEAK),
                device: Device::Resistor { ohms: ISLAND_LEAK },
            });
            rows.push_zeros();
        }
    }
    let count = added.len();
    links.extend(added);
    count
}
