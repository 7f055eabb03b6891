//! Circuits without storage: in each state of their diodes and lamps every voltage is a straight line over the mains' own, so
//! one cycle is a walk along that line.

use super::network::{El, LEAK, Lu, Network, Sums, Worked, line, next_state, stamp};
use std::f64::consts::TAU;

/// Samples a cycle.
const SAMPLES: usize = 1000;

/// Branch volts and amperes as constant and slope over the e.m.f.
struct Line {
    v: Vec<[f64; 2]>,
    i: Vec<[f64; 2]>,
}

fn solved(net: &Network, states: &[i8]) -> Line {
    let n = net.nodes - 1;
    let mut m = vec![0.0; n * n];
    let (mut constant, mut slope) = (vec![0.0; n], vec![0.0; n]);
    for k in 0..n {
        m[k * n + k] += 1.0 / LEAK;
    }
    for (b, &s) in net.branches.iter().zip(states) {
        let (g, j) = line(b.el, s);
        stamp(&mut m, n, b.a, b.b, g);
        if b.a > 0 {
            constant[b.a - 1] -= j;
        }
        if b.b > 0 {
            constant[b.b - 1] += j;
        }
    }
    if let Some(hot) = net.hot {
        stamp(&mut m, n, hot, 0, 1.0 / net.loop_ohms);
        slope[hot - 1] += 1.0 / net.loop_ohms;
    }
    let lu = Lu::new(n, m);
    let (constant, slope) = (lu.solve(&constant), lu.solve(&slope));
    let at = |x: &[f64], k: usize| if k == 0 { 0.0 } else { x[k - 1] };
    let mut line_of = Line { v: Vec::new(), i: Vec::new() };
    for (b, &s) in net.branches.iter().zip(states) {
        let (g, j) = line(b.el, s);
        let v = [at(&constant, b.a) - at(&constant, b.b), at(&slope, b.a) - at(&slope, b.b)];
        line_of.v.push(v);
        line_of.i.push([g * v[0] + j, g * v[1]]);
    }
    line_of
}

/// Samples of the e.m.f. that fell into one set of states.
struct Visited {
    states: Vec<i8>,
    line: Line,
    n: f64,
    e: f64,
    e2: f64,
    low: f64,
    high: f64,
}

/// One cycle at `crest` volts, after one to forget how it began. None: the states found no rest.
pub fn cycle(net: &Network, crest: f64) -> Option<Vec<Worked>> {
    let m = net.branches.len();
    let mut seen: Vec<Visited> = Vec::new();
    let enter = |seen: &mut Vec<Visited>, states: &[i8]| {
        seen.iter().position(|v| v.states == states).unwrap_or_else(|| {
            let line = solved(net, states);
            seen.push(Visited {
                states: states.to_vec(),
                line,
                n: 0.0,
                e: 0.0,
                e2: 0.0,
                low: f64::MAX,
                high: f64::MIN,
            });
            seen.len() - 1
        })
    };
    let mut states = vec![0i8; m];
    let mut at = enter(&mut seen, &states);
    let knees: Vec<usize> =
        (0..m).filter(|&k| matches!(net.branches[k].el, El::Diode { .. } | El::Neon { .. })).collect();
    for step in 0..2 * SAMPLES {
        let e = crest * (TAU * (step as f64 + 0.5) / SAMPLES as f64).sin();
        for round in 0.. {
            let now = &seen[at].line;
            let value = |x: &[f64; 2]| x[0] + x[1] * e;
            let changes = knees.iter().filter_map(|&k| {
                let (to, past) = next_state(net.branches[k].el, states[k], value(&now.v[k]), value(&now.i[k]))?;
                Some((k, to, past))
            });
            // The one furthest past its border goes first: what it changes may bring the others back.
            let Some(first) = changes.max_by(|a, b| a.2.total_cmp(&b.2)) else { break };
            if round > 60 {
                return None;
            }
            states[first.0] = first.1;
            at = enter(&mut seen, &states);
        }
        if step >= SAMPLES {
            let now = &mut seen[at];
            now.n += 1.0;
            now.e += e;
            now.e2 += e * e;
            now.low = now.low.min(e);
            now.high = now.high.max(e);
        }
    }
    seen.retain(|v| v.n > 0.0);
    Some((0..m).map(|k| summed(&seen, k)).collect())
}

/// What branch `k` did in all the states that were visited.
fn summed(seen: &[Visited], k: usize) -> Worked {
    let mut sums = Sums::new();
    for v in seen {
        let ([v0, v1], [i0, i1]) = (v.line.v[k], v.line.i[k]);
        for e in [v.low, v.high] {
            sums.add(v0 + v1 * e, i0 + i1 * e, 0.0);
        }
        let product =
            |a: [f64; 2], b: [f64; 2]| a[0] * b[0] * v.n + (a[0] * b[1] + a[1] * b[0]) * v.e + a[1] * b[1] * v.e2;
        sums.add_sums(
            v.n,
            [v0 * v.n + v1 * v.e, i0 * v.n + i1 * v.e],
            [product([v0, v1], [v0, v1]), product([i0, i1], [i0, i1]), product([v0, v1], [i0, i1])],
        );
    }
    sums.done()
}
