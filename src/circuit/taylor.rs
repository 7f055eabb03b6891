//! Taylor steps, for the neighbourhood of an event: z as a polynomial of time, which the guards' polynomials and an end
//! anywhere in the step follow from.

use super::ladder::Rate;
use super::linear::{dot, largest};

/// Order of the polynomial: over half the fastest time constant ([`SHORT`]) the remainder is below 1e-13 of the fast part.
pub(super) const ORDER: usize = 12;
/// Longest Taylor step, as a multiple of the fastest time constant.
pub(super) const SHORT: f64 = 0.5;

/// Part of a sensitivity below which a term of the series and all behind it are lost in rounding.
const NOTHING: f64 = 1e-19;

/// Coefficients of z(t): row j, of as many columns as z, is M^j z / j!.
pub(super) fn terms(m: Rate, z: &[f64], out: &mut [f64]) {
    let (n, nz) = (m.n, m.nz);
    out[..nz].copy_from_slice(z);
    for j in 1..=ORDER {
        let (done, rest) = out.split_at_mut(j * nz);
        let (last, next) = (&done[(j - 1) * nz..], &mut rest[..nz]);
        let f = 1.0 / j as f64;
        for (k, x) in next[..n].iter_mut().enumerate() {
            *x = f * dot(&m.rows[k * nz..(k + 1) * nz], last);
        }
        next[n] = 0.0;
        next[n + 1] = f * m.omega * last[n + 2];
        next[n + 2] = -f * m.omega * last[n + 1];
    }
}

/// Value of z `tau` seconds on.
pub(super) fn polynomial(terms: &[f64], nz: usize, tau: f64, out: &mut [f64]) {
    out.copy_from_slice(&terms[ORDER * nz..]);
    for j in (0..ORDER).rev() {
        for c in 0..nz {
            out[c] = out[c] * tau + terms[j * nz + c];
        }
    }
}

/// phi <- exp(A tau) phi over the states by the same polynomial.
pub(super) fn multiply(m: Rate, tau: f64, phi: &mut [f64]) {
    let (n, nz) = (m.n, m.nz);
    let mut term = phi.to_vec();
    let mut next = vec![0.0; n * n];
    let enough = largest(phi) * NOTHING;
    for j in 1..=ORDER {
        next.fill(0.0);
        for r in 0..n {
            for k in 0..n {
                let f = m.rows[r * nz + k] * tau / j as f64;
                for c in 0..n {
                    next[r * n + c] += f * term[k * n + c];
                }
            }
        }
        phi.iter_mut().zip(&next).for_each(|(p, x)| *p += x);
        std::mem::swap(&mut term, &mut next);
        if largest(&term) < enough {
            break;
        }
    }
}
