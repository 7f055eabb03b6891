//! What one volt between two nets leaves on the others: resistances cold, lamps dark, nothing charged.

use super::{Edge, Nets};
use crate::format::{Ends, NetId};
use crate::part::Link;

/// Siemens of what joins without limiting. A short must have some resistance for a current to be told of it; a microohm is
/// less than any real joint has.
const JOINED: f64 = 1e6;

/// Siemens from every net to the second of the two, so that a net which hangs on nothing has volts at all; far below any
/// resistor.
const LEAK: f64 = 1e-12;

/// Most nets between which one volt is divided: the work grows with their cube.
pub(crate) const MOST_DIVIDED: usize = 256;

/// One volt from a net to another, divided.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Divider {
    /// Volts of each net against the second one; `None` where nothing leads there.
    pub volts: Vec<Option<f64>>,
    /// Siemens between the two.
    pub siemens: f64,
}

/// Siemens of an edge for a direct current that has warmed nothing yet. A diode, and the arms of a bridge that conduct in
/// one half-wave, count as joined; what needs volts before it conducts is dark.
fn siemens(edge: &Edge) -> Option<f64> {
    match edge.link {
        Link::Wire | Link::Fuse(_) | Link::ThermalFuse | Link::Contact(_) | Link::Diode => Some(JOINED),
        Link::Arm { first } => first.then_some(JOINED),
        Link::Resistor(ohms) => Some(1.0 / ohms),
        Link::Impedance { cold } => cold.map(|ohms| 1.0 / ohms),
        Link::Threshold | Link::Capacitor { .. } | Link::Winding { .. } | Link::Module { .. } => None,
    }
}

/// An edge of the network that is solved: rows of its two nets, siemens.
type Conductance = (usize, usize, f64);

impl Nets {
    /// Divides one volt from a net to another while the switches stand so (position of each, in the order of the file).
    /// `None` where more than [`MOST_DIVIDED`] nets hang together.
    pub(crate) fn divider(&self, ends: Ends, positions: &[usize]) -> Option<Divider> {
        let conducts = |edge: &Edge| siemens(edge).is_some() && self.is_closed(edge, positions);
        let there = self.walk(&ends, &conducts).reached();
        let mine = self.edges().iter().filter(|edge| conducts(edge) && there.has_all(&edge.ends));
        // What has resistance comes first: the joints then only add to it.
        let (joints, resistances): (Vec<&Edge>, Vec<&Edge>) = mine.partition(|edge| siemens(edge) == Some(JOINED));
        let edges: Vec<&Edge> = resistances.into_iter().chain(joints).collect();
        let mut rows: Vec<NetId> = vec![];
        for net in ends.into_iter().chain(edges.iter().flat_map(|edge| edge.ends)) {
            if !rows.contains(&net) {
                rows.push(net);
            }
        }
        if rows.len() > MOST_DIVIDED {
            return None;
        }
        let row = |net: NetId| rows.iter().position(|n| *n == net);
        let network: Vec<Conductance> =
            edges.iter().filter_map(|edge| Some((row(edge.ends[0])?, row(edge.ends[1])?, siemens(edge)?))).collect();
        let solved = solved(rows.len(), &network, [row(ends[0])?, row(ends[1])?]);
        let mut volts = vec![None; self.count()];
        rows.iter().zip(&solved).for_each(|(net, v)| volts[*net] = Some(*v));
        let square = |x: f64| x * x;
        let siemens = network.iter().map(|(a, b, siemens)| square(solved[*a] - solved[*b]) * siemens).sum();
        Some(Divider { volts, siemens })
    }
}

/// Volts of each row with one volt on the first end and none on the second.
fn solved(size: usize, network: &[Conductance], [one, none]: [usize; 2]) -> Vec<f64> {
    let mut rows = vec![vec![0.0; size + 1]; size];
    (0..size).for_each(|k| rows[k][k] = LEAK);
    for &(a, b, siemens) in network {
        rows[a][a] += siemens;
        rows[b][b] += siemens;
        rows[a][b] -= siemens;
        rows[b][a] -= siemens;
    }
    for fixed in [one, none] {
        rows[fixed].fill(0.0);
        rows[fixed][fixed] = 1.0;
    }
    rows[one][size] = 1.0;
    for k in 0..size {
        let pivot = (k..size).fold(k, |best, r| if rows[r][k].abs() > rows[best][k].abs() { r } else { best });
        rows.swap(k, pivot);
        let known = rows[k].clone();
        for (_, row) in rows.iter_mut().enumerate().filter(|(r, _)| *r != k) {
            let times = row[k] / known[k];
            if times != 0.0 {
                (k..=size).for_each(|c| row[c] -= times * known[c]);
            }
        }
    }
    (0..size).map(|k| rows[k][size] / rows[k][k]).collect()
}
