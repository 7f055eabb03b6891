//! Topology, once per circuit: a spanning forest over sources first, then capacitors. Node voltages become
//! `v(node) = u(supernode) + row · z` with the extended state `z = [capacitor volts, inductor amperes, 1, e_s, e_c]`
//! and `e_s = A sin wt`, `e_c = A cos wt`. As the amplitude A is an initial value and no coefficient, everything
//! built from here serves every supply level and both ways round of the plug.

use super::linear::{Sets, orthonormalise, solve};
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

/// A branch between supernodes: `v = u_a - u_b + w · z`.
#[derive(Debug, Clone)]
pub(super) struct Link {
    pub ua: usize,
    pub ub: usize,
    /// Row over z.
    pub w: Vec<f64>,
    /// Coefficients over the sources (for their currents).
    pub ws: Vec<f64>,
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
    /// Order in which the nodal matrix is eliminated.
    pub order: Vec<usize>,
    /// Scale of each state for convergence: volts per volt of amplitude, amperes per volt.
    pub unit: Vec<f64>,
    /// sqrt(C), sqrt(L): energy coordinates.
    pub energy: Vec<f64>,
    pub leaks: usize,
    /// Largest source amplitude at scale 1 (sine), and largest d.c. source.
    pub sine: f64,
    pub dc: f64,
}

impl Plan {
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

    // Rows of the nodes: walk each tree of the forest from its root (the reference is the root of its own).
    let mut row = vec![vec![0.0; nz]; c.nodes];
    let mut srow = vec![vec![0.0; ns]; c.nodes];
    let mut root = vec![usize::MAX; c.nodes];
    let mut neighbours: Vec<Vec<usize>> = vec![vec![]; c.nodes];
    for &k in sources.iter().chain(&tree) {
        neighbours[c.branches[k].a].push(k);
        neighbours[c.branches[k].b].push(k);
    }
    for start in 0..c.nodes {
        if root[start] != usize::MAX {
            continue;
        }
        root[start] = start;
        let mut todo = vec![start];
        while let Some(node) = todo.pop() {
            for &k in &neighbours[node] {
                let b = c.branches[k];
                let (other, sign) = if b.a == node { (b.b, -1.0) } else { (b.a, 1.0) };
                if root[other] != usize::MAX {
                    continue;
                }
                let (mut r, mut s) = (row[node].clone(), srow[node].clone());
                match (roles[k], b.device) {
                    (Role::Tree(state), _) => r[state] += sign,
                    (Role::Source(number), Device::Source { dc, sine, phase }) => {
                        r[n] += sign * dc;
                        r[n + 1] += sign * sine * phase.cos();
                        r[n + 2] += sign * sine * phase.sin();
                        s[number] += sign;
                    }
                    _ => {}
                }
                (row[other], srow[other], root[other]) = (r, s, start);
                todo.push(other);
            }
        }
    }
    // Number the supernodes; the reference's gets index m.
    let roots: Vec<usize> = (1..c.nodes).filter(|&i| root[i] == i).collect();
    let m = roots.len();
    let number = |node: usize| roots.binary_search(&root[node]).unwrap_or(m);

    let subtract = |x: &[f64], y: &[f64]| x.iter().zip(y).map(|(p, q)| p - q).collect::<Vec<f64>>();
    let mut links: Vec<Link> = c
        .branches
        .iter()
        .zip(&roles)
        .map(|(b, &role)| Link {
            ua: number(b.a),
            ub: number(b.b),
            w: subtract(&row[b.a], &row[b.b]),
            ws: subtract(&srow[b.a], &srow[b.b]),
            role,
            device: b.device,
        })
        .collect();

    let omega = 2.0 * std::f64::consts::PI * c.hertz;
    let leaks = hold_islands(&mut links, m, nz, ns, omega);
    let conserved = conserved(c, &links, &roots, &coils, nc, nl);

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
                    capacitance[i * nc + j] += farads * links[b].w[i] * links[b].w[j];
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
    let order = elimination_order(&links, m);
    Ok(Plan {
        m,
        n,
        nc,
        nz,
        omega,
        base,
        links,
        own,
        sources,
        switching,
        tree,
        coils,
        closing,
        capacitance,
        gamma,
        conserved,
        order,
        unit,
        energy,
        leaks,
        sine,
        dc,
    })
}

fn inductance(c: &Circuit, coils: &[usize]) -> Vec<f64> {
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

/// Gives every island of supernodes a path to the reference. Returns the number of parts added.
fn hold_islands(links: &mut Vec<Link>, m: usize, nz: usize, ns: usize, omega: f64) -> usize {
    let mut sets = Sets::new(m + 1);
    for l in links.iter() {
        if matches!(l.role, Role::Ohmic(_) | Role::Switching(_)) {
            sets.join(l.ua, l.ub);
        }
    }
    let mut added = vec![];
    // Islands held by inductors only: a loss resistor across the joining inductor, so that its voltage is defined.
    loop {
        let found = links.iter().find(|l| {
            let (a, b) = (sets.find(l.ua), sets.find(l.ub));
            matches!(l.role, Role::Coil(_)) && a != b && (a == sets.find(m) || b == sets.find(m))
        });
        let Some(l) = found else { break };
        let henries = if let Device::Inductor { henries } = l.device { henries } else { 1.0 };
        let ohms = INDUCTOR_LOSS * omega * henries;
        sets.join(l.ua, l.ub);
        added.push(Link { role: Role::Ohmic(1.0 / ohms), device: Device::Resistor { ohms }, ..l.clone() });
        // Search again from the start: this island may now hold another.
    }
    for k in 0..m {
        if sets.find(k) != sets.find(m) {
            sets.join(k, m);
            added.push(Link {
                ua: k,
                ub: m,
                w: vec![0.0; nz],
                ws: vec![0.0; ns],
                role: Role::Ohmic(1.0 / ISLAND_LEAK),
                device: Device::Resistor { ohms: ISLAND_LEAK },
            });
        }
    }
    let count = added.len();
    links.extend(added);
    count
}

/// Charge of every island that only capacitors tie to the rest, flux of every loop of inductors and sources.
fn conserved(c: &Circuit, links: &[Link], roots: &[usize], coils: &[usize], nc: usize, nl: usize) -> Vec<Vec<f64>> {
    let n = nc + nl;
    let mut found = vec![];
    let mut islands = Sets::new(c.nodes);
    for b in &c.branches {
        if !matches!(b.device, Device::Capacitor { .. }) {
            islands.join(b.a, b.b);
        }
    }
    // A leak is a real path: it joins the root of its supernode to the reference.
    for l in &links[c.branches.len()..] {
        if l.ub == roots.len() && l.ua < roots.len() {
            islands.join(roots[l.ua], 0);
        }
    }
    for head in 1..c.nodes {
        if islands.find(head) != head {
            continue;
        }
        let mut v = vec![0.0; n];
        for (k, b) in c.branches.iter().enumerate() {
            let Device::Capacitor { farads } = b.device else {
                continue;
            };
            let (a, z) = (islands.find(b.a) == head, islands.find(b.b) == head);
            if a != z {
                let sign = if a { farads } else { -farads };
                (0..nc).for_each(|i| v[i] += sign * links[k].w[i]);
            }
        }
        if v.iter().any(|x| *x != 0.0) {
            found.push(v);
        }
    }
    if nl > 0 {
        found.extend(flux_loops(c, coils, nc, nl));
    }
    orthonormalise(found)
}

fn flux_loops(c: &Circuit, coils: &[usize], nc: usize, nl: usize) -> Vec<Vec<f64>> {
    let l = inductance(c, coils);
    let mut sets = Sets::new(c.nodes);
    let mut forest: Vec<usize> = vec![];
    let mut found = vec![];
    let sources = (0..c.branches.len()).filter(|&k| matches!(c.branches[k].device, Device::Source { .. }));
    for k in sources.chain(coils.iter().copied()) {
        let b = c.branches[k];
        if sets.join(b.a, b.b) {
            forest.push(k);
            continue;
        }
        // This inductor closes a loop: from b.b back to b.a through the forest.
        let mut v = vec![0.0; nc + nl];
        let mut add = |branch: usize, sign: f64| {
            if let Some(i) = coils.iter().position(|&x| x == branch) {
                (0..nl).for_each(|j| v[nc + j] += sign * l[i * nl + j]);
            }
        };
        add(k, 1.0);
        for (branch, sign) in path(c, &forest, b.b, b.a) {
            add(branch, sign);
        }
        found.push(v);
    }
    found
}

/// Branches of a forest from one node to another, with the sign of passing them.
fn path(c: &Circuit, forest: &[usize], from: usize, to: usize) -> Vec<(usize, f64)> {
    let mut came: Vec<Option<(usize, usize, f64)>> = vec![None; c.nodes];
    let mut todo = vec![from];
    while let Some(node) = todo.pop() {
        for &k in forest {
            let b = c.branches[k];
            for (here, there, sign) in [(b.a, b.b, 1.0), (b.b, b.a, -1.0)] {
                if here == node && there != from && came[there].is_none() {
                    came[there] = Some((node, k, sign));
                    todo.push(there);
                }
            }
        }
    }
    let mut out = vec![];
    let mut node = to;
    while node != from {
        let Some((before, k, sign)) = came[node] else { break };
        out.push((k, sign));
        node = before;
    }
    out
}

/// Least degree first: lamps hanging on one feeder are then eliminated without fill.
fn elimination_order(links: &[Link], m: usize) -> Vec<usize> {
    let mut joined = vec![std::collections::BTreeSet::new(); m];
    for l in links {
        if matches!(l.role, Role::Ohmic(_) | Role::Switching(_)) && l.ua != l.ub && l.ua < m && l.ub < m {
            joined[l.ua].insert(l.ub);
            joined[l.ub].insert(l.ua);
        }
    }
    let mut left: Vec<usize> = (0..m).collect();
    let mut order = Vec::with_capacity(m);
    while let Some((at, &k)) = left.iter().enumerate().min_by_key(|(_, k)| joined[**k].len()) {
        left.swap_remove(at);
        order.push(k);
        let around: Vec<usize> = std::mem::take(&mut joined[k]).into_iter().collect();
        for &i in &around {
            joined[i].remove(&k);
            joined[i].extend(around.iter().copied().filter(|&j| j != i));
        }
    }
    order
}
