//! Resistance between every two points: nodes that no lead reaches are taken out one by one, star for mesh. Every number stays
//! positive, so nothing cancels. Must not know what the branches are.

use super::network::Branch;
use crate::part::dead::Dead;

/// Ohms of what has none, so that its conductance is a number.
const LEAST: f64 = 1e-6;

/// Which end of every tolerance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Corner {
    Low,
    High,
}

impl Corner {
    pub(super) const BOTH: [Corner; 2] = [Corner::Low, Corner::High];

    /// That end of an interval.
    pub(super) fn of(self, [low, high]: [f64; 2]) -> f64 {
        match self {
            Corner::Low => low,
            Corner::High => high,
        }
    }
}

/// Neighbours of each node and the conductance to them.
type Mesh = Vec<Vec<(usize, f64)>>;

/// Ohms between every two of the nodes `at`, as rows; without bound where nothing joins them.
pub(super) fn between(
    branches: &[Branch],
    nodes: usize,
    at: &[usize],
    setting: &[usize],
    corner: Corner,
) -> Vec<Vec<f64>> {
    let mut mesh = mesh(branches, nodes, setting, corner);
    let mut inner: Vec<usize> = (0..nodes).filter(|n| !at.contains(n) && !mesh[*n].is_empty()).collect();
    while let Some(k) = (0..inner.len()).min_by_key(|k| mesh[inner[*k]].len()) {
        let node = inner.swap_remove(k);
        take_out(&mut mesh, node);
    }
    let left = Dense::of(&mesh, at);
    let n = at.len();
    let mut out = vec![vec![f64::INFINITY; n]; n];
    for i in 0..n {
        out[i][i] = 0.0;
        for j in i + 1..n {
            let ohms = if at[i] == at[j] { 0.0 } else { left.ohms(at[i], at[j]) };
            (out[i][j], out[j][i]) = (ohms, ohms);
        }
    }
    out
}

fn mesh(branches: &[Branch], nodes: usize, setting: &[usize], corner: Corner) -> Mesh {
    let mut mesh: Mesh = vec![vec![]; nodes];
    for b in branches.iter().filter(|b| b.is_there(setting) && b.ends[0] != b.ends[1]) {
        let Dead::Ohms(ohms) = b.dead else { continue };
        let ohms = corner.of(ohms);
        if ohms.is_finite() {
            join(&mut mesh, b.ends[0], b.ends[1], 1.0 / ohms.max(LEAST));
        }
    }
    mesh
}

fn join(mesh: &mut Mesh, a: usize, b: usize, siemens: f64) {
    for (one, other) in [(a, b), (b, a)] {
        match mesh[one].iter_mut().find(|(n, _)| *n == other) {
            Some((_, g)) => *g += siemens,
            None => mesh[one].push((other, siemens)),
        }
    }
}

/// Star for mesh.
fn take_out(mesh: &mut Mesh, node: usize) {
    let star = std::mem::take(&mut mesh[node]);
    let sum: f64 = star.iter().map(|(_, g)| g).sum();
    for (n, _) in &star {
        mesh[*n].retain(|(other, _)| *other != node);
    }
    for (k, (a, g)) in star.iter().enumerate() {
        for (b, h) in &star[k + 1..] {
            join(mesh, *a, *b, g * h / sum);
        }
    }
}

/// What is left between the nodes that leads reach: conductances as a square.
struct Dense {
    nodes: Vec<usize>,
    siemens: Vec<f64>,
}

impl Dense {
    fn of(mesh: &Mesh, at: &[usize]) -> Dense {
        let mut nodes: Vec<usize> = at.iter().copied().filter(|n| !mesh[*n].is_empty()).collect();
        nodes.sort_unstable();
        nodes.dedup();
        let n = nodes.len();
        let mut siemens = vec![0.0; n * n];
        for (i, node) in nodes.iter().enumerate() {
            for (other, g) in &mesh[*node] {
                if let Ok(j) = nodes.binary_search(other) {
                    siemens[i * n + j] = *g;
                }
            }
        }
        Dense { nodes, siemens }
    }

    /// Ohms between two nodes: all others are taken out, too.
    fn ohms(&self, a: usize, b: usize) -> f64 {
        let (Ok(a), Ok(b)) = (self.nodes.binary_search(&a), self.nodes.binary_search(&b)) else {
            return f64::INFINITY;
        };
        let n = self.nodes.len();
        let mut g = self.siemens.clone();
        for k in (0..n).filter(|k| *k != a && *k != b) {
            let sum: f64 = g[k * n..(k + 1) * n].iter().sum();
            if sum <= 0.0 {
                continue;
            }
            for i in 0..n {
                let share = g[k * n + i] / sum;
                if share > 0.0 {
                    for j in (0..n).filter(|j| *j != i) {
                        g[i * n + j] += share * g[k * n + j];
                    }
                }
            }
            for i in 0..n {
                g[i * n + k] = 0.0;
                g[k * n + i] = 0.0;
            }
        }
        1.0 / g[a * n + b]
    }
}
