//! Dense linear equations: rows and columns scaled, then elimination with row exchanges.

/// A factored square matrix.
pub struct Factored {
    size: usize,
    lu: Vec<f64>,
    order: Vec<usize>,
    row_scale: Vec<f64>,
    column_scale: Vec<f64>,
}

impl Factored {
    /// Factors a square matrix given by rows. Panics when it is singular: the tests' circuits are not.
    pub fn new(matrix: &[Vec<f64>]) -> Factored {
        let size = matrix.len();
        let largest = |values: &mut dyn Iterator<Item = f64>| values.fold(0.0_f64, |a, b| a.max(b.abs()));
        let row_scale: Vec<f64> = matrix.iter().map(|row| 1.0 / largest(&mut row.iter().copied())).collect();
        let column_scale: Vec<f64> =
            (0..size).map(|c| 1.0 / largest(&mut (0..size).map(|r| matrix[r][c] * row_scale[r]))).collect();
        let mut lu: Vec<f64> = (0..size * size)
            .map(|k| matrix[k / size][k % size] * row_scale[k / size] * column_scale[k % size])
            .collect();
        let mut order: Vec<usize> = (0..size).collect();
        for k in 0..size {
            let pivot = (k..size).max_by(|&p, &q| lu[p * size + k].abs().total_cmp(&lu[q * size + k].abs())).unwrap();
            assert!(lu[pivot * size + k].abs() > 1e-30, "singular matrix: the circuit has a node without a voltage");
            if pivot != k {
                order.swap(pivot, k);
                for c in 0..size {
                    lu.swap(pivot * size + c, k * size + c);
                }
            }
            for r in k + 1..size {
                let factor = lu[r * size + k] / lu[k * size + k];
                lu[r * size + k] = factor;
                if factor != 0.0 {
                    for c in k + 1..size {
                        lu[r * size + c] -= factor * lu[k * size + c];
                    }
                }
            }
        }
        Factored { size, lu, order, row_scale, column_scale }
    }

    /// Solves for one right-hand side.
    pub fn solve(&self, right: &[f64]) -> Vec<f64> {
        let n = self.size;
        let mut x: Vec<f64> = self.order.iter().map(|&r| right[r] * self.row_scale[r]).collect();
        for r in 0..n {
            let done: f64 = (0..r).map(|c| self.lu[r * n + c] * x[c]).sum();
            x[r] -= done;
        }
        for r in (0..n).rev() {
            let done: f64 = (r + 1..n).map(|c| self.lu[r * n + c] * x[c]).sum();
            x[r] = (x[r] - done) / self.lu[r * n + r];
        }
        x.iter().zip(&self.column_scale).map(|(x, s)| x * s).collect()
    }
}

#[test]
fn solves_a_badly_scaled_system() {
    // x = 3e6, y = -2e-6, z = 5 by insertion.
    let rows = vec![vec![1e-3, 1e9, 2.0], vec![1.0, 0.0, -1e6], vec![0.0, 1e6, 1.0]];
    let right = [1e-3 * 3e6 - 1e9 * 2e-6 + 10.0, 3e6 - 5e6, -2.0 + 5.0];
    let got = Factored::new(&rows).solve(&right);
    for (got, expected) in got.iter().zip([3e6, -2e-6, 5.0]) {
        assert!((got - expected).abs() < 1e-12 * expected.abs(), "{got} instead of {expected}");
    }
}
