//! The circuit that parts are assembled into: branches, the items they are, what is assumed where the file says nothing.

use super::item::{Item, Measure, Role, Toleranced};
use crate::circuit::{Branch, Circuit, Core, Coupling, Device, Stray};
use crate::format::{Ends, NetId};
use crate::standard;

/// Bounds of the resistance that is read across a winding, ohms: what it passes is far below anything that is judged.
const COIL_VOLTMETER: [f64; 2] = [1e9, 1e12];
/// A winding's voltmeter against its reactance: what it passes is a millionth of the magnetising current.
const COIL_VOLTMETER_REACTANCES: f64 = 1e6;

/// Something taken for granted because the file does not say it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Assumption {
    /// A transformer of unstated power: its winding resistance is a guess for so many volt-amperes.
    TransformerPower(f64),
    /// A transformer that states neither its regulation nor its volts without load: usual for its size, a fraction.
    TransformerRegulation(f64),
    /// A bought module is taken as approved: its barrier does not fail.
    ModuleBarrier,
    /// Nothing says that a bought module isolates: its output counts as joined to its input.
    NoBarrier,
}

/// An ordinary open branch.
pub(crate) fn open() -> Device {
    Device::Resistor { ohms: standard::bench::fault_open().value }
}

/// An ordinary bridged branch.
pub(crate) fn short() -> Device {
    Device::Resistor { ohms: standard::bench::fault_short().value }
}

/// A contact, a joint: next to nothing.
pub(super) fn contact() -> Device {
    Device::Resistor { ohms: standard::bench::contact_resistance().value }
}

/// A circuit being put together, part by part.
pub(crate) struct Assembly {
    /// Branches so far.
    pub(crate) circuit: Circuit,
    /// Things with stresses so far.
    pub(crate) items: Vec<Item>,
    /// Node of each net.
    pub(crate) node: Vec<usize>,
    /// Values with a tolerance.
    pub(crate) toleranced: Vec<Toleranced>,
    /// Windings on iron that keeps a flux when it is switched off, and the amperes in each that hold as much.
    pub(crate) remanent: Vec<(usize, f64)>,
    /// Of each switch its contacts: (item, closed in position k).
    pub(crate) contacts: Vec<Vec<(usize, Vec<bool>)>>,
    /// What was assumed of which part.
    pub(crate) assumptions: Vec<(String, Assumption)>,
    /// Nominal volts between the pins, 0 without mains.
    pub(crate) nominal: f64,
    /// Index and name of the part being assembled.
    part: usize,
    name: String,
}

impl Assembly {
    /// Nothing yet: one node a net and the reference.
    pub(crate) fn new(nets: usize, hertz: f64, nominal: f64) -> Assembly {
        Assembly {
            circuit: Circuit { nodes: nets + 1, hertz, ..Circuit::default() },
            items: vec![],
            node: (0..nets).map(|n| n + 1).collect(),
            toleranced: vec![],
            remanent: vec![],
            contacts: vec![],
            assumptions: vec![],
            nominal,
            part: 0,
            name: String::new(),
        }
    }

    /// What follows belongs to this part.
    pub(crate) fn begin(&mut self, part: usize, name: &str) {
        self.part = part;
        self.name = name.to_string();
    }

    /// Radians a second.
    pub(super) fn omega(&self) -> f64 {
        2.0 * std::f64::consts::PI * self.circuit.hertz
    }

    /// The nodes of two nets.
    pub(super) fn nodes(&self, ends: Ends) -> [usize; 2] {
        ends.map(|n| self.node[n])
    }

    /// A branch between two nodes.
    pub(crate) fn branch(&mut self, a: usize, b: usize, device: Device) -> usize {
        self.circuit.branches.push(Branch { a, b, device });
        self.circuit.branches.len() - 1
    }

    /// A branch between two nets.
    pub(crate) fn across(&mut self, ends: Ends, device: Device) -> usize {
        let [a, b] = self.nodes(ends);
        self.branch(a, b, device)
    }

    /// A node of no net.
    pub(crate) fn inner(&mut self) -> usize {
        self.circuit.nodes += 1;
        self.circuit.nodes - 1
    }

    /// A voltmeter from a net to earth.
    pub(crate) fn voltmeter(&mut self, net: NetId) -> usize {
        self.branch(self.node[net], 0, Device::Meter)
    }

    /// An item; `suffix` follows the part's name.
    pub(super) fn item(&mut self, suffix: &str, role: Role, ends: Ends, measure: Measure) -> usize {
        let fault_branch = match &measure {
            Measure::Branch(b) => Some(*b),
            Measure::Series(list, _) => list.first().copied(),
            Measure::Bridge(_) => None,
        };
        let name = format!("{}{suffix}", self.name);
        self.items.push(Item { name, part: self.part, role, measure, ends, fault_branch });
        self.items.len() - 1
    }

    /// A part of one branch.
    pub(super) fn simple(&mut self, ends: Ends, device: Device) -> usize {
        let branch = self.across(ends, device);
        self.item("", Role::Whole, ends, Measure::Branch(branch));
        branch
    }

    /// Resistance and inductance in series, seen as one item. Gives the inductor's branch.
    pub(super) fn coil(&mut self, (suffix, role): (&str, Role), ends: Ends, ohms: f64, henries: f64) -> usize {
        let [a, b] = self.nodes(ends);
        let middle = self.inner();
        let r = self.branch(a, middle, Device::Resistor { ohms });
        let l = self.branch(middle, b, Device::Inductor { henries });
        // Two windings in series meet in a node that has nothing else: its volts are the difference of their currents times this.
        let reactance = self.omega() * henries;
        let voltmeter = (reactance * COIL_VOLTMETER_REACTANCES).clamp(COIL_VOLTMETER[0], COIL_VOLTMETER[1]);
        let v = self.branch(a, b, Device::Resistor { ohms: voltmeter });
        self.item(suffix, role, ends, Measure::Series(vec![r, l], v));
        l
    }

    /// A device across the inductor of a winding, seen as part of it.
    pub(super) fn beside(&mut self, coil: usize, device: Device) {
        let Branch { a, b, .. } = self.circuit.branches[coil];
        let branch = self.branch(a, b, device);
        for item in &mut self.items {
            if let Measure::Series(list, _) = &mut item.measure
                && list.contains(&coil)
            {
                list.push(branch);
            }
        }
    }

    /// Iron that windings share.
    pub(super) fn core(&mut self, core: Core) {
        self.circuit.cores.push(core);
    }

    /// Iron that keeps a flux when it is switched off: the winding and the amperes in it that hold as much.
    pub(super) fn remanence(&mut self, winding: usize, amperes: f64) {
        self.remanent.push((winding, amperes));
    }

    /// A capacitance that nobody put there, between two nets.
    pub(super) fn stray(&mut self, a: NetId, b: NetId, farads: f64) {
        let [a, b] = self.nodes([a, b]);
        self.circuit.strays.push(Stray { a, b, farads });
    }

    /// The value of a branch has a tolerance.
    pub(super) fn tolerance(&mut self, branch: usize, tolerance: f64) {
        self.toleranced.push(Toleranced { branch, part: self.part, tolerance });
    }

    /// Two inductors share flux.
    pub(super) fn couple(&mut self, first: usize, second: usize, henries: f64) {
        self.circuit.couplings.push(Coupling { first, second, henries });
    }

    /// Something is taken for granted.
    pub(super) fn assume(&mut self, assumption: Assumption) {
        self.assumptions.push((self.name.clone(), assumption));
    }
}
