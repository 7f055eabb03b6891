//! What solving costs: single conditions, and conditions with many parts behind one loop impedance.

use deadfront::circuit::{Branch, Circuit, Device, Solver};
use divan::{Bencher, black_box};

fn main() {
    divan::main();
}

fn branch(a: usize, b: usize, device: Device) -> Branch {
    Branch { a, b, device }
}

fn mains() -> Branch {
    branch(1, 0, Device::Source { dc: 0.0, sine: 230.0 * std::f64::consts::SQRT_2, phase: 0.0 })
}

fn resistor(a: usize, b: usize, ohms: f64) -> Branch {
    branch(a, b, Device::Resistor { ohms })
}

fn diode(a: usize, b: usize, forward: f64, on_ohms: f64) -> Branch {
    branch(a, b, Device::Diode { forward, on_ohms, off_ohms: 1e7, breakdown: None })
}

fn neon(a: usize, b: usize) -> Branch {
    let lamp = Device::Neon { strike: 90.0, maintain: 60.0, lit_ohms: 3e3, off_ohms: 1e9, extinction: 0.0 };
    branch(a, b, lamp)
}

fn circuit(nodes: usize, branches: Vec<Branch>) -> Circuit {
    Circuit { nodes, hertz: 50.0, branches, ..Circuit::default() }
}

/// Supply, loop, fuse, two resistors and the lamp.
fn neon_lead() -> Circuit {
    let parts = vec![
        mains(),
        resistor(1, 2, 0.4),
        resistor(2, 3, 0.8),
        resistor(3, 4, 100e3),
        neon(4, 5),
        resistor(5, 0, 100e3),
    ];
    circuit(6, parts)
}

/// LEDs in a bridge between two resistors.
fn led_bridge() -> Circuit {
    let mut parts = vec![mains(), resistor(1, 2, 15e3), resistor(0, 3, 15e3)];
    parts.extend([diode(2, 4, 0.65, 1.0), diode(3, 4, 0.65, 1.0), diode(5, 2, 0.65, 1.0), diode(5, 3, 0.65, 1.0)]);
    parts.push(diode(4, 5, 5.4, 45.0));
    circuit(6, parts)
}

/// LEDs in a bridge behind a capacitor, smoothed or not.
fn capacitor_fed(smoothing: Option<f64>) -> Circuit {
    let mut parts = vec![mains(), resistor(1, 2, 220.0), branch(2, 3, Device::Capacitor { farads: 330e-9 })];
    parts.push(resistor(2, 3, 1e6));
    parts.extend([diode(3, 4, 0.65, 1.0), diode(0, 4, 0.65, 1.0), diode(5, 3, 0.65, 1.0), diode(5, 0, 0.65, 1.0)]);
    parts.push(diode(4, 5, 28.0, 120.0));
    parts.extend(smoothing.map(|farads| branch(4, 5, Device::Capacitor { farads })));
    circuit(6, parts)
}

/// A loop impedance and so many independent lamp branches of two parts each behind it.
fn ladder(parts: usize) -> Circuit {
    let mut branches = vec![mains(), resistor(1, 2, 0.4)];
    for k in 0..parts / 2 {
        let ohms = 100e3 + 1e3 * k as f64;
        branches.extend([resistor(2, 3 + k, ohms), neon(3 + k, 0)]);
    }
    circuit(3 + parts / 2, branches)
}

/// One condition from scratch: prepare and solve.
fn fresh(bencher: Bencher, circuit: &Circuit) {
    bencher.bench(|| Solver::new(black_box(circuit)).and_then(|mut solver| solver.steady(black_box(1.0))));
}

#[divan::bench]
fn neon_condition(bencher: Bencher) {
    fresh(bencher, &neon_lead());
}

#[divan::bench]
fn led_bridge_condition(bencher: Bencher) {
    fresh(bencher, &led_bridge());
}

#[divan::bench]
fn capacitor_fed_condition(bencher: Bencher) {
    fresh(bencher, &capacitor_fed(None));
}

#[divan::bench]
fn capacitor_fed_smoothed_condition(bencher: Bencher) {
    fresh(bencher, &capacitor_fed(Some(47e-6)));
}

/// The second supply level of a circuit whose matrices are known.
#[divan::bench]
fn capacitor_fed_another_level(bencher: Bencher) {
    let circuit = capacitor_fed(None);
    bencher
        .with_inputs(|| {
            let mut solver = Solver::new(&circuit).ok();
            solver.as_mut().map(|s| s.steady(1.0));
            solver
        })
        .bench_values(|solver| solver.map(|mut s| s.steady(black_box(-1.1))));
}

#[divan::bench(args = [5, 10, 20, 50, 100, 200], max_time = 5)]
fn lamp_branches_behind_one_loop(bencher: Bencher, parts: usize) {
    fresh(bencher, &ladder(parts));
}
