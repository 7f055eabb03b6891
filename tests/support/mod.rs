//! Helpers of the solver tests: a way to write circuits with names, a second method, a random generator.
//!
//! Nothing here calls the solver under test.
#![allow(dead_code, clippy::unwrap_used)]

pub mod dice;
pub mod linear;
pub mod net;
pub mod stepper;

/// Says whether two numbers agree to `relative` of the expected one, or else to `absolute`.
pub fn near(got: f64, expected: f64, relative: f64, absolute: f64) -> bool {
    (got - expected).abs() <= (relative * expected.abs()).max(absolute)
}

/// Says whether two numbers agree to `margin` of the second one.
pub fn close(a: f64, b: f64, margin: f64) -> bool {
    near(a, b, margin, 0.0)
}

/// Fails with both numbers and the deviation unless they agree to `relative` of the expected one.
#[track_caller]
pub fn assert_near(what: &str, got: f64, expected: f64, relative: f64) {
    assert!(
        near(got, expected, relative, 0.0),
        "{what}: got {got:e}, expected {expected:e}, deviation {:e} of it (allowed {relative:e})",
        (got - expected) / expected
    );
}

/// Difference of two angles in degrees, going round the shorter way.
pub fn degrees_apart(a: f64, b: f64) -> f64 {
    ((a - b + 180.0).rem_euclid(360.0) - 180.0).abs()
}
