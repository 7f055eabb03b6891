//! A tool in one condition as a network: which fault, which way round, which load, which values.

use super::network::{Branch, El, Network};
use super::tool::{Kind, Load, Part, Tool};
use std::collections::HashMap;

/// One thing that has failed.
#[derive(Clone, Debug, PartialEq)]
pub enum Fault {
    None,
    Open(usize),
    Short(usize),
    /// Of a bridge: part, arm.
    ArmOpen(usize, usize),
    ArmShort(usize, usize),
    CordLine,
    CordNeutral,
    CordEarth,
    /// Insulation of this number breaks down, from this net.
    Broken(usize, String),
}

/// What is looked at in a condition.
#[derive(Clone, Debug)]
pub struct Condition<'a> {
    pub fault: &'a Fault,
    pub turned: bool,
    pub switched_on: bool,
    /// One for each outlet.
    pub loads: Vec<Load>,
    /// A factor for each part's value.
    pub corner: Vec<f64>,
    /// The mains pulled out.
    pub unplugged: bool,
    /// A resistance put on from one net to another; "" is the earth.
    pub probe: Option<(&'a str, &'a str, f64)>,
}

/// The branches of each part, and of the probe, in the network.
pub struct Placed {
    pub net: Network,
    pub of_part: Vec<Vec<usize>>,
    pub probe: Option<usize>,
    pub earth_core: Option<usize>,
    pub line_core: Option<usize>,
}

const OPEN: f64 = 1e9;
const SHORT: f64 = 1e-2;
/// Half the reference impedance of the public supply (IEC 60725: 0.4 ohm and a little inductance), in each conductor.
const CONDUCTOR: f64 = 0.2;
/// Leak of a diode the wrong way round.
const DIODE_OFF: f64 = 1e8;
const DARK: f64 = 1e9;

struct Nodes(HashMap<String, usize>);

impl Nodes {
    fn of(&mut self, net: &str) -> usize {
        if net.is_empty() {
            return 0;
        }
        let next = self.0.len() + 1;
        *self.0.entry(net.to_string()).or_insert(next)
    }
}

/// Pairs of ends and what stands between them.
fn elements(part: &Part, factor: f64, on: bool) -> Vec<(usize, usize, El)> {
    let diode = |forward: f64, slope: f64| El::Diode { forward, on: slope, off: DIODE_OFF };
    match part.kind {
        Kind::Resistor { ohms, .. } => vec![(0, 1, El::Ohms(ohms * factor))],
        Kind::Capacitor { farads, .. } => vec![(0, 1, El::Farads(farads * factor))],
        Kind::Diode { forward, slope, .. } | Kind::Led { forward, slope, .. } => vec![(0, 1, diode(forward, slope))],
        Kind::Bridge { forward, slope, .. } => {
            [(0, 2), (1, 2), (3, 0), (3, 1)].iter().map(|&(a, b)| (a, b, diode(forward, slope))).collect()
        }
        Kind::Neon { strike, maintain, slope, .. } => {
            vec![(0, 1, El::Neon { strike, maintain, on: slope, off: DARK })]
        }
        Kind::Filament { volts, watts } => {
            let hot = volts * volts / watts;
            vec![(0, 1, El::Filament { hot, volts, now: hot })]
        }
        // A fuse link drops some tenths of a volt at its rating.
        Kind::Fuse { amps, .. } => vec![(0, 1, El::Ohms(0.2 / amps))],
        Kind::Switch { .. } => {
            let ohms = if on { 0.01 } else { OPEN };
            (0..part.ends.len() / 2).map(|p| (2 * p, 2 * p + 1, El::Ohms(ohms))).collect()
        }
        // Below its knee.
        Kind::Varistor { .. } => vec![(0, 1, El::Ohms(1e9))],
        Kind::Wire { .. } => vec![(0, 1, El::Ohms(0.01))],
    }
}

/// The network of a tool in a condition.
pub fn place(tool: &Tool, c: &Condition) -> Placed {
    let mut nodes = Nodes(HashMap::new());
    let mut branches: Vec<Branch> = Vec::new();
    let mut of_part = Vec::new();
    for (k, part) in tool.parts.iter().enumerate() {
        let mut own = Vec::new();
        for (arm, (a, b, mut el)) in
            elements(part, c.corner.get(k).copied().unwrap_or(1.0), c.switched_on).into_iter().enumerate()
        {
            match c.fault {
                Fault::Open(p) if *p == k => el = El::Ohms(OPEN),
                Fault::Short(p) if *p == k => el = El::Ohms(SHORT),
                Fault::ArmOpen(p, n) if (*p, *n) == (k, arm) => el = El::Ohms(OPEN),
                Fault::ArmShort(p, n) if (*p, *n) == (k, arm) => el = El::Ohms(SHORT),
                _ => {}
            }
            own.push(branches.len());
            branches.push(Branch { a: nodes.of(&part.ends[a]), b: nodes.of(&part.ends[b]), el });
        }
        of_part.push(own);
    }
    for (outlet, load) in tool.outlets.iter().zip(&c.loads) {
        let nominal = tool.supply.map_or(1.0, |s| s.volts);
        let el = match load {
            Load::Open => continue,
            Load::Short => El::Ohms(SHORT),
            Load::Watts(w) => El::Ohms(nominal * nominal / w),
            Load::Charged { farads, .. } => El::Farads(*farads),
        };
        branches.push(Branch { a: nodes.of(&outlet.across[0]), b: nodes.of(&outlet.across[1]), el });
    }
    if c.unplugged {
        // Volts between the pins are all that is asked: one of them is the reference.
        branches.push(Branch { a: nodes.of("N"), b: 0, el: El::Ohms(1.0) });
    }
    let mut hot = None;
    let (mut earth_core, mut line_core) = (None, None);
    if tool.supply.is_some() && !c.unplugged {
        let (line, neutral) = if c.turned { ("N", "L") } else { ("L", "N") };
        hot = Some(nodes.of(" hot"));
        line_core = Some(branches.len());
        let cord = |fault: &Fault| if c.fault == fault { OPEN } else { CONDUCTOR };
        branches.push(Branch { a: nodes.of(" hot"), b: nodes.of(line), el: El::Ohms(cord(&Fault::CordLine)) });
        branches.push(Branch { a: nodes.of(neutral), b: 0, el: El::Ohms(cord(&Fault::CordNeutral)) });
        if tool.earthed() {
            earth_core = Some(branches.len());
            branches.push(Branch { a: nodes.of("PE"), b: 0, el: El::Ohms(cord(&Fault::CordEarth)) });
        }
    }
    if let Fault::Broken(i, from) = c.fault {
        let i = &tool.insulation[*i];
        let to = if i.from == "mains" {
            &i.to
        } else if i.to == "mains" {
            &i.from
        } else {
            &i.to
        };
        branches.push(Branch { a: nodes.of(from), b: nodes.of(to), el: El::Ohms(SHORT) });
    }
    let probe = c.probe.map(|(a, b, ohms)| {
        branches.push(Branch { a: nodes.of(a), b: nodes.of(b), el: El::Ohms(ohms) });
        branches.len() - 1
    });
    let nodes = nodes.0.len() + 1;
    let hertz = tool.supply.map_or(50.0, |s| s.hertz);
    Placed { net: Network { nodes, branches, hot, loop_ohms: CONDUCTOR, hertz }, of_part, probe, earth_core, line_core }
}

impl Tool {
    /// Whether a protective conductor reaches the tool.
    pub fn earthed(&self) -> bool {
        self.plug.earth && self.cores >= 3
    }

    /// Every single fault that is tried.
    pub fn faults(&self) -> Vec<Fault> {
        let mut all = Vec::new();
        for (k, part) in self.parts.iter().enumerate() {
            match part.kind {
                Kind::Bridge { .. } => {
                    for arm in 0..4 {
                        all.push(Fault::ArmOpen(k, arm));
                        all.push(Fault::ArmShort(k, arm));
                    }
                }
                Kind::Switch { .. } => {}
                Kind::Fuse { .. } | Kind::Wire { .. } => all.push(Fault::Open(k)),
                Kind::Capacitor { class: Some(class), .. } if class.starts_with('Y') => all.push(Fault::Open(k)),
                _ => all.extend([Fault::Open(k), Fault::Short(k)]),
            }
        }
        if self.supply.is_some() {
            all.extend([Fault::CordLine, Fault::CordNeutral]);
            if self.earthed() {
                all.push(Fault::CordEarth);
            }
        }
        for (i, insulation) in self.insulation.iter().enumerate() {
            if insulation.grade < super::tool::Grade::Double {
                if insulation.from == "mains" || insulation.to == "mains" {
                    let ends = self.parts.iter().flat_map(|p| &p.ends);
                    let nets: std::collections::BTreeSet<&String> =
                        ends.filter(|e| *e != "PE" && **e != insulation.to && **e != insulation.from).collect();
                    all.extend(nets.into_iter().map(|net| Fault::Broken(i, net.clone())));
                } else {
                    all.push(Fault::Broken(i, insulation.from.clone()));
                }
            }
        }
        all
    }
}
