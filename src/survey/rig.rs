//! What a what-if adds to the circuit of a condition: wires, a body, everything cold; and where it puts voltmeters. Judges
//! nothing.

use crate::circuit::{Branch, Circuit, Device};
use crate::jig::{NetId, PartKind};
use crate::part::assembly::short;
use crate::part::{Measure, Thermistor};

use super::context::SurveyContext;

/// What is added to a circuit.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Rig {
    /// Two nets each, joined by a wire.
    pub join: Vec<[NetId; 2]>,
    /// A body from the one net to the other, or to earth.
    pub hold: Option<(NetId, Option<NetId>)>,
    /// Filaments and inrush limiters at their cold resistance.
    pub cold: bool,
    /// Two nets each, with a voltmeter from the first to the second.
    pub between: Vec<[NetId; 2]>,
    /// Items of which the current is wanted instant by instant.
    pub waves: Vec<usize>,
}

impl Rig {
    /// Puts it into a circuit of this jig and gives back the branch of the body, where there is one. Branches are only added,
    /// so that every item keeps its own.
    pub(super) fn put(&self, context: &SurveyContext, circuit: &mut Circuit) -> Option<usize> {
        let node = |net: NetId| context.model.node[net];
        for [a, b] in &self.join {
            circuit.branches.push(Branch { a: node(*a), b: node(*b), device: short() });
        }
        if self.cold {
            cool(context, circuit);
        }
        self.hold.map(|(from, to)| context.model.touch(circuit, from, to).body)
    }

    /// Its voltmeters, to be put in last.
    pub(super) fn meters(&self, context: &SurveyContext) -> impl Iterator<Item = Branch> {
        let node = |net: &NetId| context.model.node[*net];
        let meters: Vec<Branch> =
            self.between.iter().map(|[a, b]| Branch { a: node(a), b: node(b), device: Device::Meter }).collect();
        meters.into_iter()
    }
}

/// Sets filaments and inrush limiters to their cold resistance.
fn cool(context: &SurveyContext, circuit: &mut Circuit) {
    for branch in &mut circuit.branches {
        if let Device::Filament { volts, watts, cold_ratio, .. } = branch.device {
            branch.device = Device::Resistor { ohms: volts * volts / watts * cold_ratio };
        }
    }
    for item in &context.model.items {
        if let (PartKind::Thermistor(Thermistor { cold, .. }), Measure::Branch(b)) =
            (&context.jig.parts[item.part].kind, &item.measure)
        {
            circuit.branches[*b].device = Device::Resistor { ohms: *cold };
        }
    }
}
