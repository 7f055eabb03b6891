//! Topology, once per circuit: a spanning forest over sources first, then capacitors. Node voltages become
//! `v(node) = u(supernode) + row · z` with the extended state `z = [capacitor volts, inductor amperes, 1, e_s, e_c]`
//! and `e_s = A sin wt`, `e_c = A cos wt`. As the amplitude A is an initial value and no coefficient, everything
//! built from here serves every supply level and both ways round of the plug.

use super::conserved::conserved;
use super::linear::{Sets, solve};
use super::nodal::Elimination;
use super::{Circuit, Device, Unsolved};

/// Resistance of the leak given to an island that nothing holds, ohms.
const ISLAND_LEAK: f64 = 1e10;
/// Loss resistor across an inductor that alone holds an island, as a multiple of its reactance.
const INDUCTOR_LOSS: f64 = 1e6;

/// What a branch is to the solver.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Role {
    /// Source number k.
    Source(usize),
    /// Tree capacitor: state number k.
    Tree(usize),
    /// Capacitor that closes a loop of capacitors and sources; no state.
    Link,
    /// Inductor: state number k.
    Coil(usize),
    /// Linear resistor, siemens.
    Ohmic(f64),
    /// Switching device number k.
    Switching(usize),
}

/// A branch between supernodes: `v = u_a - u_b + w · z` (its row: [`Plan::w`]).
#[derive(Debug, Clone, Copy)]
pub(super) struct Link {
    pub ua: usize,
    pub ub: usize,
    /// Whether w holds anything but zeros.
    pub driven: bool,
    pub role: Role,
    pub device: Device,
}

/// Everything about a circuit that no device state changes.
#[derive(Debug, Clone)]
pub(super) struct Plan {
    /// Supernodes other than the reference; the reference has index `m`.
    pub m: usize,
    /// Number of states (capacitors, then inductors).
    pub n: usize,
    /// Tree capacitors.
    pub nc: usize,
    /// Columns of z.
    pub nz: usize,
    pub omega: f64,
    /// Longest step of the ladder, seconds.
    pub base: f64,
    /// The caller's branches first, then leaks.
    pub links: Vec<Link>,
    /// Rows of the links over z, and over the sources (for their currents).
    rows: Rows,
    /// Branches of the caller.
    pub own: usize,
    pub sources: Vec<usize>,
    pub switching: Vec<usize>,
    pub tree: Vec<usize>,
    pub coils: Vec<usize>,
    pub closing: Vec<usize>,
    /// nc × nc: capacitance as the states see it.
    pub capacitance: Vec<f64>,
    /// nl × nl: inverse inductance.
    pub gamma: Vec<f64>,
    /// Orthonormal conserved directions over the states.
    pub conserved: Vec<Vec<f64>>,
    /// How the nodal matrix is eliminated.
    pub elimination: Elimination,
    /// Scale of each state for convergence: volts per volt of amplitude, amperes per volt.
    pub unit: Vec<f64>,
    /// sqrt(C), sqrt(L): energy coordinates.
    pub energy: Vec<f64>,
    pub leaks: usize,
    /// Largest source amplitude at scale 1 (sine), and largest d.c. source.
    pub sine: f64,
    pub dc: f64,
}

/// Coefficients of nodes or links over z and over the sources, row by row.
#[derive(Debug, Clone)]
struct Rows {
    nz: usize,
    ns: usize,
    z: Vec<f64>,
    sources: Vec<f64>,
}

impl Rows {
    fn new(rows: usize, nz: usize, ns: usize) -> Self {
        Rows { nz, ns, z: vec![0.0; rows * nz], sources: vec![0.0; rows * ns] }
    }
    fn z(&self, k: usize) -> &[f64] {
        &self.z[k * self.nz..(k + 1) * self.nz]
    }
    fn sources(&self, k: usize) -> &[f64] {
        &self.sources[k * self.ns..(k + 1) * self.ns]
    }
    /// Sets a row to another.
    fn copy(&mut self, from: usize, to: usize) {
        self.z.copy_within(from * self.nz..(from + 1) * self.nz, to * self.nz);
        self.sources.copy_within(from * self.ns..(from + 1) * self.ns, to * self.ns);
    }
    /// Appends a row of zeros, or the copy of a row.
    fn push(&mut self, copy_of: Option<usize>) {
        let at = self.z.len() / self.nz;
        self.z.resize((at + 1) * self.nz, 0.0);
        self.sources.resize((at + 1) * self.ns, 0.0);
        if let Some(from) = copy_of {
            self.copy(from, at);
        }
    }
    /// Appends the difference of two rows of `nodes`.
    fn push_difference(&mut self, nodes: &Rows, a: usize, b: usize) {
        self.z.extend(nodes.z(a).iter().zip(nodes.z(b)).map(|(p, q)| p - q));
        self.sources.extend(nodes.sources(a).iter().zip(nodes.sources(b)).map(|(p, q)| p - q));
    }
}

impl Plan {
    /// Row over z of link `b`: what drives it beside the potentials of its supernodes.
    #[inline]
    pub(super) fn w(&self, b: usize) -> &[f64] {
        self.rows.z(b)
    }

    /// The same over the sources.
    #[inline]
    pub(super) fn ws(&self, b: usize) -> &[f64] {
        self.rows.sources(b)
    }

    /// Watts that rounding alone may leave over: that of the voltage across the best conductor.
    pub(super) fn rounding(&self, scale: f64) -> f64 {
        let volts = (self.sine * scale.abs()).max(self.dc);
        let best = |l: &Link| match (l.role, l.device) {
            (Role::Ohmic(g), _) => g,
            (_, Device::Diode { on_ohms, .. } | Device::Clamp { on_ohms, .. }) => 1.0 / on_ohms,
            _ => 0.0,
        };
        16.0 * f64::EPSILON * volts * volts * self.links.iter().map(best).fold(0.0, f64::max)
    }
}

fn bad(branch: usize, what: &'static str) -> Unsolved {
    Unsolved::BadValue { branch, what }
}

fn check(c: &Circuit) -> Result<(), Unsolved> {
    let positive = |x: f64| x > 0.0 && x.is_finite();
    for (k, b) in c.branches.iter().enumerate() {
        if b.a >= c.nodes || b.b >= c.nodes {
            return Err(bad(k, "names a node the circuit does not have"));
        }
        let ok = match b.device {
            Device::Source { dc, sine, phase } => dc.is_finite() && sine.is_finite() && phase.is_finite(),
            Device::Resistor { ohms } => positive(ohms),
            Device::Filament { volts, watts, cold_ratio, exponent } => {
                positive(volts) && positive(watts) && positive(cold_ratio) && cold_ratio <= 1.0 && positive(exponent)
            }
            Device::Capacitor { farads } => positive(farads),
            Device::Inductor { henries } => positive(henries),
            Device::Diode { forward, on_ohms, off_ohms, breakdown } => {
                forward >= 0.0
                    && forward.is_finite()
                    && positive(on_ohms)
                    && positive(off_ohms)
                    && on_ohms < off_ohms
                    && breakdown.is_none_or(positive)
            }
            Device::Clamp { up, down, on_ohms, off_ohms } => {
                positive(up) && positive(down) && positive(on_ohms) && positive(off_ohms) && on_ohms < off_ohms
            }
            Device::Neon { strike, maintain, lit_ohms, off_ohms, extinction } => {
                positive(maintain)
                    && strike > maintain
                    && strike.is_finite()
                    && positive(lit_ohms)
                    && positive(off_ohms)
                    && lit_ohms < off_ohms
                    && extinction >= 0.0
            }
        };
        if !ok {
            return Err(bad(k, "has a value outside the range of its model"));
        }
    }
    if !(c.hertz > 0.0 && c.hertz.is_finite()) || c.nodes == 0 {
        return Err(Unsolved::Lost { what: "the circuit has no frequency or no reference node" });
    }
    Ok(())
}

/// `ohms` gives the present resistance of each filament lamp, by branch.
pub(super) fn plan(c: &Circuit, ohms: &[f64]) -> Result<Plan, Unsolved> {
    check(c)?;
    let own = c.branches.len();
    let (mut tree, mut coils, mut closing) = (vec![], vec![], vec![]);
    let (mut sources, mut switching) = (vec![], vec![]);
    let mut roles = Vec::with_capacity(own);
    let mut sets = Sets::new(c.nodes);
    // A branch with both ends on one node carries what it carries by itself and joins nothing.
    for (k, b) in c.branches.iter().enumerate() {
        if let Device::Source { .. } = b.device {
            if !sets.join(b.a, b.b) {
                return Err(Unsolved::SourceLoop { branch: k });
            }
            sources.push(k);
        }
    }
    for (k, b) in c.branches.iter().enumerate() {
        if let Device::Capacitor { .. } = b.device {
            if sets.join(b.a, b.b) { tree.push(k) } else { closing.push(k) }
        } else if let Device::Inductor { .. } = b.device {
            coils.push(k);
        }
    }
    let (nc, nl, ns) = (tree.len(), coils.len(), sources.len());
    let (n, nz) = (nc + nl, nc + nl + 3);
    let mut next = (0, 0, 0, 0);
    for (k, b) in c.branches.iter().enumerate() {
        let count = |i: &mut usize| {
            *i += 1;
            *i - 1
        };
        roles.push(match b.device {
            Device::Source { .. } => Role::Source(count(&mut next.0)),
            Device::Capacitor { .. } if tree.contains(&k) => Role::Tree(count(&mut next.1)),
            Device::Capacitor { .. } => Role::Link,
            Device::Inductor { .. } => Role::Coil(count(&mut next.2)),
            Device::Resistor { ohms } => Role::Ohmic(1.0 / ohms),
            Device::Filament { .. } => Role::Ohmic(1.0 / ohms[k]),
            _ => {
                switching.push(k);
                Role::Switching(count(&mut next.3))
            }
        });
    }

    let (nodes, root) = node_rows(c, &roles, sources.iter().chain(&tree), n, ns);
    // Number the supernodes; the reference's gets index m.
    let roots: Vec<usize> = (1..c.nodes).filter(|&i| root[i] == i).collect();
    let m = roots.len();
    let number = |node: usize| roots.binary_search(&root[node]).unwrap_or(m);

    let mut rows = Rows::new(0, nz, ns);
    let mut links: Vec<Link> = Vec::with_capacity(own);
    rows.z.reserve(own * nz);
    rows.sources.reserve(own * ns);
    for (k, b) in c.branches.iter().enumerate() {
        rows.push_difference(&nodes, b.a, b.b);
        let driven = rows.z(k).iter().any(|x| *x != 0.0);
        links.push(Link { ua: number(b.a), ub: number(b.b), driven, role: roles[k], device: b.device });
    }

    let omega = 2.0 * std::f64::consts::PI * c.hertz;
    let leaks = hold_islands(&mut links, &mut rows, m, omega);
    let conserved = conserved(c, &links, |k| rows.z(k), &roots, &coils, nc);

    // Capacitance as the states see it: tree on the diagonal, closing capacitors through their rows.
    let mut capacitance = vec![0.0; nc * nc];
    for (k, &b) in tree.iter().enumerate() {
        if let Device::Capacitor { farads } = c.branches[b].device {
            capacitance[k * nc + k] += farads;
        }
    }
    for &b in &closing {
        if let Device::Capacitor { farads } = c.branches[b].device {
            for i in 0..nc {
                for j in 0..nc {
                    capacitance[i * nc + j] += farads * rows.z(b)[i] * rows.z(b)[j];
                }
            }
        }
    }
    let inductance = inductance(c, &coils);
    let mut gamma = vec![0.0; nl * nl];
    (0..nl).for_each(|i| gamma[i * nl + i] = 1.0);
    if !solve(&mut inductance.clone(), &mut gamma, nl, nl) {
        return Err(Unsolved::Lost { what: "the windings are coupled without any leakage" });
    }
    for i in 0..nl {
        if gamma[i * nl + i] <= 0.0 {
            return Err(bad(coils[i], "is coupled more tightly than windings can be"));
        }
    }
    let energy: Vec<f64> =
        (0..nc).map(|i| capacitance[i * nc + i].sqrt()).chain((0..nl).map(|i| inductance[i * nl + i].sqrt())).collect();
    let unit =
        (0..nc).map(|_| 1.0).chain((0..nl).map(|i| 1.0 / (omega * inductance[i * nl + i]))).collect::<Vec<f64>>();

    let (mut sine, mut dc) = (0.0f64, 0.0f64);
    for &k in &sources {
        if let Device::Source { dc: d, sine: s, .. } = c.branches[k].device {
            (sine, dc) = (sine.max(s.abs()), dc.max(d.abs()));
        }
    }
    // Without an alternating source nothing ties the step to the mains; long decays then take long steps.
    let base = if sine > 0.0 { 1.0 / c.hertz / 32.0 } else { 2.0 / c.hertz };
    let elimination = Elimination::new(&links, m);
    Ok(Plan {
        m,
        n,
        nc,
        nz,
        omega,
        base,
        links,
        rows,
        own,
        sources,
        switching,
        tree,
        coils,
        closing,
        capacitance,
        gamma,
        conserved,
        elimination,
        unit,
        energy,
        leaks,
        sine,
        dc,
    })
}

/// Inductances of the coils, mutual ones beside the diagonal.
pub(super) fn inductance(c: &Circuit, coils: &[usize]) -> Vec<f64> {
    let nl = coils.len();
    let mut l = vec![0.0; nl * nl];
    for (i, &b) in coils.iter().enumerate() {
        if let Device::Inductor { henries } = c.branches[b].device {
            l[i * nl + i] = henries;
        }
    }
    for p in &c.couplings {
        let at = |b| coils.iter().position(|&x| x == b);
        if let (Some(i), Some(j)) = (at(p.first), at(p.second)) {
            l[i * nl + j] = p.henries;
            l[j * nl + i] = p.henries;
        }
    }
    l
}

/// Rows of the nodes, and the root of each: walks each tree of the forest from its root (the reference is the root of its
/// own).
fn node_rows<'a>(
    c: &Circuit,
    roles: &[Role],
    forest: impl Iterator<Item = &'a usize> + Clone,
    n: usize,
    ns: usize,
) -> (Rows, Vec<usize>) {
    let mut rows = Rows::new(c.nodes, n + 3, ns);
    let mut root = vec![usize::MAX; c.nodes];
    // The forest's branches at each node: those of node i end at ends[i].
    let mut ends = vec![0; c.nodes + 1];
    forest.clone().flat_map(|&k| [c.branches[k].a, c.branches[k].b]).for_each(|node| ends[node + 1] += 1);
    (0..c.nodes).for_each(|i| ends[i + 1] += ends[i]);
    let mut at = vec![0; ends[c.nodes]];
    let mut free = ends.clone();
    for &k in forest {
        for node in [c.branches[k].a, c.branches[k].b] {
            at[free[node]] = k;
            free[node] += 1;
        }
    }
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
                match (roles[k], b.device) {
                    (Role::Tree(state), _) => rows.z[other * (n + 3) + state] += sign,
                    (Role::Source(number), Device::Source { dc, sine, phase }) => {
                        let row = &mut rows.z[other * (n + 3)..(other + 1) * (n + 3)];
                        row[n] += sign * dc;
                        row[n + 1] += sign * sine * phase.cos();
                        row[n + 2] += sign * sine * phase.sin();
                        rows.sources[other * ns + number] += sign;
                    }
                    _ => {}
                }
                root[other] = start;
                todo.push(other);
            }
        }
    }
    (rows, root)
}

/// Gives every island of supernodes a path to the reference. Returns the number of parts added.
fn hold_islands(links: &mut Vec<Link>, rows: &mut Rows, m: usize, omega: f64) -> usize {
    let mut sets = Sets::new(m + 1);
    for l in links.iter() {
        if matches!(l.role, Role::Ohmic(_) | Role::Switching(_)) {
            sets.join(l.ua, l.ub);
        }
    }
    let mut added = vec![];
    // Islands held by inductors only: a loss resistor across the joining inductor, so that its voltage is defined.
    loop {
        let found = links.iter().enumerate().find(|(_, l)| {
            let (a, b) = (sets.find(l.ua), sets.find(l.ub));
            matches!(l.role, Role::Coil(_)) && a != b && (a == sets.find(m) || b == sets.find(m))
        });
        let Some((k, l)) = found else { break };
        let henries = if let Device::Inductor { henries } = l.device { henries } else { 1.0 };
        let ohms = INDUCTOR_LOSS * omega * henries;
        sets.join(l.ua, l.ub);
        added.push(Link { role: Role::Ohmic(1.0 / ohms), device: Device::Resistor { ohms }, ..*l });
        rows.push(Some(k));
        // Search again from the start: this island may now hold another.
    }
    for k in 0..m {
        if sets.find(k) != sets.find(m) {
            sets.join(k, m);
            added.push(Link {
                ua: k,
                ub: m,
                driven: false,
                role: Role::Ohmic(1.0 / ISLAND_LEAK),
                device: Device::Resistor { ohms: ISLAND_LEAK },
            });
            rows.push(None);
        }
    }
    let count = added.len();
    links.extend(added);
    count
}
