//! A hand between groups of nodes that only stray capacitances hold against each other. What a stray carries changes
//! nothing it stands across, so the circuit is solved without any; what they drive through the hand follows from the
//! solved volts, harmonic by harmonic: each group keeps its shape and moves as one.

use std::f64::consts::TAU;
use std::sync::OnceLock;

use nalgebra::{Complex, DMatrix, DVector};

use super::netlist::{Circuit, Device, HandNetwork};
use super::results::Felt;
use super::sets::Sets;

/// Ohms from which a resistor joins nothing: meters, what is open. What it passes is part of the solved circuit.
const JOINS_NOTHING: f64 = 5e8;
/// Siemens that hold a group on which no stray acts.
const HELD: f64 = 1e-15;
/// Samples of a cycle: the network reads hardly anything beyond their highest harmonic.
pub(super) const SAMPLES: usize = 64;
/// Part of the largest harmonic below which one counts for nothing.
const NOTHING: f64 = 1e-7;

/// The nodes of a circuit by what joins them, where strays decide something.
#[derive(Debug, Clone)]
pub(super) struct Groups {
    /// Group of each node; that of the reference is 0.
    of: Vec<usize>,
    count: usize,
    /// Every node against the first of its group: signed branches whose volts add up to it.
    paths: Vec<Vec<(usize, f64)>>,
    /// Voltmeters across which nothing but strays and meters holds.
    probes: Vec<usize>,
}

impl Groups {
    /// Of a circuit; `None` where no hand feels a stray.
    pub(super) fn new(c: &Circuit) -> Option<Groups> {
        if c.strays.is_empty() || c.hands.is_empty() {
            return None;
        }
        let apart =
            |d: &Device| matches!(d, Device::Meter) || matches!(d, Device::Resistor { ohms } if *ohms >= JOINS_NOTHING);
        let joins = |k: &usize| !apart(&c.branches[*k].device);
        let mut sets = Sets::new(c.nodes);
        let tree: Vec<usize> =
            (0..c.branches.len()).filter(joins).filter(|k| sets.join(c.branches[*k].a, c.branches[*k].b)).collect();
        let heads: Vec<usize> = (0..c.nodes).map(|node| sets.find(node)).collect();
        let mut known: Vec<usize> = heads.clone();
        known.sort_unstable();
        known.dedup();
        let of: Vec<usize> = heads.iter().map(|head| known.binary_search(head).unwrap_or(0)).collect();
        let apart = |k: &usize| c.branches.get(*k).is_some_and(|b| of[b.a] != of[b.b]);
        let probes: Vec<usize> = c.hands.iter().copied().filter(apart).collect();
        if probes.is_empty() {
            return None;
        }
        let paths = paths(c, &tree, &known);
        Some(Groups { count: known.len(), of, paths, probes })
    }

    /// The nodes whose volts are wanted: ends of strays and of hands, each as signed branches.
    pub(super) fn wanted<'a>(&'a self, c: &'a Circuit) -> impl Iterator<Item = &'a [(usize, f64)]> {
        self.nodes(c).map(|node| self.paths[node].as_slice())
    }

    fn nodes<'a>(&'a self, c: &'a Circuit) -> impl Iterator<Item = usize> + 'a {
        let strays = c.strays.iter().flat_map(|s| [s.a, s.b]);
        strays.chain(self.probes.iter().flat_map(|p| [c.branches[*p].a, c.branches[*p].b]))
    }

    /// What every hand feels that only strays feed, from the volts of the nodes in [`Groups::wanted`] order, each
    /// [`SAMPLES`] over a cycle.
    pub(super) fn felt(&self, c: &Circuit, waves: &[Vec<f64>]) -> Vec<Felt> {
        let omega = 2.0 * std::f64::consts::PI * c.hertz;
        let spectra: Vec<Vec<Complex<f64>>> = waves.iter().map(|wave| spectrum(wave)).collect();
        let of_node = |node: usize| self.nodes(c).position(|n| n == node).map(|k| &spectra[k]);
        let line = |h: usize| spectra.iter().map(|s| s[h].norm_sqr()).fold(0.0, f64::max);
        let lines: Vec<f64> = (0..SAMPLES / 2).map(line).collect();
        let least = NOTHING * NOTHING * lines.iter().copied().fold(0.0, f64::max);
        let hand = |probe: &usize| {
            let [a, b] = [c.branches[*probe].a, c.branches[*probe].b];
            let mut felt = [vec![], vec![], vec![]];
            for h in (1..SAMPLES / 2).filter(|h| lines[*h] > least) {
                let w = omega * h as f64;
                let at = |node: usize| of_node(node).map_or(Complex::ZERO, |s| s[h]);
                let open = self.across(c, w, Complex::ZERO, [a, b], &at);
                let y = c.hand.admittance(w);
                let through = y * self.across(c, w, y, [a, b], &at);
                felt[0].push((h, open));
                felt[1].push((h, through));
                felt[2].push((h, through * c.hand.reading(w)));
            }
            let [volts, amperes, read] = felt.map(|line| size(&line));
            Felt { probe: *probe, volts, amperes, read }
        };
        self.probes.iter().map(hand).collect()
    }

    /// Volts of one harmonic between two nodes with an admittance between them.
    fn across(
        &self,
        c: &Circuit,
        w: f64,
        between: Complex<f64>,
        [a, b]: [usize; 2],
        at: &impl Fn(usize) -> Complex<f64>,
    ) -> Complex<f64> {
        // Unknown: how far each group but the reference's moves.
        let n = self.count - 1;
        let mut y = DMatrix::from_diagonal_element(n, n, Complex::new(HELD, 0.0));
        let mut drive = DVector::from_element(n, Complex::ZERO);
        let strays = c.strays.iter().map(|s| (s.a, s.b, Complex::new(0.0, w * s.farads)));
        for (p, q, admittance) in strays.chain([(a, b, between)]) {
            let (gp, gq) = (self.of[p], self.of[q]);
            if gp == gq {
                continue;
            }
            let shape = admittance * (at(p) - at(q));
            for (from, to, sign) in [(gp, gq, 1.0), (gq, gp, -1.0)] {
                if from > 0 {
                    y[(from - 1, from - 1)] += admittance;
                    drive[from - 1] -= shape * sign;
                    if to > 0 {
                        y[(from - 1, to - 1)] -= admittance;
                    }
                }
            }
        }
        let moved = y.lu().solve(&drive).unwrap_or_else(|| DVector::from_element(n, Complex::ZERO));
        let volts = |node: usize| at(node) + if self.of[node] > 0 { moved[self.of[node] - 1] } else { Complex::ZERO };
        volts(a) - volts(b)
    }
}

/// Signed branches from the first node of its group to every node, along a forest.
fn paths(c: &Circuit, tree: &[usize], heads: &[usize]) -> Vec<Vec<(usize, f64)>> {
    let mut out: Vec<Option<Vec<(usize, f64)>>> = vec![None; c.nodes];
    let mut todo: Vec<usize> = heads.to_vec();
    heads.iter().for_each(|head| out[*head] = Some(vec![]));
    while let Some(node) = todo.pop() {
        for &k in tree {
            let b = c.branches[k];
            // v(a) - v(b) is the branch's: from b to a it adds, from a to b it takes away.
            let (other, sign) = match node {
                n if n == b.a => (b.b, -1.0),
                n if n == b.b => (b.a, 1.0),
                _ => continue,
            };
            if out[other].is_none() {
                let mut path = out[node].clone().unwrap_or_default();
                path.push((k, sign));
                out[other] = Some(path);
                todo.push(other);
            }
        }
    }
    out.into_iter().map(Option::unwrap_or_default).collect()
}

/// The turn by each sample of a cycle.
fn turns() -> &'static [Complex<f64>] {
    static TURNS: OnceLock<Vec<Complex<f64>>> = OnceLock::new();
    let turn = |k: usize| Complex::from_polar(1.0, TAU * k as f64 / SAMPLES as f64);
    TURNS.get_or_init(|| (0..SAMPLES).map(turn).collect())
}

/// Peak amplitudes of the harmonics of a cycle, from none up to half the samples.
fn spectrum(wave: &[f64]) -> Vec<Complex<f64>> {
    let turns = turns();
    let line = |h: usize| {
        let sum: Complex<f64> = wave.iter().enumerate().map(|(k, v)| turns[h * k % SAMPLES].conj() * *v).sum();
        sum * (2.0 / SAMPLES as f64)
    };
    (0..SAMPLES / 2).map(line).collect()
}

/// r.m.s. and peak of a wave by the harmonics it has and their peak amplitudes.
fn size(lines: &[(usize, Complex<f64>)]) -> [f64; 2] {
    let turns = turns();
    let rms = (lines.iter().map(|(_, x)| x.norm_sqr()).sum::<f64>() / 2.0).sqrt();
    let at = |k: usize| -> f64 { lines.iter().map(|(h, x)| (x * turns[h * k % SAMPLES]).re).sum() };
    [rms, (0..SAMPLES).map(|k| at(k).abs()).fold(0.0, f64::max)]
}

impl HandNetwork {
    /// Siemens at so many radians a second.
    fn admittance(&self, w: f64) -> Complex<f64> {
        let skin = Complex::new(1.0 / self.skin_ohms, w * self.skin_farads).inv();
        let reader = Complex::new(self.reader_ohms, 0.0) + Complex::new(0.0, w * self.reader_farads).inv();
        let body = (Complex::new(1.0 / self.body_ohms, 0.0) + reader.inv()).inv();
        (skin + body).inv()
    }

    /// What is read of its current: the volts on the reader's capacitor over the body's ohms.
    fn reading(&self, w: f64) -> Complex<f64> {
        let capacitor = Complex::new(0.0, w * self.reader_farads).inv();
        let reader = Complex::new(self.reader_ohms, 0.0) + capacitor;
        let body = (Complex::new(1.0 / self.body_ohms, 0.0) + reader.inv()).inv();
        body * capacitor / reader / self.body_ohms
    }
}
