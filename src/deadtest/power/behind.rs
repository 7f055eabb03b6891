//! The tool behind a series lamp, solved: what the lamp shows, what is left for the tool, what a meter reads, what gets warm.

use super::{Light, Volts};
use crate::circuit::{Branch, Circuit, Device, Solver};
use crate::deadtest::point::{self, Place, Point};
use crate::jig::{Jig, PartKind};
use crate::part::Measure;
use crate::standard::{self, Level, meter};
use crate::survey::condition::{Condition, Fault, fault_id};
use crate::survey::faults;
use crate::survey::model::Model;

/// Instants of a cycle at which volts are read.
const INSTANTS: usize = 256;
/// Most pairs of points at which a meter is put on.
const MOST_PAIRS: usize = 6;
/// Most faults that are tried behind the lamp.
const MOST_FAULTS: usize = 96;
/// Most parts that are felt.
const MOST_WARM: usize = 3;

/// The tool behind a lamp.
pub(super) struct Behind<'a> {
    pub jig: &'a Jig,
    pub model: &'a Model,
    pub condition: &'a Condition,
}

/// What was solved.
pub(super) struct Solved {
    pub light: Light,
    pub share: f64,
    pub left: f64,
}

/// Parts that get warm with their watts, and what stays charged.
pub(super) type Warm = (Vec<(String, f64)>, Vec<String>);

impl Behind<'_> {
    /// The circuit with the lamp in the live conductor.
    fn circuit(&self, lamp: Option<(f64, f64)>, faults: &[Fault]) -> Circuit {
        let condition = Condition { faults: faults.to_vec(), ..self.condition.clone() };
        let mut circuit = self.model.circuit(self.jig, &condition);
        if let (Some((volts, watts)), Some(line)) = (lamp, self.model.conductors[0]) {
            circuit.branches[line].device = Device::Filament {
                volts,
                watts,
                cold_ratio: standard::lamp::filament_cold_ratio().value,
                exponent: standard::lamp::filament_current_exponent().value,
            };
        }
        circuit
    }

    pub(super) fn solve(&self, lamp: (f64, f64), faults: &[Fault]) -> Option<Solved> {
        let mut circuit = self.circuit(Some(lamp), faults);
        let line = self.model.conductors[0]?;
        let meter = circuit.branches.len();
        let pins = [crate::jig::NET_L, crate::jig::NET_N].map(|n| self.model.node[n]);
        circuit.branches.push(Branch { a: pins[0], b: pins[1], device: Device::Meter });
        let steady = Solver::new(&circuit).ok()?.steady(1.0).ok()?;
        let share = steady.branches[line].v_rms / lamp.0;
        let bound = |key| meter::power("dark", key).value;
        let light = if share < bound("dark_fraction") {
            Light::Dark
        } else if share < bound("lit_fraction") {
            Light::Glows
        } else {
            Light::Lit
        };
        Some(Solved { light, share, left: steady.branches[meter].v_rms })
    }

    /// Which bridging faults light the lamp, and which do not.
    pub(super) fn lighting(&self, lamp: (f64, f64)) -> (Vec<String>, Vec<String>) {
        let bridges = |f: &Fault| match f {
            Fault::Short(_) | Fault::Breakdown(..) | Fault::WindingsJoined(..) => true,
            Fault::Open(_) | Fault::ConductorOpen(_) | Fault::Welded(_) => false,
        };
        let (mut lit, mut dark) = (vec![], vec![]);
        for fault in faults::list(self.jig, self.model).0.into_iter().filter(bridges).take(MOST_FAULTS) {
            let id = fault_id(self.jig, &self.model.items, &fault);
            match self.solve(lamp, std::slice::from_ref(&fault)).map(|s| s.light) {
                Some(Light::Lit | Light::Glows) => lit.push(id),
                Some(Light::Dark) | None => dark.push(id),
            }
        }
        (lit, dark)
    }

    pub(super) fn volts(&self, lamp: (f64, f64)) -> Vec<Volts> {
        self.pairs().into_iter().filter_map(|between| self.read(lamp, between)).collect()
    }

    /// The two contacts of each outlet, then one named point after the other.
    fn pairs(&self) -> Vec<[Point; 2]> {
        let points = point::points(self.jig).0;
        let mut pairs: Vec<[Point; 2]> = vec![];
        for outlet in &self.jig.outlets {
            let of = |n: usize| {
                points.iter().find(|p| p.place == Place::Contact && p.net == n && p.name.starts_with(&outlet.name))
            };
            if let (Some(a), Some(b)) = (of(outlet.across[0]), of(outlet.across[1])) {
                pairs.push([a.clone(), b.clone()]);
            }
        }
        let named: Vec<&Point> = points.iter().filter(|p| p.place == Place::Named).collect();
        pairs.extend(named.windows(2).map(|w| [w[0].clone(), w[1].clone()]));
        pairs.truncate(MOST_PAIRS);
        pairs
    }

    fn read(&self, lamp: (f64, f64), between: [Point; 2]) -> Option<Volts> {
        let mains = self.jig.supply.mains.as_ref()?;
        let mut circuit = self.circuit(Some(lamp), &[]);
        let [a, b] = [&between[0], &between[1]].map(|p| self.model.node[p.net]);
        let branch = circuit.branches.len();
        let ohms = meter::power("meter", "input_mohm").value;
        circuit.branches.push(Branch { a, b, device: Device::Resistor { ohms } });
        let mut solver = Solver::new(&circuit).ok()?;
        let mut out: Option<Volts> = None;
        for level in [Level::Low, Level::Nominal, Level::High] {
            let wave = solver.waveform(mains.scale(level), INSTANTS).ok()?;
            let volts: Vec<f64> = wave[branch].iter().map(|(v, _)| *v).collect();
            let [rms, average, dc] = shown(&volts);
            let grown = |old: [f64; 2], v: f64| [old[0].min(v), old[1].max(v)];
            out = Some(match out {
                None => Volts { between: between.clone(), true_rms: [rms; 2], average: [average; 2], dc: [dc; 2] },
                Some(o) => Volts {
                    true_rms: grown(o.true_rms, rms),
                    average: grown(o.average, average),
                    dc: grown(o.dc, dc),
                    ..o
                },
            });
        }
        out
    }

    /// What takes most watts on the highest mains without the lamp, and what is charged.
    pub(super) fn warm(&self) -> Option<Warm> {
        let circuit = self.circuit(None, &[]);
        let scale = self.jig.supply.mains.as_ref()?.scale(Level::High);
        let steady = Solver::new(&circuit).ok()?.steady(scale).ok()?;
        let mut watts: Vec<(String, f64)> = self.jig.parts.iter().map(|p| (p.name.clone(), 0.0)).collect();
        for item in &self.model.items {
            watts[item.part].1 += match &item.measure {
                Measure::Branch(b) => steady.branches[*b].power,
                Measure::Series(list, _) => list.iter().map(|b| steady.branches[*b].power).sum(),
                Measure::Bridge(_) => 0.0,
            };
        }
        let felt = meter::power("warm", "felt_w").value;
        watts.retain(|(_, w)| *w >= felt);
        watts.sort_by(|a, b| b.1.total_cmp(&a.1));
        watts.truncate(MOST_WARM);
        let holds = |p: &&crate::jig::Part| matches!(p.kind, PartKind::Capacitor(_));
        Some((watts, self.jig.parts.iter().filter(holds).map(|p| p.name.clone()).collect()))
    }
}

/// What meters show of volts instant by instant: a.c. true r.m.s., a.c. average-responding, d.c. Both a.c. ranges block the
/// mean.
fn shown(volts: &[f64]) -> [f64; 3] {
    let n = volts.len() as f64;
    let dc = volts.iter().sum::<f64>() / n;
    let rms = (volts.iter().map(|v| (v - dc) * (v - dc)).sum::<f64>() / n).sqrt();
    let rectified = volts.iter().map(|v| (v - dc).abs()).sum::<f64>() / n;
    [rms, rectified * meter::power("meter", "average_responding_factor").value, dc]
}
