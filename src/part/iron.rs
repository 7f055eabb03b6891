//! What a transformer's data, and the rows for its size where it states none, make of its copper and its iron.

use super::assembly::{Assembly, Assumption, contact};
use super::item::Measure;
use super::kind::Behaviour as _;
use super::transformer::{Transformer, TransformerWinding};
use crate::circuit::{Device, Solver};
use crate::standard;
use crate::standard::transformer::{CoreBuild, usual};

/// A winding as the circuit sees it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Winding {
    /// Ohms of its copper.
    pub ohms: f64,
    /// Turns over those of the primary.
    pub turns: f64,
}

/// A transformer as the circuit sees it, seen at the primary.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Model {
    /// The primary, then the secondaries.
    pub windings: Vec<Winding>,
    /// Inductance that the iron gives, henries.
    pub coupled: f64,
    /// The same once it is saturated.
    pub saturated: f64,
    /// Inductance of the flux that leaks past the other windings, henries.
    pub stray: f64,
    /// Ohms across the primary that turn to heat what the iron loses.
    pub iron_loss: f64,
    /// Magnetising current at which the iron saturates, amperes.
    pub knee: f64,
    /// Magnetising current that holds the flux that may stay behind when it is switched off, amperes.
    pub remanent: f64,
    /// What the file does not state.
    pub guesses: Vec<Assumption>,
}

/// Least part of the current without load that magnetises.
const MAGNETISES: f64 = 0.1;
/// Share of the copper's drop that is the primary's, the secondaries having the rest: the windings get equal room.
const PRIMARY_SHARE: f64 = 0.5;
/// What leaks counts once for each side.
const SIDES: f64 = 2.0;

/// How many times the current of its short circuit may be what is worked out, where its regulation is not stated and the
/// middle of what is usual stands for it; 1 where it is stated.
pub(crate) fn short_circuit_spread(t: &Transformer) -> f64 {
    if regulation(t).is_some() || t.primary.resistance.is_some() {
        return 1.0;
    }
    let volt_amperes = t.power.unwrap_or_else(|| standard::bench::transformer_power().value);
    let row = usual(core_of(t), volt_amperes);
    row.regulation.value / row.least_regulation.value
}

/// How its iron is built: as stated, else as is usual.
fn core_of(t: &Transformer) -> CoreBuild {
    t.core.unwrap_or(if t.is_one_winding() { CoreBuild::Toroid } else { CoreBuild::Laminated })
}

impl Model {
    /// Of a transformer on mains of `omega` radians a second.
    pub(super) fn of(t: &Transformer, omega: f64) -> Model {
        let mut guesses = vec![];
        let rated = t.primary.volts;
        let volt_amperes = t.power.unwrap_or_else(|| {
            let guess = standard::bench::transformer_power().value;
            guesses.push(Assumption::TransformerPower(guess));
            guess
        });
        let one_winding = t.is_one_winding();
        let row = usual(core_of(t), volt_amperes);
        let regulation = regulation(t).unwrap_or_else(|| {
            guesses.push(Assumption::TransformerRegulation(row.regulation.value));
            row.regulation.value
        });
        let z = rated * rated / volt_amperes;
        let copper = regulation * z / (1.0 + regulation).powi(2);
        let primary_ohms = t.primary.resistance.unwrap_or(PRIMARY_SHARE * copper);
        let loss = t.loss.unwrap_or(row.iron_loss.value);
        let lossy = loss / rated;
        let magnetising = match t.inductance {
            Some(henries) => rated / (omega * henries),
            None => {
                let none = row.no_load_current.value * volt_amperes / rated;
                (none * none - lossy * lossy).max(0.0).sqrt().max(MAGNETISES * none)
            }
        };
        let own = rated / (omega * magnetising);
        let leak = (standard::bench::transformer()[0].value * z / omega / SIDES).min(own / SIDES);
        let coupled = own - leak;
        // Without load the iron stands at a little less than the mains: what magnetises it drops some in the primary.
        let (x, r) = (1.0 / (omega * coupled), lossy / rated);
        let held = (1.0 + primary_ohms * r + omega * leak * x).hypot(primary_ohms * x - omega * leak * r);
        let at_iron = rated / held;
        let secondary = |w: &TransformerWinding| {
            // The volts of an autotransformer's windings hold whatever the load, but for little.
            let rise = if one_winding { 1.0 } else { 1.0 + regulation };
            let turns = w.no_load.unwrap_or(w.volts * rise) / at_iron;
            let share = (1.0 - PRIMARY_SHARE) * copper * turns * turns * t.secondaries.len() as f64;
            Winding { ohms: w.resistance.unwrap_or(share), turns }
        };
        let primary = Winding { ohms: primary_ohms, turns: 1.0 };
        let crest = std::f64::consts::SQRT_2 * at_iron / (omega * coupled);
        Model {
            windings: std::iter::once(primary).chain(t.secondaries.iter().map(secondary)).collect(),
            coupled,
            saturated: (row.saturated.value * primary_ohms / omega).min(coupled),
            stray: leak,
            iron_loss: rated / lossy,
            knee: row.knee.value * crest,
            remanent: row.remanence.value * crest,
            guesses,
        }
    }
}

/// Amperes r.m.s. that the primary of a transformer with windings apart is made for: those at full load of every secondary,
/// at the highest volts it is to bear. `None` for one that states no power, and for an autotransformer.
pub(crate) fn full_load_primary(t: &Transformer, hertz: f64) -> Option<f64> {
    let volt_amperes = t.power?;
    if t.is_one_winding() {
        return None;
    }
    // A bench of its own: net 0 and 1 are the ends of the supply, 2 that of every secondary, then their other ends.
    let mut bench = t.clone();
    bench.screen = None;
    bench.primary.across = [1, 0];
    let shared = [0, 1, 2];
    bench.secondaries.iter_mut().enumerate().for_each(|(k, w)| w.across = [shared.len() + k, 2]);
    let mut circuit = Assembly::new(shared.len() + t.secondaries.len(), hertz, t.primary.volts);
    bench.assemble(&mut circuit);
    let crest = std::f64::consts::SQRT_2 * t.primary.volts * standard::transformer::bears().value;
    let ends = circuit.nodes([1, 0]);
    circuit.branch(ends[0], ends[1], Device::Source { dc: 0.0, sine: crest, phase: 0.0 });
    circuit.branch(ends[1], 0, contact());
    circuit.branch(circuit.nodes([2, 2])[0], 0, contact());
    for w in &bench.secondaries {
        circuit
            .across(w.across, Device::Resistor { ohms: w.volts * w.volts * t.secondaries.len() as f64 / volt_amperes });
    }
    let Measure::Series(primary, _) = &circuit.items[0].measure else { return None };
    let steady = Solver::new(&circuit.circuit).ok()?.steady(1.0).ok()?;
    Some(steady.branches[primary[0]].i_rms)
}

/// What the file says of the rise from full load to none.
fn regulation(t: &Transformer) -> Option<f64> {
    let from_volts = |w: &TransformerWinding| {
        let rise = w.no_load? / w.volts - 1.0;
        (rise > 0.0).then_some(rise)
    };
    t.regulation.or_else(|| t.secondaries.first().and_then(from_volts))
}
