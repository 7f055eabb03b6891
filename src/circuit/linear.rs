//! Small dense linear algebra: just what the solver needs, on row-major slices.

/// Solves `a x = b` in place for `columns` right-hand sides (`b` is n × columns, row-major) by Gaussian
/// elimination with partial pivoting. Returns `false` when the matrix is singular to working precision.
pub(super) fn solve(a: &mut [f64], b: &mut [f64], n: usize, columns: usize) -> bool {
    for k in 0..n {
        let mut pivot = k;
        for i in k + 1..n {
            if a[i * n + k].abs() > a[pivot * n + k].abs() {
                pivot = i;
            }
        }
        if a[pivot * n + k] == 0.0 || !a[pivot * n + k].is_finite() {
            return false;
        }
        if pivot != k {
            for j in 0..n {
                a.swap(k * n + j, pivot * n + j);
            }
            for j in 0..columns {
                b.swap(k * columns + j, pivot * columns + j);
            }
        }
        for i in k + 1..n {
            let f = a[i * n + k] / a[k * n + k];
            if f != 0.0 {
                for j in k + 1..n {
                    a[i * n + j] -= f * a[k * n + j];
                }
                for j in 0..columns {
                    b[i * columns + j] -= f * b[k * columns + j];
                }
            }
        }
    }
    for k in (0..n).rev() {
        for c in 0..columns {
            let mut s = b[k * columns + c];
            for j in k + 1..n {
                s -= a[k * n + j] * b[j * columns + c];
            }
            b[k * columns + c] = s / a[k * n + k];
        }
    }
    true
}

/// Inner product, in four sums side by side: one alone would wait for each addition.
#[inline]
pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let n = a.len().min(b.len());
    let (a, b) = (a[..n].chunks_exact(4), b[..n].chunks_exact(4));
    let rest: f64 = a.remainder().iter().zip(b.remainder()).map(|(x, y)| x * y).sum();
    let mut sums = [0.0; 4];
    for (x, y) in a.zip(b) {
        for k in 0..4 {
            sums[k] += x[k] * y[k];
        }
    }
    (sums[0] + sums[1]) + (sums[2] + sums[3]) + rest
}

/// Part of a vector's length that must be left beside the earlier ones for it to count as independent of them: far above
/// rounding, far below what two different islands or loops of a circuit have in common.
const INDEPENDENT: f64 = 1e-9;

/// Makes `vectors` (each of length n) orthonormal, dropping those that depend on earlier ones.
pub(super) fn orthonormalise(vectors: Vec<Vec<f64>>) -> Vec<Vec<f64>> {
    let mut out: Vec<Vec<f64>> = Vec::new();
    for mut v in vectors {
        let start = dot(&v, &v).sqrt();
        // Twice is enough: the second pass removes what rounding left of the first.
        for _ in 0..2 {
            for u in &out {
                let d = dot(&v, u);
                v.iter_mut().zip(u).for_each(|(x, y)| *x -= d * y);
            }
        }
        let norm = dot(&v, &v).sqrt();
        if norm > INDEPENDENT * start && norm > 0.0 {
            v.iter_mut().for_each(|x| *x /= norm);
            out.push(v);
        }
    }
    out
}

/// A start for iterations on `n` states: along none of a circuit's symmetries, so no eigenvector is missed.
pub(super) fn uneven(n: usize) -> Vec<f64> {
    (0..n).map(|k| 1.0 + k as f64 * 0.1).collect()
}

/// Largest magnitude among the numbers.
pub(super) fn largest(x: &[f64]) -> f64 {
    x.iter().fold(0.0, |most, v| v.abs().max(most))
}
