//! What flows between two points at a frequency: through resistances, and through capacitors. Must not know what the branches
//! are.

use super::network::Branch;
use super::ohms::Corner;
use crate::part::dead::Dead;

/// Ohms of what has none.
const LEAST: f64 = 1e-3;

/// A complex number.
type Complex = [f64; 2];

fn times(a: Complex, b: Complex) -> Complex {
    [a[0] * b[0] - a[1] * b[1], a[0] * b[1] + a[1] * b[0]]
}

fn over(a: Complex, b: Complex) -> Complex {
    let size = b[0] * b[0] + b[1] * b[1];
    let [re, im] = times(a, [b[0], -b[1]]);
    [re / size, im / size]
}

/// Conductance and capacitance between two nodes at a frequency, with resistances and capacitances at these ends of their
/// tolerances; `None` where neither joins them.
pub(super) fn between(
    branches: &[Branch],
    [from, to]: [usize; 2],
    setting: &[usize],
    hertz: f64,
    (ohms, farads): (Corner, Corner),
) -> Option<(f64, f64)> {
    let omega = 2.0 * std::f64::consts::PI * hertz;
    let value = |b: &Branch| match b.dead {
        Dead::Ohms(r) if ohms.of(r).is_finite() => Some([1.0 / ohms.of(r).max(LEAST), 0.0]),
        Dead::Farads(c) => Some([0.0, omega * farads.of(c)]),
        Dead::Ohms(_) | Dead::Junction(_) | Dead::Dark => None,
    };
    let there = branches.iter().filter(|b| b.is_there(setting) && b.ends[0] != b.ends[1]);
    let edges: Vec<([usize; 2], Complex)> = there.filter_map(|b| Some((b.ends, value(b)?))).collect();
    let mut list = vec![from];
    let mut k = 0;
    while k < list.len() {
        for ([a, b], _) in &edges {
            for (one, other) in [(a, b), (b, a)] {
                if *one == list[k] && !list.contains(other) {
                    list.push(*other);
                }
            }
        }
        k += 1;
    }
    let end = list.iter().position(|n| *n == to)?;
    // The far end is the reference: it goes last.
    let last = list.len() - 1;
    list.swap(end, last);
    let n = list.len() - 1;
    let number = |node: usize| list.iter().position(|x| *x == node);
    let mut m = vec![vec![[0.0, 0.0]; n]; n];
    for ([a, b], y) in &edges {
        let (Some(a), Some(b)) = (number(*a), number(*b)) else { continue };
        for (one, other) in [(a, b), (b, a)] {
            if one < n {
                m[one][one] = [m[one][one][0] + y[0], m[one][one][1] + y[1]];
                if other < n {
                    m[one][other] = [m[one][other][0] - y[0], m[one][other][1] - y[1]];
                }
            }
        }
    }
    let start = list.iter().position(|x| *x == from).filter(|s| *s < n)?;
    // All but the near end are taken out: what is left there is what flows.
    for k in (0..n).filter(|k| *k != start) {
        let row = m[k].clone();
        for i in (0..n).filter(|i| *i != k) {
            let f = over(m[i][k], row[k]);
            if f != [0.0, 0.0] {
                for j in 0..n {
                    let d = times(f, row[j]);
                    m[i][j] = [m[i][j][0] - d[0], m[i][j][1] - d[1]];
                }
            }
        }
    }
    let [g, b] = m[start][start];
    Some((g.max(0.0), b / omega))
}
