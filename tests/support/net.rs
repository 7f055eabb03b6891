//! Circuits written with names: node "0" is the reference, parts are found again by their names.

use crate::circuit::{Branch, Circuit, Core, Coupling, Device, HandNetwork, Stray};

/// A circuit under construction.
#[derive(Clone)]
pub struct Net {
    names: Vec<String>,
    nodes: Vec<String>,
    circuit: Circuit,
}

impl Net {
    /// An empty circuit for a mains frequency in hertz.
    pub fn new(hertz: f64) -> Net {
        let circuit = Circuit { nodes: 1, hertz, ..Circuit::default() };
        Net { names: Vec::new(), nodes: vec!["0".to_string()], circuit }
    }

    fn node(&mut self, name: &str) -> usize {
        if let Some(k) = self.nodes.iter().position(|n| n == name) {
            return k;
        }
        self.nodes.push(name.to_string());
        self.circuit.nodes = self.nodes.len();
        self.nodes.len() - 1
    }

    /// Adds any device.
    pub fn part(mut self, name: &str, a: &str, b: &str, device: Device) -> Net {
        let (a, b) = (self.node(a), self.node(b));
        self.circuit.branches.push(Branch { a, b, device });
        self.names.push(name.to_string());
        self
    }
    /// Mains of `rms` volts, phase 0.
    pub fn mains(self, name: &str, a: &str, b: &str, rms: f64) -> Net {
        self.part(name, a, b, Device::Source { dc: 0.0, sine: rms * 2f64.sqrt(), phase: 0.0 })
    }
    /// Resistor, ohms.
    pub fn r(self, name: &str, a: &str, b: &str, ohms: f64) -> Net {
        self.part(name, a, b, Device::Resistor { ohms })
    }
    /// Capacitor, farads.
    pub fn c(self, name: &str, a: &str, b: &str, farads: f64) -> Net {
        self.part(name, a, b, Device::Capacitor { farads })
    }
    /// Inductor, henries.
    pub fn l(self, name: &str, a: &str, b: &str, henries: f64) -> Net {
        self.part(name, a, b, Device::Inductor { henries })
    }
    /// Diode: knee volts, slope and leak in ohms.
    pub fn d(self, name: &str, a: &str, b: &str, forward: f64, on_ohms: f64, off_ohms: f64) -> Net {
        self.part(name, a, b, Device::Diode { forward, on_ohms, off_ohms, breakdown: None })
    }
    /// Neon lamp: strike and maintaining volts; 3 kΩ lit, 1 GΩ dark, no least current.
    pub fn neon(self, name: &str, a: &str, b: &str, strike: f64, maintain: f64) -> Net {
        let device = Device::Neon { strike, maintain, lit_ohms: 3e3, off_ohms: 1e9, extinction: 0.0 };
        self.part(name, a, b, device)
    }
    /// Four equal diodes from the a.c. nodes `p`, `q` to `plus` and `minus`.
    pub fn bridge(self, p: &str, q: &str, plus: &str, minus: &str) -> Net {
        self.d("D1", p, plus, 0.65, 1.0, 1e7)
            .d("D2", q, plus, 0.65, 1.0, 1e7)
            .d("D3", minus, p, 0.65, 1.0, 1e7)
            .d("D4", minus, q, 0.65, 1.0, 1e7)
    }
    /// Couples two inductors of those names with coupling factor `k` (below 1).
    pub fn couple(mut self, first: &str, second: &str, k: f64) -> Net {
        let (first, second) = (self.index(first), self.index(second));
        let henries = |b: usize| match self.circuit.branches[b].device {
            Device::Inductor { henries } => henries,
            other => panic!("{other:?} is no inductor"),
        };
        let henries = k * (henries(first) * henries(second)).sqrt();
        self.circuit.couplings.push(Coupling { first, second, henries });
        self
    }
    /// Iron with these windings (inductor and turns over the first), its inductance below and beyond the knee, and the
    /// magnetising amperes at it.
    pub fn core(mut self, windings: &[(&str, f64)], henries: f64, saturated: f64, knee: f64) -> Net {
        let windings = windings.iter().map(|(name, turns)| (self.index(name), *turns)).collect();
        self.circuit.cores.push(Core { windings, henries, saturated, knee });
        self
    }
    /// A stray capacitance.
    pub fn stray(mut self, a: &str, b: &str, farads: f64) -> Net {
        let (a, b) = (self.node(a), self.node(b));
        self.circuit.strays.push(Stray { a, b, farads });
        self
    }
    /// A hand at a voltmeter, through the network of IEC 60990 figure 4.
    pub fn hand(mut self, name: &str, a: &str, b: &str) -> Net {
        self = self.part(name, a, b, Device::Meter);
        self.circuit.hands.push(self.circuit.branches.len() - 1);
        self.circuit.hand = HandNetwork {
            skin_ohms: 1500.0,
            skin_farads: 220e-9,
            body_ohms: 500.0,
            reader_ohms: 10e3,
            reader_farads: 22e-9,
        };
        self
    }
    /// Puts another device in the place of a part.
    pub fn replace(mut self, name: &str, device: Device) -> Net {
        let k = self.index(name);
        self.circuit.branches[k].device = device;
        self
    }

    /// The branch of that name.
    #[track_caller]
    pub fn index(&self, name: &str) -> usize {
        self.names.iter().position(|n| n == name).unwrap_or_else(|| panic!("no part {name}"))
    }
    /// The name of a branch.
    pub fn name(&self, branch: usize) -> &str {
        &self.names[branch]
    }
    /// The circuit as it stands.
    pub fn circuit(&self) -> &Circuit {
        &self.circuit
    }
}
