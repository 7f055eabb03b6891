//! Linear circuits: complex node equations at the frequency of the mains, written as real ones of twice the size.

use super::network::{El, LEAK, Lu, Network, Worked, line};
use std::f64::consts::{SQRT_2, TAU};

/// Volts (real, imaginary; crests) of every branch at `crest` volts of the mains.
pub fn volts(net: &Network, crest: f64) -> Vec<[f64; 2]> {
    let n = net.nodes - 1;
    let size = 2 * n;
    let mut m = vec![0.0; size * size];
    let mut right = vec![0.0; size];
    let mut add = |a: usize, b: usize, g: f64, s: f64| {
        for (r, c, sign) in [(a, a, 1.0), (b, b, 1.0), (a, b, -1.0), (b, a, -1.0)] {
            if r > 0 && c > 0 {
                let (r, c) = (r - 1, c - 1);
                m[r * size + c] += sign * g;
                m[(r + n) * size + c + n] += sign * g;
                m[r * size + c + n] -= sign * s;
                m[(r + n) * size + c] += sign * s;
            }
        }
    };
    for k in 1..=n {
        add(k, 0, 1.0 / LEAK, 0.0);
    }
    for b in &net.branches {
        match b.el {
            El::Farads(c) => add(b.a, b.b, 0.0, TAU * net.hertz * c),
            el => add(b.a, b.b, line(el, 0).0, 0.0),
        }
    }
    if let Some(hot) = net.hot {
        add(hot, 0, 1.0 / net.loop_ohms, 0.0);
        right[hot - 1] = crest / net.loop_ohms;
    }
    let x = Lu::new(size, m).solve(&right);
    let at = |k: usize, part: usize| if k == 0 { 0.0 } else { x[k - 1 + part * n] };
    net.branches.iter().map(|b| [at(b.a, 0) - at(b.b, 0), at(b.a, 1) - at(b.b, 1)]).collect()
}

/// The same as what each branch does over a cycle.
pub fn cycle(net: &Network, crest: f64) -> Vec<Worked> {
    let finish = |(b, v): (&super::network::Branch, [f64; 2])| {
        let peak = v[0].hypot(v[1]);
        let (admittance, watts) = match b.el {
            El::Farads(c) => (TAU * net.hertz * c, 0.0),
            el => (line(el, 0).0, peak * peak / 2.0 * line(el, 0).0),
        };
        let i_peak = peak * admittance;
        Worked {
            v_rms: peak / SQRT_2,
            v_max: peak,
            v_min: -peak,
            v_mean: 0.0,
            i_rms: i_peak / SQRT_2,
            i_peak,
            i_forward_mean: i_peak * 2.0 / TAU,
            i_mean: 0.0,
            i_min: -i_peak,
            i_max: i_peak,
            watts,
        }
    };
    net.branches.iter().zip(volts(net, crest)).map(finish).collect()
}
