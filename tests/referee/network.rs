//! A circuit as nodes and branches, and its node equations: plain elimination with row exchanges, written for these tests.

/// One branch from node `a` to node `b`; node 0 is the earth.
#[derive(Clone, Copy, Debug)]
pub struct Branch {
    pub a: usize,
    pub b: usize,
    pub el: El,
}

#[derive(Clone, Copy, Debug)]
pub enum El {
    Ohms(f64),
    Farads(f64),
    Diode {
        forward: f64,
        on: f64,
        off: f64,
    },
    Neon {
        strike: f64,
        maintain: f64,
        on: f64,
        off: f64,
    },
    /// Resistance at its rated volts, those volts, and what it is now.
    Filament {
        hot: f64,
        volts: f64,
        now: f64,
    },
}

/// Nodes, branches, and the mains: an e.m.f. to earth behind ohms.
#[derive(Clone, Debug)]
pub struct Network {
    pub nodes: usize,
    pub branches: Vec<Branch>,
    pub hot: Option<usize>,
    pub loop_ohms: f64,
    pub hertz: f64,
}

/// What one branch does over a cycle of the mains.
#[derive(Clone, Copy, Debug, Default)]
pub struct Worked {
    pub v_rms: f64,
    pub v_max: f64,
    pub v_min: f64,
    pub v_mean: f64,
    pub i_rms: f64,
    pub i_peak: f64,
    pub i_forward_mean: f64,
    pub i_mean: f64,
    pub i_min: f64,
    pub i_max: f64,
    pub watts: f64,
}

/// Sums of samples.
#[derive(Clone, Copy, Debug)]
pub struct Sums {
    n: f64,
    v2: f64,
    v: f64,
    i2: f64,
    i: f64,
    forward: f64,
    p: f64,
    v_max: f64,
    v_min: f64,
    i_max: f64,
    i_min: f64,
}

impl Sums {
    pub fn new() -> Sums {
        Sums {
            n: 0.0,
            v2: 0.0,
            v: 0.0,
            i2: 0.0,
            i: 0.0,
            forward: 0.0,
            p: 0.0,
            v_max: f64::MIN,
            v_min: f64::MAX,
            i_max: f64::MIN,
            i_min: f64::MAX,
        }
    }
    pub fn add(&mut self, v: f64, i: f64, weight: f64) {
        self.n += weight;
        self.v2 += v * v * weight;
        self.v += v * weight;
        self.i2 += i * i * weight;
        self.i += i * weight;
        self.forward += i.max(0.0) * weight;
        self.p += v * i * weight;
        self.v_max = self.v_max.max(v);
        self.v_min = self.v_min.min(v);
        self.i_max = self.i_max.max(i);
        self.i_min = self.i_min.min(i);
    }
    /// Many samples at once: how many, the sums of volts and amperes, and those of v², i² and v·i. The forward mean is that
    /// of a branch which does not change its direction within them.
    pub fn add_sums(&mut self, n: f64, [v, i]: [f64; 2], [v2, i2, p]: [f64; 3]) {
        self.n += n;
        self.v += v;
        self.i += i;
        self.forward += i.max(0.0);
        self.v2 += v2;
        self.i2 += i2;
        self.p += p;
    }
    pub fn done(&self) -> Worked {
        Worked {
            v_rms: (self.v2 / self.n).sqrt(),
            v_max: self.v_max,
            v_min: self.v_min,
            v_mean: self.v / self.n,
            i_rms: (self.i2 / self.n).sqrt(),
            i_peak: self.i_max.max(-self.i_min),
            i_forward_mean: self.forward / self.n,
            i_mean: self.i / self.n,
            i_min: self.i_min,
            i_max: self.i_max,
            watts: self.p / self.n,
        }
    }
}

impl Network {
    pub fn has_storage(&self) -> bool {
        self.branches.iter().any(|b| matches!(b.el, El::Farads(_)))
    }
    /// Whether every capacitor hangs between the mains and the earth by nothing but small ohms.
    pub fn caps_across_the_mains(&self) -> bool {
        let mut stiff = vec![false; self.nodes];
        stiff[0] = true;
        if let Some(hot) = self.hot {
            stiff[hot] = true;
        }
        for _ in 0..self.nodes {
            for b in &self.branches {
                if matches!(b.el, El::Ohms(r) if r < 10.0) && (stiff[b.a] || stiff[b.b]) {
                    (stiff[b.a], stiff[b.b]) = (true, true);
                }
            }
        }
        // What hangs on capacitors and resistors alone, such as a case, may float beside them.
        let mut apart: Vec<bool> = vec![false; self.nodes];
        for _ in 0..self.nodes {
            for b in &self.branches {
                let spreads = matches!(b.el, El::Farads(_)) || apart[b.a] || apart[b.b];
                for node in [b.a, b.b] {
                    apart[node] |= spreads && !stiff[node];
                }
            }
        }
        let knee = |b: &Branch| matches!(b.el, El::Diode { .. } | El::Neon { .. });
        !self.branches.iter().any(|b| knee(b) && (apart[b.a] || apart[b.b]))
    }
    pub fn has_knees(&self) -> bool {
        self.branches.iter().any(|b| matches!(b.el, El::Diode { .. } | El::Neon { .. }))
    }
}

/// A square matrix, factored.
pub struct Lu {
    n: usize,
    lu: Vec<f64>,
    order: Vec<usize>,
}

impl Lu {
    pub fn new(n: usize, mut m: Vec<f64>) -> Lu {
        let mut order: Vec<usize> = (0..n).collect();
        for k in 0..n {
            let pivot = (k..n).max_by(|&p, &q| m[p * n + k].abs().total_cmp(&m[q * n + k].abs())).unwrap_or(k);
            if pivot != k {
                for c in 0..n {
                    m.swap(k * n + c, pivot * n + c);
                }
                order.swap(k, pivot);
            }
            for r in k + 1..n {
                let f = m[r * n + k] / m[k * n + k];
                m[r * n + k] = f;
                if f != 0.0 {
                    for c in k + 1..n {
                        m[r * n + c] -= f * m[k * n + c];
                    }
                }
            }
        }
        Lu { n, lu: m, order }
    }

    pub fn solve(&self, right: &[f64]) -> Vec<f64> {
        let n = self.n;
        let mut x: Vec<f64> = self.order.iter().map(|&r| right[r]).collect();
        let product = |row: &[f64], x: &[f64]| row.iter().zip(x).map(|(a, b)| a * b).sum::<f64>();
        for (r, row) in self.lu.chunks_exact(n.max(1)).enumerate() {
            x[r] -= product(&row[..r], &x[..r]);
        }
        for (r, row) in self.lu.chunks_exact(n.max(1)).enumerate().rev() {
            x[r] = (x[r] - product(&row[r + 1..], &x[r + 1..])) / row[r];
        }
        x
    }
}

/// Ohms from every node to earth, so that none floats: a leak no instrument would see.
pub const LEAK: f64 = 1e12;

/// Adds a conductance between two nodes to a matrix without the earth's row.
pub fn stamp(m: &mut [f64], n: usize, a: usize, b: usize, g: f64) {
    if a > 0 {
        m[(a - 1) * n + a - 1] += g;
    }
    if b > 0 {
        m[(b - 1) * n + b - 1] += g;
    }
    if a > 0 && b > 0 {
        m[(a - 1) * n + b - 1] -= g;
        m[(b - 1) * n + a - 1] -= g;
    }
}

/// The line a branch follows in a state: `i = g · v + j`. States: 0 off, 1 on or lit, -1 lit the other way.
pub fn line(el: El, state: i8) -> (f64, f64) {
    match (el, state) {
        (El::Ohms(r), _) => (1.0 / r, 0.0),
        (El::Filament { now, .. }, _) => (1.0 / now, 0.0),
        (El::Farads(_), _) => (0.0, 0.0),
        (El::Diode { off, .. } | El::Neon { off, .. }, 0) => (1.0 / off, 0.0),
        // Continuous at the knee.
        (El::Diode { forward, on, off }, _) => (1.0 / on, forward / off - forward / on),
        (El::Neon { maintain, on, .. }, s) => (1.0 / on, -f64::from(s) * maintain / on),
    }
}

/// The state a branch goes to from `state` at these volts and amperes, and by how much it is past its border.
pub fn next_state(el: El, state: i8, v: f64, i: f64) -> Option<(i8, f64)> {
    match (el, state) {
        (El::Diode { forward, .. }, 0) if v > forward + 1e-9 => Some((1, v - forward)),
        (El::Diode { forward, .. }, 1) if v < forward - 1e-9 => Some((0, forward - v)),
        (El::Neon { strike, .. }, 0) if v > strike => Some((1, v - strike)),
        (El::Neon { strike, .. }, 0) if -v > strike => Some((-1, -v - strike)),
        (El::Neon { on, .. }, s) if s != 0 && f64::from(s) * i < -1e-12 => Some((0, -f64::from(s) * i * on)),
        _ => None,
    }
}
