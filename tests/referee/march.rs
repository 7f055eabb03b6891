//! Circuits that store and switch: small steps in time (the two-stage L-stable diagonal method of order two), a step cut
//! where a diode or lamp changes its state.

use super::network::{El, LEAK, Lu, Network, Sums, Worked, line, next_state, stamp};
use std::collections::HashMap;
use std::f64::consts::TAU;
use std::rc::Rc;

const STEPS: usize = 200;
const GAMMA: f64 = 1.0 - std::f64::consts::FRAC_1_SQRT_2;
/// Cycles after which a circuit that has not settled is given up.
const PATIENCE: usize = 150;

/// A circuit on its way: the volts of each capacitor (zero elsewhere) and the states.
pub struct March<'a> {
    net: &'a Network,
    pub stored: Vec<f64>,
    states: Vec<i8>,
    factored: HashMap<(Vec<i8>, u64), Rc<Lu>>,
    last: Option<(u64, Rc<Lu>)>,
}

struct Stage {
    v: Vec<f64>,
    i: Vec<f64>,
}

impl<'a> March<'a> {
    pub fn new(net: &'a Network, stored: Vec<f64>) -> March<'a> {
        March { net, stored, states: vec![0; net.branches.len()], factored: HashMap::new(), last: None }
    }

    fn factor(&mut self, h: f64) -> Rc<Lu> {
        let (net, states) = (self.net, &self.states);
        let n = net.nodes - 1;
        if self.factored.len() > 3000 {
            self.factored.clear();
        }
        let lu = self.factored.entry((states.clone(), h.to_bits())).or_insert_with(|| {
            let mut m = vec![0.0; n * n];
            for k in 0..n {
                m[k * n + k] += 1.0 / LEAK;
            }
            for (b, &s) in net.branches.iter().zip(states) {
                let g = if let El::Farads(c) = b.el { c / (GAMMA * h) } else { line(b.el, s).0 };
                stamp(&mut m, n, b.a, b.b, g);
            }
            if let Some(hot) = net.hot {
                stamp(&mut m, n, hot, 0, 1.0 / net.loop_ohms);
            }
            Rc::new(Lu::new(n, m))
        });
        let lu = Rc::clone(lu);
        self.last = Some((h.to_bits(), Rc::clone(&lu)));
        lu
    }

    fn stage(&mut self, h: f64, base: &[f64], e: f64) -> Stage {
        let net = self.net;
        let n = net.nodes - 1;
        let lu = match &self.last {
            Some((bits, lu)) if *bits == h.to_bits() => Rc::clone(lu),
            _ => self.factor(h),
        };
        let states = &self.states;
        let mut right = vec![0.0; n];
        let push = |right: &mut Vec<f64>, a: usize, b: usize, j: f64| {
            if j == 0.0 {
                return;
            }
            if a > 0 {
                right[a - 1] -= j;
            }
            if b > 0 {
                right[b - 1] += j;
            }
        };
        for (k, b) in net.branches.iter().enumerate() {
            let j = if let El::Farads(c) = b.el { -c / (GAMMA * h) * base[k] } else { line(b.el, states[k]).1 };
            push(&mut right, b.a, b.b, j);
        }
        if let Some(hot) = net.hot {
            right[hot - 1] += e / net.loop_ohms;
        }
        let x = lu.solve(&right);
        let at = |k: usize| if k == 0 { 0.0 } else { x[k - 1] };
        let branches = net.branches.len();
        let mut stage = Stage { v: Vec::with_capacity(branches), i: Vec::with_capacity(branches) };
        for (k, b) in net.branches.iter().enumerate() {
            let v = at(b.a) - at(b.b);
            let i = match b.el {
                El::Farads(c) => c / (GAMMA * h) * (v - base[k]),
                el => {
                    let (g, j) = line(el, states[k]);
                    g * v + j
                }
            };
            stage.v.push(v);
            stage.i.push(i);
        }
        stage
    }

    /// One step in the present states.
    fn step(&mut self, h: f64, e: impl Fn(f64) -> f64) -> Stage {
        let stored = self.stored.clone();
        let first = self.stage(h, &stored, e(GAMMA * h));
        let rest = (1.0 - GAMMA) / GAMMA;
        let base: Vec<f64> = stored.iter().zip(&first.v).map(|(s, v)| s + rest * (v - s)).collect();
        self.stage(h, &base, e(h))
    }

    fn changes(&self, at: &Stage) -> Vec<(usize, i8, f64)> {
        let each = self.net.branches.iter().enumerate();
        let knees = each.filter(|(_, b)| matches!(b.el, El::Diode { .. } | El::Neon { .. }));
        knees
            .filter_map(|(k, b)| {
                let (to, past) = next_state(b.el, self.states[k], at.v[k], at.i[k])?;
                Some((k, to, past))
            })
            .collect()
    }

    /// Brings the states into agreement with what is stored, at e.m.f. `e`.
    fn settle(&mut self, e: f64, h: f64) -> Option<()> {
        for round in 0..80 {
            let stored = self.stored.clone();
            let now = self.stage(h, &stored, e);
            let changes = self.changes(&now);
            if changes.is_empty() {
                return Some(());
            }
            let first =
                if round < 40 { changes.iter().max_by(|a, b| a.2.total_cmp(&b.2))? } else { changes.first()? };
            self.states[first.0] = first.1;
            self.last = None;
        }
        None
    }

    fn accept(&mut self, end: &Stage) {
        for (k, b) in self.net.branches.iter().enumerate() {
            if matches!(b.el, El::Farads(_)) {
                self.stored[k] = end.v[k];
            }
        }
    }

    /// From `from` seconds on for `span`, in steps of at most `h`; each step is shown. The e.m.f. is `e(seconds)`.
    pub fn run(
        &mut self,
        from: f64,
        span: f64,
        h: f64,
        e: impl Fn(f64) -> f64,
        mut see: impl FnMut(&[f64], &[f64], f64),
    ) -> Option<()> {
        let tiny = h / 4096.0;
        let mut t = 0.0;
        self.settle(e(from), tiny)?;
        while t < span * (1.0 - 1e-12) {
            let mut dt = h.min(span - t);
            let mut end = self.step(dt, |d| e(from + t + d));
            let mut cuts = 0;
            while !self.changes(&end).is_empty() && dt > tiny && cuts < 14 {
                // Halve until the change falls into one short step.
                dt /= 2.0;
                cuts += 1;
                end = self.step(dt, |d| e(from + t + d));
            }
            self.accept(&end);
            see(&end.v, &end.i, dt);
            t += dt;
            if !self.changes(&end).is_empty() {
                self.settle(e(from + t), tiny)?;
            }
        }
        Some(())
    }
}

/// The steady state at `crest` volts: what each branch does over its cycle, and for each capacitor what everything stores
/// when that one stands highest. None where it does not settle.
pub fn cycle(net: &Network, crest: f64) -> Option<(Vec<Worked>, Vec<Vec<f64>>)> {
    let period = 1.0 / net.hertz;
    let e = move |t: f64| crest * (TAU * t / period).sin();
    let m = net.branches.len();
    let mut march = March::new(net, vec![0.0; m]);
    let mut before = march.stored.clone();
    let mut moved_before: Option<Vec<f64>> = None;
    for count in 0..PATIENCE {
        let mut sums = vec![Sums::new(); m];
        march.run(0.0, period, period / STEPS as f64, e, |v, i, dt| {
            for k in 0..m {
                sums[k].add(v[k], i[k], dt);
            }
        })?;
        let moved: Vec<f64> = march.stored.iter().zip(&before).map(|(a, b)| a - b).collect();
        let largest = moved.iter().fold(0.0f64, |a, b| a.max(b.abs()));
        if count > 1 && largest < 2e-6 * crest {
            return finish(&mut march, period, e, &sums);
        }
        // A slow approach is a geometric series: jump to its end now and then.
        if count > 4
            && count % 5 == 0
            && let Some(last) = &moved_before
        {
            for k in 0..m {
                let ratio = if last[k].abs() > 1e-9 { moved[k] / last[k] } else { 0.0 };
                if (0.5..0.999_99).contains(&ratio) {
                    march.stored[k] += moved[k] * ratio / (1.0 - ratio);
                }
            }
        }
        moved_before = Some(moved);
        before = march.stored.clone();
    }
    None
}

fn finish(
    march: &mut March,
    period: f64,
    e: impl Fn(f64) -> f64 + Copy,
    sums: &[Sums],
) -> Option<(Vec<Worked>, Vec<Vec<f64>>)> {
    let m = march.net.branches.len();
    let mut best = vec![(0.0f64, march.stored.clone()); m];
    let caps: Vec<usize> = (0..m).filter(|&k| matches!(march.net.branches[k].el, El::Farads(_))).collect();
    let mut all = march.stored.clone();
    march.run(0.0, period, period / STEPS as f64, e, |v, _, _| {
        for &k in &caps {
            all[k] = v[k];
        }
        for &k in &caps {
            if v[k].abs() > best[k].0 {
                best[k] = (v[k].abs(), all.clone());
            }
        }
    })?;
    Some((sums.iter().map(Sums::done).collect(), caps.into_iter().map(|k| best[k].1.clone()).collect()))
}
