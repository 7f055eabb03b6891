//! A spanning forest over sources first, then capacitors: what each branch is to the solver, and the node voltages as
//! `v(node) = u(supernode) + row · z` with the extended state `z = [capacitor volts, inductor amperes, 1, e_s, e_c]`,
//! `e_s = A sin wt`, `e_c = A cos wt`. A supernode is a tree of the forest; the reference's has the highest number.

use super::netlist::{Circuit, Device};
use super::sets::Sets;
use super::unsolved::Unsolved;

/// Columns of z behind the states: the constant 1 and the mains' `e_s` and `e_c`.
pub(super) const BEHIND: usize = 3;

/// What a branch is to the solver.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Role {
    /// Source number k.
    Source(usize),
    /// Tree capacitor: state number k.
    Tree(usize),
    /// Capacitor that closes a loop of capacitors and sources; no state.
    Closing,
    /// Inductor: state number k, counted behind the tree capacitors.
    Coil(usize),
    /// Voltmeter: carries nothing.
    Meter,
    /// Linear resistor, siemens.
    Ohmic(f64),
    /// Switching device number k.
    Switching(usize),
}

/// A branch between supernodes: `v = u_a - u_b + w · z` (its row: [`Rows::z`]).
#[derive(Debug, Clone, Copy)]
pub(super) struct Link {
    pub ua: usize,
    pub ub: usize,
    /// Whether w holds anything but zeros.
    pub driven: bool,
    pub role: Role,
    pub device: Device,
}

impl Link {
    /// Whether it is a conductance between two supernodes, whatever the mode.
    pub(super) fn conducts(&self) -> bool {
        matches!(self.role, Role::Ohmic(_) | Role::Switching(_)) && self.ua != self.ub
    }
}

/// Coefficients of nodes or links over z and over the sources, row by row.
#[derive(Debug, Clone)]
pub(super) struct Rows {
    nz: usize,
    ns: usize,
    z: Vec<f64>,
    sources: Vec<f64>,
}

impl Rows {
    fn new(rows: usize, nz: usize, ns: usize) -> Self {
        Rows { nz, ns, z: vec![0.0; rows * nz], sources: vec![0.0; rows * ns] }
    }
    /// Row `k` over z.
    #[inline]
    pub(super) fn z(&self, k: usize) -> &[f64] {
        &self.z[k * self.nz..(k + 1) * self.nz]
    }
    /// Row `k` over the sources.
    #[inline]
    pub(super) fn sources(&self, k: usize) -> &[f64] {
        &self.sources[k * self.ns..(k + 1) * self.ns]
    }
    /// Sets a row to another.
    fn copy(&mut self, from: usize, to: usize) {
        self.z.copy_within(from * self.nz..(from + 1) * self.nz, to * self.nz);
        self.sources.copy_within(from * self.ns..(from + 1) * self.ns, to * self.ns);
    }
    /// Appends a row of zeros.
    pub(super) fn push_zeros(&mut self) {
        self.z.resize(self.z.len() + self.nz, 0.0);
        self.sources.resize(self.sources.len() + self.ns, 0.0);
    }
    /// Appends a copy of row `from`.
    pub(super) fn push_copy(&mut self, from: usize) {
        let at = self.z.len() / self.nz;
        self.push_zeros();
        self.copy(from, at);
    }
    /// Appends the difference of two rows of `nodes`.
    fn push_difference(&mut self, nodes: &Rows, a: usize, b: usize) {
        self.z.extend(nodes.z(a).iter().zip(nodes.z(b)).map(|(p, q)| p - q));
        self.sources.extend(nodes.sources(a).iter().zip(nodes.sources(b)).map(|(p, q)| p - q));
    }
}

/// The branches by what they are to the solver; every list holds branch numbers in rising order.
#[derive(Debug, Clone)]
pub(super) struct Forest {
    /// One a branch.
    roles: Vec<Role>,
    pub sources: Vec<usize>,
    /// Capacitors of the forest: each one state.
    pub tree: Vec<usize>,
    /// Capacitors that close a loop of the forest.
    pub closing: Vec<usize>,
    pub coils: Vec<usize>,
    pub switching: Vec<usize>,
}

impl Forest {
    /// Sorts the branches of a circuit; `ohms` gives the present resistance of each filament lamp, by branch.
    ///
    /// # Errors
    /// [`Unsolved::SourceLoop`] for sources joined directly: no forest holds them all.
    pub(super) fn grow(c: &Circuit, ohms: &[f64]) -> Result<Forest, Unsolved> {
        let (mut sources, mut tree, mut closing) = (vec![], vec![], vec![]);
        let (mut coils, mut switching) = (vec![], vec![]);
        let mut sets = Sets::new(c.nodes);
        // A branch with both ends on one node carries what it carries by itself and joins nothing.
        for (branch, b) in c.branches.iter().enumerate() {
            if matches!(b.device, Device::Source { .. }) && !sets.join(b.a, b.b) {
                return Err(Unsolved::SourceLoop { branch });
            }
        }
        let mut roles = Vec::with_capacity(c.branches.len());
        for (k, b) in c.branches.iter().enumerate() {
            roles.push(match b.device {
                Device::Source { .. } => Role::Source(enlist(&mut sources, k)),
                Device::Capacitor { .. } if sets.join(b.a, b.b) => Role::Tree(enlist(&mut tree, k)),
                Device::Capacitor { .. } => {
                    closing.push(k);
                    Role::Closing
                }
                Device::Inductor { .. } => Role::Coil(enlist(&mut coils, k)),
                Device::Resistor { ohms } => Role::Ohmic(1.0 / ohms),
                Device::Meter => Role::Meter,
                Device::Filament { .. } => Role::Ohmic(1.0 / ohms[k]),
                Device::Diode { .. } | Device::Clamp { .. } | Device::Neon { .. } => {
                    Role::Switching(enlist(&mut switching, k))
                }
            });
        }
        Ok(Forest { roles, sources, tree, closing, coils, switching })
    }

    /// Number of states: tree capacitors, then inductors.
    pub(super) fn states(&self) -> usize {
        self.tree.len() + self.coils.len()
    }

    /// The supernodes' root nodes but for the reference's, and every branch as a link between supernodes with its rows.
    pub(super) fn links(&self, c: &Circuit) -> (Vec<usize>, Vec<Link>, Rows) {
        let (nodes, root) = self.node_rows(c);
        let roots: Vec<usize> = (1..c.nodes).filter(|&i| root[i] == i).collect();
        let number = |node: usize| roots.binary_search(&root[node]).unwrap_or(roots.len());
        let mut rows = Rows::new(0, nodes.nz, nodes.ns);
        let mut links: Vec<Link> = Vec::with_capacity(c.branches.len());
        rows.z.reserve(c.branches.len() * nodes.nz);
        rows.sources.reserve(c.branches.len() * nodes.ns);
        for (k, b) in c.branches.iter().enumerate() {
            rows.push_difference(&nodes, b.a, b.b);
            let driven = rows.z(k).iter().any(|x| *x != 0.0);
            links.push(Link { ua: number(b.a), ub: number(b.b), driven, role: self.roles[k], device: b.device });
        }
        (roots, links, rows)
    }

    /// Rows of the nodes, and the root of each: walks each tree of the forest from its root (the reference is the root
    /// of its own).
    fn node_rows(&self, c: &Circuit) -> (Rows, Vec<usize>) {
        let mut rows = Rows::new(c.nodes, self.states() + BEHIND, self.sources.len());
        let mut root = vec![usize::MAX; c.nodes];
        let (ends, at) = self.branches_at_nodes(c);
        let mut todo = vec![];
        for start in 0..c.nodes {
            if root[start] != usize::MAX {
                continue;
            }
            root[start] = start;
            todo.push(start);
            while let Some(node) = todo.pop() {
                for &k in &at[ends[node]..ends[node + 1]] {
                    let b = c.branches[k];
                    let (other, sign) = if b.a == node { (b.b, -1.0) } else { (b.a, 1.0) };
                    if root[other] != usize::MAX {
                        continue;
                    }
                    rows.copy(node, other);
                    self.add_drop(k, b.device, sign, &mut rows, other);
                    root[other] = start;
                    todo.push(other);
                }
            }
        }
        (rows, root)
    }

    /// Adds the voltage of branch `k` of the forest, met with `sign`, to a node's row.
    fn add_drop(&self, k: usize, device: Device, sign: f64, rows: &mut Rows, node: usize) {
        let n = self.states();
        let row = &mut rows.z[node * rows.nz..(node + 1) * rows.nz];
        if let Role::Tree(state) = self.roles[k] {
            row[state] += sign;
        } else if let (Role::Source(number), Device::Source { dc, sine, phase }) = (self.roles[k], device) {
            row[n] += sign * dc;
            row[n + 1] += sign * sine * phase.cos();
            row[n + 2] += sign * sine * phase.sin();
            rows.sources[node * rows.ns + number] += sign;
        }
    }

    /// The forest's branches at each node: those of node i are `at[ends[i]..ends[i + 1]]` of what is returned.
    fn branches_at_nodes(&self, c: &Circuit) -> (Vec<usize>, Vec<usize>) {
        let forest = || self.sources.iter().chain(&self.tree);
        let mut ends = vec![0; c.nodes + 1];
        forest().flat_map(|&k| [c.branches[k].a, c.branches[k].b]).for_each(|node| ends[node + 1] += 1);
        (0..c.nodes).for_each(|i| ends[i + 1] += ends[i]);
        let mut at = vec![0; ends[c.nodes]];
        let mut free = ends.clone();
        for &k in forest() {
            for node in [c.branches[k].a, c.branches[k].b] {
                at[free[node]] = k;
                free[node] += 1;
            }
        }
        (ends, at)
    }
}

/// Appends a branch to a list and gives its number there.
fn enlist(list: &mut Vec<usize>, branch: usize) -> usize {
    list.push(branch);
    list.len() - 1
}
