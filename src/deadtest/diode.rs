//! Volts on the diode range: the meter drives a small current through resistances and junctions. A junction conducts once it has
//! its volts; which of them do is found by turning them on and off until all agree. Must not know what the branches are.

use super::network::Branch;
use super::ohms::Corner;
use crate::part::dead::Dead;
use crate::standard::meter;

/// Ohms of a junction that conducts: next to nothing against the meter's kilohms.
const ON: f64 = 1.0;
/// Ohms of what has none.
const LEAST: f64 = 1e-3;
/// Rounds after which the search is given up.
const ROUNDS: usize = 64;
/// Volts and amperes that are nothing.
const NOTHING: f64 = 1e-9;

struct Junction {
    ends: [usize; 2],
    volts: f64,
    on: bool,
}

/// Volts that are shown with the red lead on `red` and the black one on `black`; without bound for no reading.
pub(super) fn volts(branches: &[Branch], [red, black]: [usize; 2], setting: &[usize], corner: Corner) -> f64 {
    let range = meter::diode();
    let amperes = match corner {
        Corner::Low => range.amperes[0],
        Corner::High => range.amperes[2],
    };
    let there = || branches.iter().filter(|b| b.is_there(setting) && b.ends[0] != b.ends[1]);
    let Some((number, nodes)) = reached(there(), red, black, corner) else { return f64::INFINITY };
    let (mut wires, mut junctions) = (vec![], vec![]);
    for b in there() {
        let [Some(a), Some(z)] = b.ends.map(|n| number.get(&n).copied()) else { continue };
        match b.dead {
            Dead::Ohms(ohms) if corner.of(ohms).is_finite() => wires.push(([a, z], 1.0 / corner.of(ohms).max(LEAST))),
            Dead::Junction(volts) => junctions.push(Junction { ends: [a, z], volts: corner.of(volts), on: false }),
            Dead::Ohms(_) | Dead::Farads(_) | Dead::Dark => {}
        }
    }
    let meter_siemens = amperes / range.open_volts;
    let lead = number[&red];
    for _ in 0..ROUNDS {
        let node = solve(nodes, &wires, &junctions, (lead, meter_siemens, amperes));
        let over = |j: &Junction| node[j.ends[0]] - node[j.ends[1]] - j.volts;
        // The one that is furthest from agreeing is moved.
        let wrong = |j: &Junction| if j.on { -over(j) } else { over(j) };
        let Some(worst) = (0..junctions.len()).max_by(|a, b| wrong(&junctions[*a]).total_cmp(&wrong(&junctions[*b])))
        else {
            return node[lead];
        };
        if wrong(&junctions[worst]) <= NOTHING {
            return node[lead];
        }
        junctions[worst].on = !junctions[worst].on;
    }
    f64::INFINITY
}

/// Numbers of the nodes that resistances and junctions reach from the black lead (which is 0); `None` where the red one is
/// not among them.
fn reached<'b>(
    branches: impl Iterator<Item = &'b Branch>,
    red: usize,
    black: usize,
    corner: Corner,
) -> Option<(std::collections::HashMap<usize, usize>, usize)> {
    let conducts = |b: &&Branch| match b.dead {
        Dead::Ohms(ohms) => corner.of(ohms).is_finite(),
        Dead::Junction(_) => true,
        Dead::Farads(_) | Dead::Dark => false,
    };
    let edges: Vec<[usize; 2]> = branches.filter(conducts).map(|b| b.ends).collect();
    let mut number = std::collections::HashMap::from([(black, 0)]);
    let mut grew = true;
    while grew {
        grew = false;
        for [a, b] in &edges {
            for (from, to) in [(a, b), (b, a)] {
                if number.contains_key(from) && !number.contains_key(to) {
                    number.insert(*to, number.len());
                    grew = true;
                }
            }
        }
    }
    let nodes = number.len();
    number.contains_key(&red).then_some((number, nodes))
}

/// Volts of the nodes against node 0, with the meter between it and `lead`.
fn solve(
    nodes: usize,
    wires: &[([usize; 2], f64)],
    junctions: &[Junction],
    (lead, siemens, amperes): (usize, f64, f64),
) -> Vec<f64> {
    // Off junctions leak a little, so that no node is without its volts.
    let leak = siemens * NOTHING;
    let mut m = vec![vec![0.0; nodes + 1]; nodes];
    let mut put = |[a, b]: [usize; 2], g: f64, drive: f64| {
        for (one, other, sign) in [(a, b, 1.0), (b, a, -1.0)] {
            m[one][one] += g;
            m[one][other] -= g;
            m[one][nodes] += sign * drive;
        }
    };
    wires.iter().for_each(|(ends, g)| put(*ends, *g, 0.0));
    for j in junctions {
        let g = if j.on { 1.0 / ON } else { leak };
        put(j.ends, g, if j.on { g * j.volts } else { 0.0 });
    }
    put([lead, 0], siemens, amperes);
    // Node 0 is the reference.
    eliminate(&mut m, nodes)
}

fn eliminate(m: &mut [Vec<f64>], nodes: usize) -> Vec<f64> {
    for k in 1..nodes {
        let pivot = m[k][k];
        if pivot <= 0.0 {
            continue;
        }
        let row = m[k].clone();
        for below in m.iter_mut().skip(k + 1) {
            let f = below[k] / pivot;
            if f != 0.0 {
                below.iter_mut().zip(&row).skip(k).for_each(|(x, y)| *x -= f * y);
            }
        }
    }
    let mut v = vec![0.0; nodes];
    for k in (1..nodes).rev() {
        let sum: f64 = (k + 1..nodes).map(|j| m[k][j] * v[j]).sum();
        v[k] = if m[k][k] > 0.0 { (m[k][nodes] - sum) / m[k][k] } else { 0.0 };
    }
    v
}
